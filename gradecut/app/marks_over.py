"""Marks laid over film on screen, as fine as the screen is, however coarse the film."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import ceil, floor

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF
from PyQt6.QtGui import QImage, QPainter

from gradecut.app.film_view import FilmView
from gradecut.app.painted import image_over
from gradecut.drawing import (
    Box,
    Disc,
    Fill,
    Point,
    Rect,
    Ring,
    Shape,
    Stroke,
    Words,
    paint,
    text_width_px,
)

__all__ = ["MarksOver"]

_Area = tuple[int, int, int, int]
_Key = tuple[object, ...]


class MarksOver:
    """Paints shapes in film pixels over a view of that film; kept until either changes.

    The painter is the one of reels and reports; only the rectangle around all shapes is
    painted and laid over.
    """

    def __init__(self) -> None:
        self._key: _Key | None = None
        self._memory: NDArray[np.uint8] | None = None
        self._image: QImage | None = None
        self._at = QPointF()

    def paint(self, painter: QPainter, shapes: Sequence[Shape], view: FilmView) -> None:
        """Lay shapes over the film, cut at its edge as in a reel."""
        if not shapes:
            return
        scale, ratio, way = view.scale * view.ratio, view.ratio, view.on_screen()
        left, top = way.dx() * ratio, way.dy() * ratio
        key = (tuple(shapes), scale, left, top, view.seen().getRect())
        if key != self._key:
            self._key = key
            area = _area_of(shapes, view, scale, (left, top))
            self._draw(shapes, scale, (left, top), area)
            if self._image is not None:
                self._image.setDevicePixelRatio(ratio)
            self._at = QPointF(area[0] / ratio, area[1] / ratio)
        if self._image is not None:
            painter.drawImage(self._at, self._image)

    def _draw(self, shapes: Sequence[Shape], scale: float, film_at: Point, area: _Area) -> None:
        left, top, right, bottom = area
        if right <= left or bottom <= top:
            self._memory = self._image = None
            return
        pixels = np.zeros((bottom - top, right - left, 4), np.uint8)
        by = ((film_at[0] - left) / scale, (film_at[1] - top) / scale)
        paint(pixels, [_moved(shape, by) for shape in shapes], scale=scale)
        self._memory, self._image = pixels, image_over(pixels)


def _area_of(shapes: Sequence[Shape], view: FilmView, scale: float, film_at: Point) -> _Area:
    """Return the screen's pixels around all shapes, on the film and on the stage."""
    held = [_bounds(shape) for shape in shapes]
    seen = view.seen()
    left = max(min(rect[0] for rect in held), seen.left())
    top = max(min(rect[1] for rect in held), seen.top())
    right = min(max(rect[0] + rect[2] for rect in held), seen.right())
    bottom = min(max(rect[1] + rect[3] for rect in held), seen.bottom())
    x, y = film_at
    return (
        floor(left * scale + x) - 1,
        floor(top * scale + y) - 1,
        ceil(right * scale + x) + 1,
        ceil(bottom * scale + y) + 1,
    )


def _bounds(shape: Shape) -> Rect:
    """Return the rectangle that holds a shape, in its own pixels."""
    if not isinstance(shape, Words):
        return shape.bounds_px
    wide = text_width_px(shape.text, shape.size_px, shape.weight) + shape.size_px
    share = {"left": 0.0, "centre": 0.5, "right": 1.0}[shape.anchor]
    x, y = shape.at
    return x - wide * share - shape.size_px / 2, y - 1.3 * shape.size_px, wide, 2 * shape.size_px


def _moved(shape: Shape, by: Point) -> Shape:
    """Return a shape at another place."""
    match shape:
        case Stroke() | Fill():
            return replace(shape, points=tuple(_there(point, by) for point in shape.points))
        case Disc() | Ring():
            return replace(shape, centre=_there(shape.centre, by))
        case Box(rect=(left, top, wide, high)):
            return replace(shape, rect=(*_there((left, top), by), wide, high))
        case Words():
            return replace(shape, at=_there(shape.at, by))


def _there(point: Point, by: Point) -> Point:
    return point[0] + by[0], point[1] + by[1]
