"""Frame numbers, times and timestamps: three types, never mixed.

* a ``Frame`` counts displayed pictures of one film from 0;
* a ``Pts`` is a presentation timestamp: whole ticks of that film's time base;
* a time is a ``Fraction`` of seconds (names end in ``_s``).

Labels follow SMPTE ST 12-1 (rule from secondary sources, arithmetic checked against
OpenTimelineIO in the tests); cue times follow the W3C WebVTT syntax.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from fractions import Fraction
from typing import NewType

__all__ = [
    "Frame",
    "Pts",
    "cue_time",
    "frame_showing",
    "label_of",
    "nearest_frame",
    "nominal_rate",
    "number_of",
    "pts_at",
    "time_at",
]

Frame = NewType("Frame", int)
Pts = NewType("Pts", int)

_LABEL_PARTS = 4


def time_at(pts: Pts, time_base: Fraction) -> Fraction:
    """Turn a timestamp into seconds, exactly.

    >>> time_at(Pts(3003), Fraction(1, 90000))
    Fraction(1001, 30000)
    """
    return pts * time_base


def pts_at(time_s: Fraction, time_base: Fraction) -> Pts:
    """Turn seconds into the nearest timestamp of a time base (halves go up).

    >>> pts_at(Fraction(1001, 30000), Fraction(1, 90000))
    3003
    """
    ticks = time_s / time_base
    return Pts((2 * ticks.numerator + ticks.denominator) // (2 * ticks.denominator))


def frame_showing(times_s: Sequence[Fraction], at_s: Fraction) -> Frame:
    """Return the frame on screen at a time: the last one that begins at or before it.

    Parameters
    ----------
    times_s : sequence of Fraction
        When each frame begins, rising; not empty.
    at_s : Fraction
        The time asked for; before the first frame the first frame is the answer.
    """
    return Frame(max(bisect_right(times_s, at_s) - 1, 0))


def nearest_frame(times_s: Sequence[Fraction], at_s: Fraction) -> Frame:
    """Return the frame whose beginning lies nearest to a time; of two, the earlier."""
    shown = frame_showing(times_s, at_s)
    following = shown + 1
    if following < len(times_s) and times_s[following] - at_s < abs(at_s - times_s[shown]):
        return Frame(following)
    return shown


def nominal_rate(rate: Fraction) -> int:
    """Return the whole number that a rate's labels count to: 30 for 30000/1001."""
    return round(rate)


def label_of(frame: Frame, rate: Fraction, *, drop: bool) -> str:
    """Write a frame number as a time label, ``HH:MM:SS:FF`` or with ``;`` when dropping.

    Parameters
    ----------
    frame : Frame
        From 0.
    rate : Fraction
        Frames a second, such as ``Fraction(30000, 1001)``.
    drop : bool
        Skip labels so that they keep to the clock; only at 29.97 and 59.94.

    Raises
    ------
    ValueError
        For a negative frame, or dropping at another rate.

    >>> label_of(Frame(1800), Fraction(30000, 1001), drop=True)
    '00:01:00;02'
    """
    if frame < 0:
        raise ValueError(f"A frame number counts from 0, not from {frame}.")
    count = nominal_rate(rate)
    number: int = frame
    if drop:
        skipped = _skipped_a_minute(rate)
        a_minute = 60 * count - skipped
        ten_minutes = 10 * a_minute + skipped
        tens, rest = divmod(number, ten_minutes)
        number += 9 * skipped * tens
        if rest >= skipped:
            number += skipped * ((rest - skipped) // a_minute)
    seconds, frames = divmod(number, count)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02d}:{minutes:02d}:{seconds:02d}{';' if drop else ':'}{frames:02d}"


def number_of(label: str, rate: Fraction) -> Frame:
    """Read a time label back to its frame number.

    Raises
    ------
    ValueError
        When the text is no label, or names one that dropping skips (00:01:00;00).

    >>> number_of("00:01:00;02", Fraction(30000, 1001))
    1800
    """
    drop = ";" in label
    parts = label.replace(";", ":").split(":")
    if len(parts) != _LABEL_PARTS or not all(part.isdecimal() for part in parts):
        raise ValueError(f"“{label}” is no time label; write it as HH:MM:SS:FF.")
    hours, minutes, seconds, frames = (int(part) for part in parts)
    count = nominal_rate(rate)
    if minutes >= 60 or seconds >= 60 or frames >= count:
        raise ValueError(f"“{label}” does not exist at {count} frames a second.")
    total_minutes = 60 * hours + minutes
    number = (60 * total_minutes + seconds) * count + frames
    if drop:
        skipped = _skipped_a_minute(rate)
        if minutes % 10 and seconds == 0 and frames < skipped:
            raise ValueError(f"“{label}” does not exist: drop-frame labels skip it.")
        number -= skipped * (total_minutes - total_minutes // 10)
    return Frame(number)


def _skipped_a_minute(rate: Fraction) -> int:
    """Return how many labels dropping skips a minute: 2 at 29.97, 4 at 59.94."""
    for count in (30, 60):
        if rate == Fraction(count * 1000, 1001):
            return count // 15
    raise ValueError("Drop-frame labels exist at 29.97 and 59.94 frames a second only.")


def cue_time(at_s: Fraction) -> str:
    """Write a time as a WebVTT timestamp, ``HH:MM:SS.mmm`` (W3C WebVTT).

    >>> cue_time(Fraction(150 * 1001, 30000))
    '00:00:05.005'
    """
    if at_s < 0:
        raise ValueError("A cue can't begin before the film.")
    thousandths = pts_at(at_s, Fraction(1, 1000))
    seconds, thousandths_left = divmod(int(thousandths), 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02d}:{minutes:02d}:{seconds:02d}.{thousandths_left:03d}"
