"""Plays in a long recording: proposed from what is seen, for a person to correct.

The method and its figures come from our own trial on recordings drawn for it and on the drawn
sample plays; no published one is followed. It would rather propose too much than miss a play:
joining or dropping costs the coach one key, a missed play costs him a search.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike

from gradecut.motion._bursts import Burst, find_bursts
from gradecut.motion.recording_watch import Break, Watched, find_breaks

__all__ = ["PlayFound", "find_plays"]

_LEAD_S, _RUN_OUT_S = 4.0, 2.5
_ONE_PLAY_S = 25.0
_PART_S = (2.5, 40.0)
_NEAR_S = 8.0
_PANS, _PAN_S, _LEAST_CALM_S = 0.06, 1.0, 4.0
_NOTHING = "Nothing in this film tells plays apart."


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayFound:
    """One play of a recording, as far as it can be seen.

    Attributes
    ----------
    start_s, stop_s : float
        Seconds from the first frame of the film, with some film before the snap and after.
    why : tuple of str
        What speaks for it and against, in plain words.
    confidence : float
        From 0 (a guess) to 1.
    """

    start_s: float
    stop_s: float
    why: tuple[str, ...]
    confidence: float


def find_plays(
    watched: Watched, *, frame_times_s: ArrayLike = (), length_s: float | None = None
) -> tuple[PlayFound, ...]:
    """Propose the plays of a recording.

    Parameters
    ----------
    watched : Watched
        What ``watch_recording`` saw.
    frame_times_s : array_like, shape (F,)
        When every frame begins, seconds; a gap in them is a pause of the camera.
    length_s : float, optional
        How long the film is; to the last picture when None.

    Returns
    -------
    tuple of PlayFound
        In order, none over another, inside the film. A film in which nothing tells plays
        apart is one play of low confidence; without a picture there is none.

    Examples
    --------
    >>> import numpy as np
    >>> from gradecut.motion.recording_watch import Watched
    >>> nothing = np.zeros(300)
    >>> still = Watched(
    ...     times_s=np.arange(300) / 5, unlike=nothing, stirred=nothing, slid=np.zeros((300, 2))
    ... )
    >>> [(play.start_s, play.stop_s, play.confidence) for play in find_plays(still)]
    [(0.0, 59.8, 0.1)]
    """
    if not len(watched.times_s):
        return ()
    end_s = float(watched.times_s[-1]) if length_s is None else float(length_s)
    breaks = find_breaks(watched, frame_times_s)
    parts = _parts(breaks, end_s)
    bursts = find_bursts(watched, [(part.start_s, part.stop_s) for part in parts])
    count = sum(len(some) for some in bursts)
    if count <= 1 and not breaks and end_s <= _ONE_PLAY_S:
        return (_whole(end_s, bursts[0]),)
    if not count and not breaks:
        return _between_pans(watched, end_s) or (_whole(end_s, []),)
    usual = float(np.median([one.rise for some in bursts for one in some] or [0.0]))
    found: list[PlayFound] = []
    for part, some in zip(parts, bursts, strict=True):
        if some:
            found += _around(some, part, watched, usual)
        elif _PART_S[0] <= part.stop_s - part.start_s <= _PART_S[1]:
            why = (_of_break(part.before), "No burst of men was seen in it.")
            found.append(
                PlayFound(start_s=part.start_s, stop_s=part.stop_s, why=why, confidence=0.3)
            )
    return tuple(found) or (_whole(end_s, []),)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """A part of the film between two breaks, or an end of the film."""

    start_s: float
    stop_s: float
    before: Break | None
    after: Break | None


def _parts(breaks: Sequence[Break], end_s: float) -> list[_Part]:
    """Return the parts between breaks."""
    edges = [None, *breaks, None]
    parts = [
        _Part(
            start_s=before.after_s if before else 0.0,
            stop_s=after.before_s if after else end_s,
            before=before,
            after=after,
        )
        for before, after in pairwise(edges)
    ]
    return [part for part in parts if part.stop_s >= part.start_s]


def _whole(end_s: float, bursts: Sequence[Burst]) -> PlayFound:
    """Return the whole film as one play."""
    if not bursts:
        return PlayFound(start_s=0.0, stop_s=end_s, why=(_NOTHING,), confidence=0.1)
    why = ("The film is no longer than one play.", "Men burst after standing still.")
    return PlayFound(start_s=0.0, stop_s=end_s, why=why, confidence=0.6)


def _around(
    bursts: Sequence[Burst], part: _Part, watched: Watched, usual: float
) -> list[PlayFound]:
    """Return the plays of one part, each with film before its burst and after it."""
    edges = [max(part.start_s, bursts[0].start_s - _LEAD_S)]
    for one, following in pairwise(bursts):
        gap = following.start_s - one.stop_s
        if gap > _LEAD_S + _RUN_OUT_S:
            edges += [one.stop_s + _RUN_OUT_S, following.start_s - _LEAD_S]
        else:
            meet = one.stop_s + max(gap, 0.0) * _RUN_OUT_S / (_LEAD_S + _RUN_OUT_S)
            edges += [meet, meet]
    edges.append(min(part.stop_s, bursts[-1].stop_s + _RUN_OUT_S))
    found = []
    for burst, start_s, stop_s in zip(bursts, edges[::2], edges[1::2], strict=True):
        why, confidence = _weighed(burst, part, watched, usual)
        found.append(
            PlayFound(start_s=start_s, stop_s=max(start_s, stop_s), why=why, confidence=confidence)
        )
    return found


def _weighed(
    burst: Burst, part: _Part, watched: Watched, usual: float
) -> tuple[tuple[str, ...], float]:
    """Say what speaks for a play, and how much."""
    begins = part.before is not None and burst.start_s - part.start_s < _NEAR_S
    ends = part.after is not None and part.stop_s - burst.stop_s < _NEAR_S
    calm = _slide(watched, burst.start_s - 1.5, burst.start_s) < _PANS
    panned = _slide(watched, burst.start_s - 12.0, burst.start_s - 1.5) > 2 * _PANS
    signs = [
        (burst.begun, -0.2, "The film begins with men on the move."),
        (not burst.begun, 0.2, "Men burst after standing still."),
        (not burst.begun and burst.rise >= 0.6 * usual, 0.1, ""),
        (calm and panned, 0.1, "The camera settled before it."),
        (not calm, -0.1, "The camera was still moving when they burst."),
        (burst.settled, 0.1, "They settle again."),
        (not burst.settled, -0.1, "Where it ends was not seen."),
        (begins, 0.1, _of_break(part.before)),
        (ends, 0.05, "The camera is stopped after it."),
    ]
    confidence = 0.5 + sum(weight for holds, weight, _ in signs if holds)
    why = tuple(said for holds, _, said in signs if holds and said)
    return why, round(min(max(confidence, 0.1), 0.95), 2)


def _of_break(one: Break | None) -> str:
    if one is None:
        return "The film begins here."
    if one.paused:
        return "The camera was stopped before it."
    return "The picture changes at once before it."


def _slide(watched: Watched, from_s: float, to_s: float) -> float:
    """Return how far the camera swung in a stretch of time, back and forth taken off."""
    inside = (watched.times_s > from_s) & (watched.times_s <= to_s)
    return float(np.hypot(*watched.slid[inside].sum(axis=0))) if inside.any() else 0.0


def _between_pans(watched: Watched, end_s: float) -> tuple[PlayFound, ...]:
    """Return where the camera stands, when nothing else tells plays apart."""
    calm = np.array(
        [_slide(watched, time_s - _PAN_S, time_s) < _PANS for time_s in watched.times_s]
    )
    edges = np.flatnonzero(np.diff(np.r_[False, calm, False].astype(np.int8)))
    found = []
    for first, past in zip(edges[::2], edges[1::2], strict=True):
        start_s = float(watched.times_s[first])
        stop_s = end_s if past == len(calm) else float(watched.times_s[past - 1])
        if stop_s - start_s >= _LEAST_CALM_S:
            why = ("The camera settles here.", "No burst of men was seen in it.")
            found.append(PlayFound(start_s=start_s, stop_s=stop_s, why=why, confidence=0.25))
    return tuple(found) if len(found) > 1 else ()
