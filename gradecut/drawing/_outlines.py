"""Outlines as points: dashes, ellipses, round corners, curves."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import ceil, cos, hypot, pi, sin, sqrt, tau

from gradecut.drawing.shapes import Point, Rect

__all__ = ["curve_points", "dash_points", "ellipse_points", "round_box_points", "turn_points"]

_DOT_PX = 2.0
"""Up to this length a dash is straight, whatever line it lies on."""
_CURVE = tuple(
    ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
    for t in (step / 24 for step in range(25))
)
"""Shares of a curve's four points in each of 25 steps along it."""


def dash_points(
    points: Sequence[Point], dash: Sequence[float], *, closed: bool = False
) -> list[Sequence[Point]]:
    """Cut a line into the pieces that are drawn, by length along it."""
    corners = [*points, points[0]] if closed else list(points)
    pieces: list[list[Point]] = [[corners[0]]]
    turn, left, drawn = 0, dash[0], True
    for (x0, y0), (x1, y1) in pairwise(corners):
        length = hypot(x1 - x0, y1 - y0)
        along = 0.0
        while length - along > left:
            along += left
            at = (x0 + (x1 - x0) * along / length, y0 + (y1 - y0) * along / length)
            if drawn:
                pieces[-1].append(at)
            else:
                pieces.append([at])
            turn += 1
            left, drawn = max(dash[turn % len(dash)], 0.01), not drawn
        left -= length - along
        if drawn:
            pieces[-1].append((x1, y1))
    short = max(dash[::2]) <= _DOT_PX
    return [(piece[0], piece[-1]) if short else tuple(piece) for piece in pieces if len(piece) > 1]


def ellipse_points(centre: Point, rx_px: float, ry_px: float) -> list[Point]:
    """Return an ellipse as points at most about two pixels apart, from its right, clockwise."""
    rough = pi * sqrt(2 * (rx_px * rx_px + ry_px * ry_px))
    count = min(max(ceil(rough / 2), 16), 180)
    turns = [tau * step / count for step in range(count)]
    return [(centre[0] + rx_px * cos(turn), centre[1] + ry_px * sin(turn)) for turn in turns]


def round_box_points(rect: Rect, corner_px: float) -> list[Point]:
    """Return the outline of a rectangle with round corners, clockwise."""
    left, top, width, height = rect
    radius = max(min(corner_px, width / 2, height / 2), 0.0)
    centres = (
        (left + width - radius, top + height - radius, 0.0),
        (left + radius, top + height - radius, pi / 2),
        (left + radius, top + radius, pi),
        (left + width - radius, top + radius, 3 * pi / 2),
    )
    steps = max(ceil(radius), 1)
    return [
        (
            x + radius * cos(start + pi / 2 * step / steps),
            y + radius * sin(start + pi / 2 * step / steps),
        )
        for x, y, start in centres
        for step in range(steps + 1)
    ]


def curve_points(start: Point, pull: Point, other_pull: Point, end: Point) -> tuple[Point, ...]:
    """Return a cubic Bézier curve as 25 points."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = start, pull, other_pull, end
    return tuple(
        (a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3)
        for a, b, c, d in _CURVE
    )


def turn_points(tip: Point, towards: Point, length_px: float, spread: float) -> list[Point]:
    """Return an arrow head: tip, and its two corners behind, pointing ``towards``.

    ``towards`` is a direction of length one; ``spread`` is half the head's width as a
    share of its length.
    """
    dx, dy = towards
    back = (tip[0] - dx * length_px, tip[1] - dy * length_px)
    side = length_px * spread
    return [
        tip,
        (back[0] - dy * side, back[1] + dx * side),
        (back[0] + dy * side, back[1] - dx * side),
    ]
