"""The thin lines from men to what they owe or did, led around what belongs to others."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from gradecut.drawing._look_layout import Layout
from gradecut.drawing._look_places import StandingMan, ring_radius
from gradecut.drawing._outlines import curve_points
from gradecut.drawing.shapes import Point, Rect

__all__ = ["Lead", "along", "between", "leads"]

_FEW = 3
"""Lines to more places than these are drawn for the selected man only."""
_PULLS = ((0.5, 0.5), (0.95, 0.2), (0.15, 1.0), (0.75, 0.0), (0.0, 0.75))
"""How far a line runs on straight from a name and into a ring, as shares of its depth; the
first that meets nothing of another man's is taken."""
_APART_PX, _BESIDE_PX = 5.0, 2.5


@dataclass(frozen=True, slots=True, kw_only=True)
class Lead:
    """One line of one man's."""

    one: StandingMan
    way: tuple[Point, ...]


def leads(standing: Sequence[StandingMan], layout: Layout) -> list[Lead]:
    """Return every man's lines, each where it meets least of what is another man's."""
    return [
        Lead(one=one, way=way)
        for one in standing
        for goal in _goals(one)
        if (way := _way(one, goal, layout, _others(one, standing, layout))) is not None
    ]


def along(points: Sequence[Point], beside_px: float = _BESIDE_PX) -> Iterator[Rect]:
    """Yield small places all along a line, which words keep clear of."""
    for (x0, y0), (x1, y1) in pairwise(points):
        steps = max(int(hypot(x1 - x0, y1 - y0) / _APART_PX), 1)
        for step in range(steps + 1):
            x, y = x0 + (x1 - x0) * step / steps, y0 + (y1 - y0) * step / steps
            yield x - beside_px, y - beside_px, 2 * beside_px, 2 * beside_px


def between(start: Point, end: Point, from_px: float, to_px: float) -> tuple[Point, Point] | None:
    """Return the line between two circles' edges; None when they touch."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = hypot(dx, dy)
    if length <= from_px + to_px:
        return None
    dx, dy = dx / length, dy / length
    return (
        (start[0] + dx * from_px, start[1] + dy * from_px),
        (end[0] - dx * to_px, end[1] - dy * to_px),
    )


def _goals(one: StandingMan) -> list[Point]:
    """Return where he went, else what he owes, else as many places as can be told apart."""
    if one.went_elsewhere and one.did is not None:
        return [one.did]
    if one.owed is not None:
        return [one.owed]
    few = one.man.selected or len(one.options) <= _FEW
    return list(one.options) if few else []


def _others(one: StandingMan, standing: Iterable[StandingMan], layout: Layout) -> list[Rect]:
    """Return names, rings and discs of the other men."""
    half = ring_radius(layout) + 2
    found: list[Rect] = []
    for other in standing:
        if other is one:
            continue
        found.append(other.rect)
        places = (other.owed, other.did, *(other.options if other.owed is None else ()))
        found += [(at[0] - half, at[1] - half, 2 * half, 2 * half) for at in places if at]
    return found


def _way(
    one: StandingMan, goal: Point, layout: Layout, others: Sequence[Rect]
) -> tuple[Point, ...] | None:
    """Return the way from a name's near edge to a ring; None where they touch."""
    _, _, wide, high = one.rect
    half = (wide if layout.sideways else high) / 2
    start = layout.off(one.at, down_px=half - 1)
    end = layout.off(goal, down_px=-(ring_radius(layout) + 2))
    reach = layout.behind(end) - layout.behind(start)
    if reach <= 4:
        return between(_edge_towards(one.rect, goal), goal, 0.0, ring_radius(layout))
    best: tuple[int, tuple[Point, ...]] | None = None
    for first, last in _PULLS:
        way = curve_points(
            start, layout.off(start, down_px=reach * first),
            layout.off(end, down_px=-reach * last), end,
        )  # fmt: skip
        met = sum(_within(at, rect) for at in way for rect in others)
        if best is None or met < best[0]:
            best = met, way
        if not met:
            break
    return best[1] if best else None


def _within(at: Point, rect: Rect) -> bool:
    return 0 < at[0] - rect[0] < rect[2] and 0 < at[1] - rect[1] < rect[3]


def _edge_towards(box: Rect, goal: Point) -> Point:
    """Return where the line from a box's middle to a place leaves the box."""
    x, y = box[0] + box[2] / 2, box[1] + box[3] / 2
    dx, dy = goal[0] - x, goal[1] - y
    share = min(
        box[2] / 2 / abs(dx) if dx else 1.0,
        box[3] / 2 / abs(dy) if dy else 1.0,
        1.0,
    )
    return x + dx * share, y + dy * share
