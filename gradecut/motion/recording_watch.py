"""What is seen in a long recording, picture by picture, before plays are looked for in it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gradecut.motion._picture_pairs import compare_pictures, unlike_when_laid

__all__ = ["Break", "Watched", "find_breaks", "watch_recording"]

Array = NDArray[np.float64]
Grey = NDArray[np.uint8]

_PAUSE_BEATS, _LEAST_PAUSE_S = 5, 0.6
_CUT_UNLIKE, _CUT_ABOVE, _CUT_TIMES = 0.3, 0.2, 2.5
_SAME_BREAK_S = 0.5


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Watched:
    """A recording seen in small grey pictures; N of them.

    Attributes
    ----------
    times_s : ndarray, shape (N,), float64
        When each was taken, seconds from the first frame of the film, rising.
    unlike : ndarray, shape (N,), float64
        How much of each differs from the picture before, with the camera's motion taken out:
        0 for not at all, 1 for nothing in common. 0 for the first. The faster men move, the
        more.
    stirred : ndarray, shape (N,), float64
        The same against the picture before that one: men have gone twice as far, while grain
        and shaking are the same. Shows best that men move, but not how fast.
    slid : ndarray, shape (N, 2), float64
        How far the picture slid right and down since the one before, as a share of its width.
    """

    times_s: Array
    unlike: Array
    stirred: Array
    slid: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class Break:
    """A place where the camera was stopped or another camera takes over.

    Attributes
    ----------
    before_s, after_s : float
        Between these the film has nothing, or changes.
    paused : bool
        The film's own times leave a gap; else its pictures change at once.
    """

    before_s: float
    after_s: float
    paused: bool


def watch_recording(samples: Iterable[tuple[Fraction, Grey]]) -> Watched:
    """Compare each small picture of a recording with the one before.

    Parameters
    ----------
    samples : iterable of (Fraction, ndarray of shape (h, w), uint8)
        Seconds and picture, about five a second, all of one size; each picture is let go
        once the next one has come.

    Raises
    ------
    ValueError
        When sizes differ or times don't rise.
    """
    times: list[float] = []
    told: list[tuple[float, float, float, float]] = []
    last: Grey | None = None
    older: Grey | None = None
    before = np.eye(3)
    for time_s, picture in samples:
        if times and time_s <= times[-1]:
            raise ValueError("The times of pictures must rise.")
        times.append(float(time_s))
        if last is None:
            told.append((0.0, 0.0, 0.0, 0.0))
        else:
            facts = compare_pictures(last, picture)
            stirred = None
            if older is not None:
                stirred = unlike_when_laid(older, picture, (facts.laid @ before)[:2])
            stirred = facts.unlike if stirred is None else stirred
            told.append((facts.unlike, stirred, *facts.pan_xy))
            before = facts.laid
        last, older = picture, last
    columns = np.array(told, dtype=np.float64).reshape(-1, 4)
    return Watched(
        times_s=np.array(times, dtype=np.float64),
        unlike=columns[:, 0],
        stirred=columns[:, 1],
        slid=columns[:, 2:],
    )


def find_breaks(watched: Watched, frame_times_s: ArrayLike) -> tuple[Break, ...]:
    """Find where a recording pauses or cuts to another picture.

    Parameters
    ----------
    watched : Watched
    frame_times_s : array_like, shape (F,)
        When every frame of the film begins, seconds; a gap far longer than its beat is a pause.
        Empty where that is not known.
    """
    frames = np.asarray(frame_times_s, dtype=np.float64)
    found = []
    if len(frames) > 2:
        gaps = np.diff(frames)
        longest = max(_PAUSE_BEATS * float(np.median(gaps)), _LEAST_PAUSE_S)
        found = [
            Break(before_s=float(frames[at]), after_s=float(frames[at + 1]), paused=True)
            for at in np.flatnonzero(gaps > longest)
        ]
    for at in _cuts(np.minimum(watched.unlike, watched.stirred)):
        before_s, after_s = float(watched.times_s[at - 1]), float(watched.times_s[at])
        if all(
            after_s < one.before_s - _SAME_BREAK_S or before_s > one.after_s + _SAME_BREAK_S
            for one in found
        ):
            found.append(Break(before_s=before_s, after_s=after_s, paused=False))
    return tuple(sorted(found, key=lambda one: one.before_s))


def _cuts(unlike: Array) -> list[int]:
    """Return where one picture alone has nothing in common with the one before.

    A camera swung round fast is unlike for several pictures, and no cut.
    """
    found = []
    for at in range(1, len(unlike)):
        beside = np.r_[unlike[max(at - 2, 1) : at], unlike[at + 1 : at + 3]]
        usual = float(np.max(beside)) if len(beside) else 0.0
        if unlike[at] >= max(_CUT_UNLIKE, usual + _CUT_ABOVE, _CUT_TIMES * usual):
            found.append(at)
    return found
