"""Ways of men as smooth lines through the points that were set."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import hypot, sqrt

from gradecut.drawing.shapes import Point

__all__ = ["smooth_way"]

_STEP_PX = 5.0
_MOST_STEPS = 24
_SAME_PX = 0.05


def smooth_way(points: Sequence[Point], unit: float = 1.0) -> tuple[Point, ...]:
    """Return a smooth line through all points; two or fewer come back as they are.

    A centripetal Catmull-Rom curve: it passes through every point and makes neither loops nor
    cusps between them (Yuksel, Schaefer and Keyser, "Parameterization and applications of
    Catmull-Rom curves", Computer-Aided Design 43, 2011).

    Parameters
    ----------
    points : sequence of Point
        In film pixels; those that lie on the one before, to a twentieth of a pixel, are left
        out.
    unit : float
        Film pixels for each pixel of a film 720 high.
    """
    way = _apart(points)
    if len(way) < 3:
        return tuple(points)
    first = _mirrored(way[1], way[0])
    last = _mirrored(way[-2], way[-1])
    held = [first, *way, last]
    found = [way[0]]
    for at in range(len(way) - 1):
        found += _span(held[at : at + 4], unit)
    return tuple(found)


def _apart(points: Sequence[Point]) -> list[Point]:
    """Return points of which none lies on the one before; the first and the last stay."""
    way: list[Point] = list(points[:1])
    for x, y in points[1:]:
        if hypot(x - way[-1][0], y - way[-1][1]) > _SAME_PX:
            way.append((x, y))
    if len(way) > 1:
        way[-1] = points[-1]
    return way


def _mirrored(point: Point, at: Point) -> Point:
    return 2 * at[0] - point[0], 2 * at[1] - point[1]


def _span(corners: Sequence[Point], unit: float) -> list[Point]:
    """Return the points from the second corner, left out, to the third."""
    times = [0.0]
    for one, two in pairwise(corners):
        times.append(times[-1] + sqrt(hypot(two[0] - one[0], two[1] - one[1])))
    reach = (times[2] - times[1]) ** 2
    steps = min(max(int(reach / (_STEP_PX * unit)), 1), _MOST_STEPS)
    ways = [times[1] + (times[2] - times[1]) * step / steps for step in range(1, steps)]
    return [*(_on_curve(corners, times, t) for t in ways), corners[2]]


def _on_curve(corners: Sequence[Point], times: Sequence[float], t: float) -> Point:
    """Return a point of the curve by Barry and Goldman's scheme of straight steps."""
    near = [_mixed(corners[at], corners[at + 1], times[at], times[at + 1], t) for at in range(3)]
    wide = [_mixed(near[at], near[at + 1], times[at], times[at + 2], t) for at in range(2)]
    return _mixed(wide[0], wide[1], times[1], times[2], t)


def _mixed(one: Point, two: Point, start: float, end: float, t: float) -> Point:
    share = (t - start) / (end - start)
    return one[0] + (two[0] - one[0]) * share, one[1] + (two[1] - one[1]) * share
