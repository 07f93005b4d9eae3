"""Boxes kept apart from each other, each as near as it can be to where it would stand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray

from gradecut.drawing.shapes import Point, Rect

__all__ = ["free_places", "inside", "kept_in", "names_apart", "overlap"]

_ROUNDS = 12
_STEP_PX = 5.0
_CELL_PX = 3.0
"""How finely free places are looked for."""


def overlap(one: Rect, other: Rect) -> bool:
    """Tell whether two rectangles share more than an edge."""
    slack = 0.01
    return (
        one[0] < other[0] + other[2] - slack
        and other[0] < one[0] + one[2] - slack
        and one[1] < other[1] + other[3] - slack
        and other[1] < one[1] + one[3] - slack
    )


def inside(one: Rect, room: Rect) -> bool:
    """Tell whether a rectangle lies wholly in another."""
    slack = 0.01
    return (
        one[0] >= room[0] - slack
        and one[1] >= room[1] - slack
        and one[0] + one[2] <= room[0] + room[2] + slack
        and one[1] + one[3] <= room[1] + room[3] + slack
    )


def names_apart(
    wanted: Sequence[Rect], room: Rect, obstacles: Sequence[Rect], *, down: bool
) -> list[Rect] | None:
    """Move boxes apart inside a room; None where they don't all fit.

    Parameters
    ----------
    wanted : sequence of Rect
        Where they would stand.
    obstacles : sequence of Rect
        What none may cover.
    down : bool
        They give way up and down, rather than to left and right.
    """
    if any(one[2] > room[2] + 0.01 or one[3] > room[3] + 0.01 for one in wanted):
        return None
    pushed = _pushed([kept_in(one, room) for one in wanted], room, 1 if down else 0)
    placed: dict[int, Rect] = {}
    waiting = []
    for number, one in enumerate(pushed):
        if _free(one, (*placed.values(), *obstacles)):
            placed[number] = one
        else:
            waiting.append(number)
    for number in waiting:
        taken = (*placed.values(), *obstacles)
        found = next((one for one in _nearby(pushed[number], room) if _free(one, taken)), None)
        if found is None:
            return None
        placed[number] = found
    return [placed[number] for number in range(len(pushed))]


def _free(one: Rect, taken: Iterable[Rect]) -> bool:
    return not any(overlap(one, other) for other in taken)


def kept_in(one: Rect, room: Rect) -> Rect:
    """Return a box moved into a room, to its first edges where it is larger than the room."""
    left = max(min(one[0], room[0] + room[2] - one[2]), room[0])
    top = max(min(one[1], room[1] + room[3] - one[3]), room[1])
    return left, top, one[2], one[3]


def _pushed(boxes: list[Rect], room: Rect, axis: int) -> list[Rect]:
    """Push boxes that overlap to either side by half of what is lacking."""
    for _ in range(_ROUNDS):
        moved = False
        for one in range(len(boxes)):
            for other in range(one + 1, len(boxes)):
                if not overlap(boxes[one], boxes[other]):
                    continue
                moved = True
                a, b = boxes[one], boxes[other]
                apart = (b[axis] + b[axis + 2] / 2) - (a[axis] + a[axis + 2] / 2)
                way = 1 if apart >= 0 else -1
                lack = (a[axis + 2] + b[axis + 2]) / 2 - abs(apart) + 0.02
                boxes[one] = kept_in(_moved(a, axis, -way * lack / 2), room)
                boxes[other] = kept_in(_moved(b, axis, way * lack / 2), room)
        if not moved:
            break
    return boxes


def _moved(one: Rect, axis: int, by: float) -> Rect:
    return (one[0] + by, *one[1:]) if axis == 0 else (one[0], one[1] + by, *one[2:])


def _nearby(one: Rect, room: Rect) -> Iterator[Rect]:
    """Yield every place of the room for a box, the nearest first."""
    across = _steps(one[0], room[0], room[0] + room[2] - one[2])
    down = _steps(one[1], room[1], room[1] + room[3] - one[3])
    found = sorted(((x - one[0]) ** 2 + (y - one[1]) ** 2, x, y) for x in across for y in down)
    for _, x, y in found:
        yield x, y, one[2], one[3]


def _steps(start: float, least: float, most: float) -> list[float]:
    """Return places from least to most, also both ends and the start."""
    number = int((most - least) / _STEP_PX)
    return [*(least + step * _STEP_PX for step in range(number + 1)), most, start]


def free_places(
    sizes_px: Sequence[tuple[float, float]], room: Rect, taken: Sequence[Rect], near: Point
) -> list[Point | None]:
    """Return for boxes of some sizes the left middle of the free place nearest to a point.

    What is covered is summed over a grid of cells, so that every place is tried at once
    (summed-area table: Crow, "Summed-area tables for texture mapping", SIGGRAPH 1984).

    Returns
    -------
    list of Point or None
        For each size; None where it fits nowhere.
    """
    left, top, width, height = room
    columns, rows = floor(width / _CELL_PX), floor(height / _CELL_PX)
    covered = np.zeros((rows + 1, columns + 1), np.int32)
    edges = np.array(taken, np.float64).reshape(-1, 4)
    first = np.floor((edges[:, :2] - (left, top)) / _CELL_PX).astype(int).clip(0) + 1
    last = np.ceil((edges[:, :2] + edges[:, 2:] - (left, top)) / _CELL_PX).astype(int).clip(0) + 1
    for (x0, y0), (x1, y1) in zip(first.tolist(), last.tolist(), strict=True):
        covered[y0:y1, x0:x1] = 1
    sums = covered.cumsum(0).cumsum(1)
    return [_nearest_free(size, sums, (left, top), near) for size in sizes_px]


def _nearest_free(
    size_px: tuple[float, float], sums: NDArray[np.int64], corner: Point, near: Point
) -> Point | None:
    wide, high = (ceil(side / _CELL_PX) for side in size_px)
    if wide >= sums.shape[1] or high >= sums.shape[0]:
        return None
    lying = sums[high:, wide:] - sums[:-high, wide:] - sums[high:, :-wide] + sums[:-high, :-wide]
    down, across = np.nonzero(lying == 0)
    if not len(down):
        return None
    x_px, y_px = corner[0] + across * _CELL_PX, corner[1] + down * _CELL_PX + size_px[1] / 2
    off_x = np.maximum(np.maximum(x_px - near[0], near[0] - x_px - size_px[0]), 0)
    best = int(np.argmin(off_x**2 + (y_px - near[1]) ** 2))
    return float(x_px[best]), float(y_px[best])
