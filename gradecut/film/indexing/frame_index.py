"""Where every frame of a film lies: the index that makes stepping exact."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

__all__ = ["FrameIndex", "Keys", "StreamFacts", "Ticks"]

Ticks = NDArray[np.int64]
"""Presentation or decode timestamps, in ticks of the film's time base."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StreamFacts:
    """What a film says of itself and its first frame shows.

    Attributes
    ----------
    stream : int
        Number of the stream shown, in its container.
    container, codec, pixel_format : str
        As the decoder names them.
    coded_width_px, coded_height_px : int
        As stored.
    width_px, height_px : int
        As displayed: sample aspect applied, then turned.
    quarter_turns : int
        Clockwise quarter turns to upright, 0 to 3, after mirroring.
    mirrored : bool
        Left and right change places before turning.
    matrix : int
        Matrix of the colour conversion (ITU-T H.273 MatrixCoefficients); 2 when not told.
    primaries, transfer : int
        Colour primaries and transfer characteristics (the same standard); 2 when not told.
    full_range : bool
        Whether luma uses all of 0 to 255.
    pixel_aspect : Fraction
        How wide a pixel is for its height; 1 when square.
    interlaced : bool
        Whether a frame weaves two fields of different times.
    top_field_first : bool or None
        Which of the two is earlier; None when not interlaced, or not told.
    sound : bool
        Whether there is sound.
    sound_codec : str
        As the decoder names it; empty without sound.
    sound_channels, sound_rate_hz : int
        0 without sound.
    sound_start_s, sound_length_s : Fraction or None
        When sound begins, in seconds from the first frame (negative: before it), and how
        long it is; None when the container doesn't say.
    video_streams : int
        How many streams of moving pictures there are.
    time_base : Fraction
        Length of a tick in seconds.
    declared_rate : Fraction or None
        The rate the container claims; the index says what is true.
    """

    stream: int
    container: str
    codec: str
    pixel_format: str
    coded_width_px: int
    coded_height_px: int
    width_px: int
    height_px: int
    quarter_turns: int
    mirrored: bool
    matrix: int
    full_range: bool
    interlaced: bool
    sound: bool
    video_streams: int
    time_base: Fraction
    declared_rate: Fraction | None
    primaries: int = 2
    transfer: int = 2
    pixel_aspect: Fraction = Fraction(1)
    top_field_first: bool | None = None
    sound_codec: str = ""
    sound_channels: int = 0
    sound_rate_hz: int = 0
    sound_start_s: Fraction | None = None
    sound_length_s: Fraction | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Keys:
    """The pictures decoding can begin at, in decode order; four arrays of one length.

    Attributes
    ----------
    decode_at : (K,) int64
        Place among the stream's packets, from 0.
    pts, dts : (K,) int64
        Timestamps; dts stands in for itself by pts where a film gives none.
    pos : (K,) int64
        Byte position in the file, -1 when unknown.
    """

    decode_at: Ticks
    pts: Ticks
    dts: Ticks
    pos: Ticks

    def __len__(self) -> int:
        return len(self.decode_at)


@dataclass(frozen=True, kw_only=True, eq=False)
class FrameIndex:
    """Every frame of a film in presentation order, and how to reach it.

    Frame i is the i-th packet that is not marked to be discarded, in presentation order.

    Attributes
    ----------
    facts : StreamFacts
        What the film is.
    pts : (N,) int64
        Presentation timestamps, rising.
    decode_at : (N,) int64
        Place of each frame's packet in decode order, from 0.
    keys : Keys
        Where decoding can begin.
    last_ticks : int
        How long the last frame stands.
    counted : bool
        The film gives no usable times: frames are told apart by counting packets.
    notes : tuple of str
        Things worth telling a person.
    faults : tuple of str
        What is wrong with the film.
    cut_off : bool
        Its end is missing: the recording or a copy stopped too soon.
    damaged : (D,) int64
        Frames whose packets the container itself marks as damaged, rising.
    """

    facts: StreamFacts
    pts: Ticks
    decode_at: Ticks
    keys: Keys
    last_ticks: int
    counted: bool
    notes: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    cut_off: bool = False
    damaged: Ticks = field(default_factory=lambda: np.empty(0, dtype=np.int64))

    def __len__(self) -> int:
        return len(self.pts)

    @cached_property
    def key_of(self) -> Ticks:
        """(N,) for each frame the last key it can be reached from."""
        if self.counted:
            # Frames shown before a key may be stored after it and built from the group before.
            shown_from = np.searchsorted(self._key_numbers, np.arange(len(self)), side="right")
            return np.maximum(shown_from - 1, 0)
        return np.maximum(np.searchsorted(self.keys.pts, self.pts, side="right") - 1, 0)

    @property
    def _key_numbers(self) -> Ticks:
        """(K,) for each key the frame it becomes; one past the end where it became none."""
        inside = self.keys.decode_at < len(self.number_at)
        numbers = np.full(len(self.keys), len(self), dtype=np.int64)
        numbers[inside] = self.number_at[self.keys.decode_at[inside]]
        return numbers

    @cached_property
    def first_of_key(self) -> Ticks:
        """(K,) for each key the first frame that can be shown after entering there."""
        if self.counted:
            # The first frame, in presentation order, that belongs to the key.
            return np.searchsorted(self.key_of, np.arange(len(self.keys)), side="left")
        return np.searchsorted(self.pts, self.keys.pts, side="left")

    @cached_property
    def number_at(self) -> Ticks:
        """For each packet in decode order the frame it becomes, -1 for none."""
        size = int(self.decode_at.max(initial=-1)) + 1
        numbers = np.full(size, -1, dtype=np.int64)
        numbers[self.decode_at] = np.arange(len(self))
        return numbers

    @cached_property
    def rate(self) -> Fraction | None:
        """Frames a second when rounding to ticks explains every frame's time, else None."""
        return _steady_rate(self.pts, self.facts.time_base, self.facts.declared_rate)


_KNOWN_RATES = tuple(
    Fraction(count * 1000, 1001) for count in (24, 30, 48, 60, 120, 240)
) + tuple(Fraction(count) for count in (24, 25, 30, 48, 50, 60, 100, 120, 240))  # fmt: skip


def _steady_rate(pts: Ticks, tick_s: Fraction, declared: Fraction | None) -> Fraction | None:
    """Return the rate whose beat, rounded to ticks, gives every frame's time."""
    if len(pts) < 2:
        return declared
    gone = pts - pts[0]
    mean = (len(pts) - 1) / (int(gone[-1]) * tick_s)
    near = sorted(_KNOWN_RATES, key=lambda rate: abs(rate - mean))[:3]
    guesses = [*([declared] if declared else []), *near, mean.limit_denominator(1001), mean]
    beats = np.arange(len(pts))
    for rate in guesses:
        beat_ticks = 1 / (rate * tick_s)
        off = gone - beats * float(beat_ticks)
        # Rounding moves frames by up to one tick against each other, and whole ticks by none.
        allowed = 0 if beat_ticks.denominator == 1 else 1
        if off.max() - off.min() <= allowed + 1e-6:
            return rate
    return None
