"""Shapes made larger as a whole: type, lines and places alike."""

from __future__ import annotations

from dataclasses import replace

from gradecut.drawing.shapes import Box, Disc, Fill, Point, Rect, Ring, Shape, Stroke, Words

__all__ = ["scale_rect", "scale_shape"]


def scale_shape(shape: Shape, by: float) -> Shape:
    """Return a shape larger by a factor, measured from the top left corner."""
    match shape:
        case Stroke():
            return replace(
                shape,
                points=tuple(_point(point, by) for point in shape.points),
                width_px=shape.width_px * by,
                dash=tuple(length * by for length in shape.dash),
            )
        case Disc():
            return replace(shape, centre=_point(shape.centre, by), radius_px=shape.radius_px * by)
        case Ring():
            return replace(
                shape,
                centre=_point(shape.centre, by),
                rx_px=shape.rx_px * by,
                ry_px=shape.ry_px * by,
                width_px=shape.width_px * by,
                dash=tuple(length * by for length in shape.dash),
            )
        case Fill():
            return replace(shape, points=tuple(_point(point, by) for point in shape.points))
        case Box():
            return replace(shape, rect=scale_rect(shape.rect, by), corner_px=shape.corner_px * by)
        case Words():
            return replace(shape, at=_point(shape.at, by), size_px=shape.size_px * by)


def scale_rect(rect: Rect, by: float) -> Rect:
    """Return a rectangle larger by a factor, measured from the top left corner."""
    left, top, width, height = rect
    return left * by, top * by, width * by, height * by


def _point(point: Point, by: float) -> Point:
    return point[0] * by, point[1] * by
