"""Marks that go along with a man: where they are at any timestamp, smoothly from key to key."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import replace

from gradecut.drawing.shapes import Point
from gradecut.records.marks import Mark, MarkKey
from gradecut.timebase import Pts

__all__ = ["mark_at", "marks_at", "moved_by_px", "scaled_mark"]


def moved_by_px(keys: Sequence[MarkKey], pts: Pts) -> Point:
    """Return how far a mark has moved by a timestamp: through its keys, smoothly between.

    Each axis runs on its own along a piecewise cubic that keeps the keys' shape: it passes
    through every key, never overshoots one, and turns round only at a key. Slopes are the
    weighted harmonic means of Fritsch and Butland, "A Method for Constructing Local Monotone
    Piecewise Cubic Interpolants" (SIAM J. Sci. Stat. Comput. 5, 1984), which meet the
    conditions of Fritsch and Carlson, "Monotone Piecewise Cubic Interpolation" (SIAM J. Numer.
    Anal. 17, 1980); at the first and last key the three-point slope, kept to that shape
    (Moler, "Numerical Computing with MATLAB", 2004, section 3.6).

    Parameters
    ----------
    keys : sequence of MarkKey
        In the order of their timestamps, no two at one; empty: it has not moved.
    pts : Pts
        In the same time base; before the first key and after the last it stands as it does
        there.

    Returns
    -------
    (dx, dy)
        In pixels as displayed, y down.
    """
    if not keys:
        return 0.0, 0.0
    after = bisect_right(keys, pts, key=lambda key: key.pts)
    if after == 0 or after == len(keys):
        return keys[min(after, len(keys) - 1)].by
    return _between(keys, after, pts, 0), _between(keys, after, pts, 1)


def mark_at(mark: Mark, pts: Pts) -> Mark:
    """Return a mark where it is at a timestamp, its keys used up; a still one as it is.

    Whether it is seen there does not matter.
    """
    if not mark.keys:
        return mark
    dx, dy = moved_by_px(mark.keys, pts)
    return replace(mark, points=tuple((x + dx, y + dy) for x, y in mark.points), keys=())


def marks_at(marks: Iterable[Mark], pts: Pts) -> tuple[Mark, ...]:
    """Return those marks that are seen at a timestamp, each where it is then."""
    return tuple(mark_at(mark, pts) for mark in marks if mark.from_pts <= pts <= mark.to_pts)


def scaled_mark(mark: Mark, scale: Point, origin_px: Point) -> Mark:
    """Return a still mark in pixels of another picture: scaled along each axis, then moved.

    Parameters
    ----------
    scale : (x, y)
        Pixels of that picture for each of the film.
    origin_px : (x, y)
        Where the film's corner lies in that picture.
    """
    points = tuple(
        (x * scale[0] + origin_px[0], y * scale[1] + origin_px[1]) for x, y in mark.points
    )
    return replace(mark, points=points)


def _between(keys: Sequence[MarkKey], after: int, pts: Pts, axis: int) -> float:
    """Return one axis between two keys, by the cubic with their slopes."""
    one, two = keys[after - 1], keys[after]
    start, end = one.by[axis], two.by[axis]
    span = two.pts - one.pts
    t = (pts - one.pts) / span
    found = (
        start * (1 + 2 * t) * (1 - t) ** 2
        + span * _slope(keys, after - 1, axis) * t * (1 - t) ** 2
        + end * t * t * (3 - 2 * t)
        + span * _slope(keys, after, axis) * t * t * (t - 1)
    )
    # In exact numbers it never leaves its two keys; rounding must not either.
    return min(max(found, min(start, end)), max(start, end))


def _slope(keys: Sequence[MarkKey], at: int, axis: int) -> float:
    """Return the slope at a key, in pixels for each tick."""
    if len(keys) == 2:
        return _rise(keys, 0, axis)
    if at == 0:
        return _end_slope(keys, 0, 1, axis)
    if at == len(keys) - 1:
        return _end_slope(keys, at - 1, at - 2, axis)
    before, behind = _rise(keys, at - 1, axis), _rise(keys, at, axis)
    if before * behind <= 0:
        return 0.0
    back, on = keys[at].pts - keys[at - 1].pts, keys[at + 1].pts - keys[at].pts
    one, two = 2 * on + back, on + 2 * back
    return (one + two) / (one / before + two / behind)


def _end_slope(keys: Sequence[MarkKey], near: int, far: int, axis: int) -> float:
    """Return the slope at an end from the stretch beside it and the one behind that."""
    beside, behind = _rise(keys, near, axis), _rise(keys, far, axis)
    short = keys[near + 1].pts - keys[near].pts
    long = keys[far + 1].pts - keys[far].pts
    slope = ((2 * short + long) * beside - short * behind) / (short + long)
    if slope * beside <= 0:
        return 0.0
    if beside * behind <= 0 and abs(slope) > 3 * abs(beside):
        return 3 * beside
    return slope


def _rise(keys: Sequence[MarkKey], at: int, axis: int) -> float:
    """Return the mean slope from a key to the next."""
    one, two = keys[at], keys[at + 1]
    return (two.by[axis] - one.by[axis]) / (two.pts - one.pts)
