"""The shape of a mark under the hand: drawn, taken hold of, moved, reshaped point by point."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from math import hypot

from gradecut.drawing import ring_radii, text_width_px
from gradecut.records import Mark, MarkKind

__all__ = [
    "ONE_POINT",
    "Point",
    "distance_px",
    "handles",
    "moved",
    "outline",
    "reshaped",
    "thinned",
]

Point = tuple[float, float]

ONE_POINT: tuple[MarkKind, ...] = ("bracket", "ring", "text")
"""Kinds that are set down at one point."""
_LEAST_PX = 8.0
"""A hand that moved less than this only touched the film."""
_LANE = 0.03
"""Half a lane's width, as a share of the film's height."""
_FULL = 720.0
_TEXT_PX = 18.0
_INSIDE_PX = 12.0
"""How far the inside of a lane counts as being from it: its lines, and what lies on it, come
first."""


def outline(kind: MarkKind, drawn: Sequence[Point], height_px: float) -> tuple[Point, ...] | None:
    """Return a mark's points from the way of the hand; None where it was only touched.

    Parameters
    ----------
    drawn : sequence of (x, y)
        Film pixels as displayed, y down; one at least.
    height_px : float
        Of the film.
    """
    first, last = drawn[0], drawn[-1]
    if kind in ONE_POINT:
        return (last,)
    if kind == "path":
        way = thinned(drawn, height_px / _FULL)
        return way if _length(way) >= _LEAST_PX else None
    reach = hypot(last[0] - first[0], last[1] - first[1])
    if reach < _LEAST_PX:
        return None
    if kind != "lane":
        return (first, last)
    half = _LANE * height_px
    nx, ny = -(last[1] - first[1]) / reach * half, (last[0] - first[0]) / reach * half
    return (
        (first[0] + nx, first[1] + ny),
        (last[0] + nx, last[1] + ny),
        (last[0] - nx, last[1] - ny),
        (first[0] - nx, first[1] - ny),
    )


def thinned(way: Sequence[Point], tolerance_px: float) -> tuple[Point, ...]:
    """Leave points out of a way where it stays within a tolerance of what was drawn.

    The ends stay. Douglas and Peucker, "Algorithms for the reduction of the number of points
    required to represent a digitized line" (The Canadian Cartographer 10, 1973).

    >>> thinned([(0, 0), (5, 0.1), (10, 0)], 1.0)
    ((0, 0), (10, 0))
    """
    kept, open_ = {0, len(way) - 1}, [(0, len(way) - 1)]
    while open_:
        start, stop = open_.pop()
        between = range(start + 1, stop)
        far = max(between, key=lambda at: _from_line(way[at], way[start], way[stop]), default=None)
        if far is not None and _from_line(way[far], way[start], way[stop]) > tolerance_px:
            kept.add(far)
            open_ += [(start, far), (far, stop)]
    return tuple(way[at] for at in sorted(kept))


def handles(mark: Mark, height_px: float) -> tuple[Point, ...]:
    """Return the points a mark is reshaped by; none where it is only moved as a whole.

    A ring is made larger and smaller by its right edge.
    """
    if mark.kind == "ring":
        x, y = mark.points[0]
        return ((x + ring_radii(mark, _unit(height_px))[0], y),)
    if mark.kind in ONE_POINT:
        return ()
    if mark.kind == "box":
        (x0, y0), (x1, y1) = mark.points[0], mark.points[-1]
        return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    return mark.points


def reshaped(mark: Mark, handle: int, to: Point) -> Mark:
    """Return a mark with one of its handles elsewhere."""
    if mark.kind == "ring":
        x, y = mark.points[0]
        return replace(mark, points=((x, y), (x + abs(to[0] - x), y)))
    if mark.kind == "box":
        across, down = int(handle in (1, 2)), int(handle in (2, 3))
        xs, ys = [x for x, _ in mark.points], [y for _, y in mark.points]
        xs[across], ys[down] = to
        return replace(mark, points=((xs[0], ys[0]), (xs[1], ys[1])))
    points = list(mark.points)
    points[handle] = to
    return replace(mark, points=tuple(points))


def moved(mark: Mark, by: Point) -> Mark:
    """Return a mark with all its points elsewhere."""
    return replace(mark, points=tuple((x + by[0], y + by[1]) for x, y in mark.points))


def distance_px(mark: Mark, at: Point, height_px: float) -> float:
    """Return how far a touch is from what is seen of a mark, in film pixels."""
    unit = _unit(height_px)
    x, y = at
    if mark.kind == "ring":
        radii = ring_radii(mark, unit)
        return _from_ring((x - mark.points[0][0], y - mark.points[0][1]), radii)
    if mark.kind == "text":
        half = text_width_px(mark.text, _TEXT_PX * unit, 600) / 2
        aside = max(abs(x - mark.points[0][0]) - half, 0.0)
        return hypot(aside, max(abs(y - mark.points[0][1]) - 12 * unit, 0.0))
    points = handles(mark, height_px) or mark.points
    if len(points) == 1:
        return hypot(points[0][0] - x, points[0][1] - y)
    lines = list(pairwise(points))
    closed = mark.kind in ("lane", "box")
    if closed:
        lines.append((points[-1], points[0]))
    away = min(_from_line(at, start, stop) for start, stop in lines)
    if mark.kind == "lane" and _inside(at, points):
        return min(away, _INSIDE_PX * unit)
    return away


def _unit(height_px: float) -> float:
    """Return the film pixels for each pixel of a film 720 high, as marks are drawn."""
    return max(height_px / _FULL, 0.5)


def _from_ring(at: Point, radii: Point) -> float:
    """Return how far a point, counted from the middle, is from a ring; inside it is nought."""
    across = hypot(at[0] / radii[0], at[1] / radii[1])
    return 0.0 if across <= 1 else hypot(*at) * (1 - 1 / across)


def _length(way: Sequence[Point]) -> float:
    return sum(hypot(two[0] - one[0], two[1] - one[1]) for one, two in pairwise(way))


def _inside(at: Point, corners: Sequence[Point]) -> bool:
    """Tell whether a point lies in a polygon: a line to its right crosses the edge unevenly."""
    x, y = at
    crossed = 0
    for (x0, y0), (x1, y1) in pairwise((*corners, corners[0])):
        if (y0 > y) != (y1 > y) and x < x0 + (y - y0) / (y1 - y0) * (x1 - x0):
            crossed += 1
    return crossed % 2 == 1


def _from_line(at: Point, start: Point, stop: Point) -> float:
    dx, dy = stop[0] - start[0], stop[1] - start[1]
    length = dx * dx + dy * dy
    share = ((at[0] - start[0]) * dx + (at[1] - start[1]) * dy) / length if length else 0.0
    share = min(max(share, 0.0), 1.0)
    return hypot(start[0] + share * dx - at[0], start[1] + share * dy - at[1])
