"""A line through the places at which two sounds meet: the drift of two clocks, and its doubt."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gradecut.film.hearing._waves import Numbers

__all__ = ["FEWEST", "Place", "SoundLine", "line_through"]

FEWEST = 3
"""Places it takes to believe a line."""

_MOST_DRIFT = 400e-6
"""Largest difference of two clocks believed; cameras keep to within about 100 ppm each."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where one stretch of the second sound lies in the first.

    Attributes
    ----------
    at_s : float
        Middle of the stretch, in seconds of the second sound.
    offset_s : float
        Seconds of the first sound less seconds of the second, there.
    stands_out : float
        How many spreads of the rest the peak stands above it.
    """

    at_s: float
    offset_s: float
    stands_out: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundLine:
    """A map from the clock of a second recording to that of a first.

    Attributes
    ----------
    scale, offset_s : float
        Seconds of the first = scale x seconds of the second + offset_s.
    sigma_s : float
        Spread of the places about the line, in seconds.
    places, tried : int
        How many places lie on it, and in how many it was looked for.
    by_waves : bool
        Whether waves were laid on each other; else how loud they are alone decided.
    """

    scale: float
    offset_s: float
    sigma_s: float
    places: int
    tried: int
    by_waves: bool


def line_through(places: list[Place], *, near_s: float, by_waves: bool) -> SoundLine | None:
    """Fit a line through most of the places; None where too few lie on one.

    Parameters
    ----------
    near_s : float
        How far from the line a place may lie and still be on it.
    by_waves : bool
        How the places were found.
    """
    if len(places) < FEWEST:
        return None
    at = np.array([one.at_s for one in places])
    offsets = np.array([one.offset_s for one in places])
    apart = np.abs(offsets[:, None] - offsets)
    together = apart <= near_s + _MOST_DRIFT * np.abs(at[:, None] - at)
    mine = together[int(together.sum(axis=1).argmax())]
    slope, level = _best_line(at[mine], offsets[mine], near_s)
    for _ in range(3):
        mine = np.abs(offsets - slope * at - level) <= near_s
        if mine.sum() < FEWEST:
            return None
        slope, level = _least_squares(at[mine], offsets[mine])
    if abs(slope) > _MOST_DRIFT:
        return None
    left_s = offsets[mine] - slope * at[mine] - level
    sigma_s = float(np.sqrt((left_s**2).sum() / max(mine.sum() - 2, 1)))
    return SoundLine(
        scale=1 + slope, offset_s=level, sigma_s=sigma_s, places=int(mine.sum()),
        tried=len(places), by_waves=by_waves,
    )  # fmt: skip


def _best_line(at: Numbers, offsets: Numbers, near_s: float) -> tuple[float, float]:
    """Return the line through two of the places that most of them lie near."""
    best = (0.0, float(np.median(offsets)))
    most = int((np.abs(offsets - best[1]) <= near_s).sum())
    span_s = float(at.max() - at.min())
    for one in range(len(at)):
        for other in range(one + 1, len(at)):
            if at[other] - at[one] < span_s / 4 or at[other] == at[one]:
                continue
            slope = float((offsets[other] - offsets[one]) / (at[other] - at[one]))
            if abs(slope) > _MOST_DRIFT:
                continue
            level = float(offsets[one] - slope * at[one])
            near = int((np.abs(offsets - slope * at - level) <= near_s).sum())
            if near > most:
                best, most = (slope, level), near
    return best


def _least_squares(at: Numbers, offsets: Numbers) -> tuple[float, float]:
    """Fit a line; a level one where the places lie too close together to tell a slope."""
    if np.ptp(at) < 1.0:
        return 0.0, float(offsets.mean())
    slope, level = np.polyfit(at, offsets, 1)
    return float(slope), float(level)
