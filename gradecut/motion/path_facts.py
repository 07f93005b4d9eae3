"""Speeds along a path on the field, and whether a man can have run it.

Limits of the check: the fastest ten metres on record, Berlin 2009, are 12.35 m/s or 13.5 yd/s
(official split times, two reports that differ by 0.01 to 0.02 s), so 13.6 yd/s is no man.
Linebackers' forty-yard times of 4.71 to 4.79 s (press averages) mean about 8.4 yd/s, so 10 is
worth a second look. The same record's first ten metres average 5.79 yd/s, so 7 yd/s over the
first five yards from a stand is a marking error. The limits are our suggestion from these.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

__all__ = ["PathFacts", "path_facts"]

Array = NDArray[np.float64]

_WARN_YD_S, _REJECT_YD_S = 10.0, 13.6
_FIRST_YD, _FIRST_YD_S = 5.0, 7.0
_SPAN_S = 0.2  # a speed is taken over this long, so that a shaky click makes no sprint
_STAND_YD_S, _LEFT_YD = 1.0, 0.1
_EPSILON_S = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PathFacts:
    """What a path on the field says about the run.

    Attributes
    ----------
    speeds_yd_s : ndarray, shape (N,), float64
        Speed about each place, taken over 0.2 s or the nearest places that span as much.
    top_yd_s : float
        The highest of them.
    travelled_yd : float
        Length of the path.
    first_five_yd_s : float or None
        Mean speed from leaving his spot until five yards from it; None when he was not standing
        at first or never got so far.
    verdict : {"sound", "doubtful", "wrong"}
        Whether a man can have run it.
    notes : tuple of str
        What is doubtful or wrong, one sentence each; empty when sound.
    """

    speeds_yd_s: Array
    top_yd_s: float
    travelled_yd: float
    first_five_yd_s: float | None
    verdict: Literal["sound", "doubtful", "wrong"]
    notes: tuple[str, ...]


def path_facts(points_yd: ArrayLike, times: Sequence[Fraction | float]) -> PathFacts:
    """Measure speeds along a path, and check them against what men can run.

    Parameters
    ----------
    points_yd : array_like, shape (N, 2)
        Places on the field, yards, N >= 2; no missing values.
    times : sequence of Fraction or float
        When he was there, seconds, rising.

    Raises
    ------
    ValueError
        For fewer than two places, missing values, or times that don't rise or match.

    Examples
    --------
    >>> facts = path_facts([(0, 0), (2, 0), (4, 0)], [0.0, 0.4, 0.8])
    >>> facts.top_yd_s, facts.verdict
    (5.0, 'sound')
    """
    points = np.asarray(points_yd, dtype=np.float64)
    times_s = np.array([float(time) for time in times])
    if points.ndim != 2 or points.shape[1] != 2 or len(points) < 2:
        raise ValueError("A path needs at least two places on the field.")
    if (
        len(times_s) != len(points)
        or not np.isfinite(points).all()
        or (np.diff(times_s) <= 0).any()
    ):
        raise ValueError("Each place of a path needs a time, later than the one before.")
    speeds = _speeds(points, times_s)
    top, first_five = float(speeds.max()), _first_five(points, times_s, speeds)
    verdict, notes = _judged(top, first_five)
    return PathFacts(
        speeds_yd_s=speeds,
        top_yd_s=top,
        travelled_yd=float(np.linalg.norm(np.diff(points, axis=0), axis=1).sum()),
        first_five_yd_s=first_five,
        verdict=verdict,
        notes=notes,
    )


def _speeds(points: Array, times_s: Array) -> Array:
    """Return the speed about each place."""
    speeds = np.empty(len(points))
    for at, time_s in enumerate(times_s):
        half = _SPAN_S / 2 + _EPSILON_S
        begin = int(np.searchsorted(times_s, time_s - half))
        end = int(np.searchsorted(times_s, time_s + half)) - 1
        if end == begin:  # places lie farther apart than the span: take the neighbours
            begin, end = max(at - 1, 0), min(at + 1, len(points) - 1)
        way = np.linalg.norm(points[end] - points[begin])
        speeds[at] = way / (times_s[end] - times_s[begin])
    return speeds


def _first_five(points: Array, times_s: Array, speeds: Array) -> float | None:
    """Return the mean speed over the first five yards from a stand."""
    if speeds[0] > _STAND_YD_S:
        return None
    away = np.linalg.norm(points - points[0], axis=1)
    there = np.flatnonzero(away >= _FIRST_YD)
    if not len(there):
        return None
    left = int(np.flatnonzero(away[: there[0]] <= _LEFT_YD)[-1])
    return float(away[there[0]] / (times_s[there[0]] - times_s[left]))


def _judged(
    top: float, first_five: float | None
) -> tuple[Literal["sound", "doubtful", "wrong"], tuple[str, ...]]:
    """Return the verdict and what it rests on."""
    notes = []
    if top > _REJECT_YD_S:
        notes.append(f"{top:.1f} yards a second is faster than any man; check the marks.")
    if first_five is not None and first_five > _FIRST_YD_S:
        notes.append(
            f"{first_five:.1f} yards a second over the first five yards from a stand is a marking "
            "error; check when he leaves."
        )
    if notes:
        return "wrong", tuple(notes)
    if top > _WARN_YD_S:
        return "doubtful", (f"{top:.1f} yards a second is very fast here; look again.",)
    return "sound", ()
