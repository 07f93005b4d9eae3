"""How much of each pixel a shape covers."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from itertools import pairwise
from math import ceil, floor, hypot
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.drawing._outlines import dash_points, ellipse_points, round_box_points
from gradecut.drawing.lettering import CAPITAL, DESCENT, face, text_width_px
from gradecut.drawing.shapes import Box, Colour, Disc, Fill, Point, Ring, Shape, Stroke, Words

__all__ = ["Mask", "Stamp", "stamp_of"]

Mask = Any
"""(H, W) uint8, 255 where a pixel is covered whole."""
Stamp = tuple[int, int, Mask, Colour]
"""Left and top of a mask on the picture, the mask, and the colour to lay through it."""

_Drawn = Stroke | Disc | Ring | Fill | Box
_Place = Callable[[Iterable[Point]], NDArray[np.int32]]
_SHIFT = 4
_ONE = 1 << _SHIFT
_LARGE_TYPE_PX = 40
_OVER_PX = 3
_GENTLE = 0.93
"""Cosine of the sharpest turn inside one stretch of a line, about 21 degrees."""
_SWELL = 1.4
"""How much wider than its outline OpenCV fills an area, in pixels of the mask."""


def stamp_of(shape: Shape, scale: float, size: tuple[int, int]) -> Iterator[Stamp]:
    """Yield what a shape lays on a picture of a size, the lowest first."""
    if isinstance(shape, Words):
        yield from _words(shape, scale)
    else:
        yield from _drawn(shape, scale, size)


def _drawn(shape: _Drawn, scale: float, size: tuple[int, int]) -> Iterator[Stamp]:
    """Draw anything but words, little larger than the picture.

    The mask may reach over the picture's edge, since OpenCV draws its own edges roughly.
    """
    x, y, wide, high = shape.bounds_px
    left, top = max(floor(x * scale) - 1, -_OVER_PX), max(floor(y * scale) - 1, -_OVER_PX)
    width = min(ceil((x + wide) * scale) + 1, size[0] + _OVER_PX) - left
    height = min(ceil((y + high) * scale) + 1, size[1] + _OVER_PX) - top
    if width <= 0 or height <= 0:
        return
    fine = _fineness(width * height, scale)
    mask: Mask = np.zeros((height * fine, width * fine), np.uint8)
    place = partial(_place, origin=(left, top), scale=scale, fine=fine)
    _draw(mask, shape, place, scale * fine)
    if fine > 1:
        mask = cv2.resize(mask, (width, height), interpolation=cv2.INTER_AREA)
    yield left, top, mask, shape.colour


def _fineness(area: int, scale: float) -> int:
    """Return how much larger to draw: less where much is covered, to stay quick."""
    if area <= 40_000:
        return 4 if scale < 1.5 else 2
    return 2 if area <= 300_000 else 1


def _place(
    points: Iterable[Point], *, origin: tuple[int, int], scale: float, fine: int
) -> NDArray[np.int32]:
    """Turn points to the mask's fixed-point numbers, which name pixels by their centres."""
    where = np.array(tuple(points), np.float64) * scale - origin
    return np.rint((where * fine - 0.5) * _ONE).astype(np.int32)


def _draw(mask: Mask, shape: _Drawn, place: _Place, size: float) -> None:
    """Draw a shape onto its mask; ``size`` is mask pixels for each pixel of the shape."""
    match shape:
        case Disc(centre=centre, radius_px=radius):
            _fill_ellipse(mask, centre, (radius, radius), place, size=size)
        case Box(rect=rect, corner_px=corner):
            _fill(mask, round_box_points(rect, corner), place)
        case Fill(points=points):
            _fill(mask, points, place)
        case Ring(dash=()):
            rx, ry, half = shape.rx_px, shape.ry_px, shape.width_px / 2
            _fill_ellipse(mask, shape.centre, (rx + half, ry + half), place, size=size)
            if min(rx, ry) > half:
                _fill_ellipse(mask, shape.centre, (rx - half, ry - half), place, size=size, level=0)
        case Stroke() | Ring():
            whole, closed = _course(shape)
            pieces = dash_points(whole, shape.dash, closed=closed) if shape.dash else [whole]
            for piece in pieces:
                _draw_line(mask, place(piece), closed and not shape.dash, shape.width_px * size)


def _course(shape: Stroke | Ring) -> tuple[Sequence[Point], bool]:
    """Return the points a line runs through, and whether it comes back to the first."""
    if isinstance(shape, Stroke):
        return shape.points, shape.closed
    return ellipse_points(shape.centre, shape.rx_px, shape.ry_px), True


def _draw_line(mask: Mask, points: NDArray[np.int32], closed: bool, width: float) -> None:
    """Draw a line with round corners and ends, in the mask's fixed-point numbers.

    OpenCV's own thick lines come in odd whole widths only, up to two pixels too wide. So a
    line is filled as one area for each stretch without a sharp corner, and a disc at each
    stretch's ends.
    """
    half = max(width - _SWELL, 0.1) / 2 * _ONE
    if len(points) == 2:
        _draw_dash(mask, points.tolist(), half)
        return
    course = np.concatenate((points, points[:1])) if closed else points
    moving = np.concatenate(([True], (np.diff(course, axis=0) != 0).any(axis=1)))
    course = course[moving].astype(np.float64)
    along = np.diff(course, axis=0)
    along /= np.hypot(along[:, 0], along[:, 1])[:, None]
    sharp = np.flatnonzero((along[1:] * along[:-1]).sum(axis=1) < _GENTLE) + 1
    ends = [0, *sharp.tolist(), len(course) - 1]
    for start, stop in pairwise(ends):
        if stop > start:
            side = _sides(along[start:stop]) * half
            run = course[start : stop + 1]
            area = np.concatenate((run + side, (run - side)[::-1]))
            cv2.fillPoly(mask, [np.rint(area).astype(np.int32)], (255,), cv2.LINE_AA, _SHIFT)
    for x, y in course[ends].astype(np.int32).tolist():
        cv2.circle(mask, (x, y), round(half), (255,), -1, cv2.LINE_AA, _SHIFT)


def _draw_dash(mask: Mask, ends: list[list[int]], half: float) -> None:
    """Draw a straight line with round ends; there are many of these."""
    (x0, y0), (x1, y1) = ends
    length = hypot(x1 - x0, y1 - y0)
    if length:
        dx, dy = (y0 - y1) / length * half, (x1 - x0) / length * half
        corners = ((x0 + dx, y0 + dy), (x1 + dx, y1 + dy), (x1 - dx, y1 - dy), (x0 - dx, y0 - dy))
        area = np.array([(round(x), round(y)) for x, y in corners], np.int32)
        cv2.fillConvexPoly(mask, area, (255,), cv2.LINE_AA, _SHIFT)
    for x, y in ends:
        cv2.circle(mask, (x, y), round(half), (255,), -1, cv2.LINE_AA, _SHIFT)


def _sides(along: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the direction to a line's side at each of its points, of length one."""
    to_both = np.concatenate((along[:1], along[:-1] + along[1:], along[-1:]))
    to_both /= np.hypot(to_both[:, 0], to_both[:, 1])[:, None]
    return np.stack((-to_both[:, 1], to_both[:, 0]), axis=1)


def _fill(mask: Mask, points: Iterable[Point], place: _Place, level: int = 255) -> None:
    cv2.fillPoly(mask, [place(points)], (level,), cv2.LINE_AA, _SHIFT)


def _fill_ellipse(
    mask: Mask, centre: Point, radii: Point, place: _Place, *, size: float, level: int = 255
) -> None:
    """Fill an ellipse, a little smaller than it is to make up for how OpenCV fills."""
    less = _SWELL / 2 / size
    _fill(mask, ellipse_points(centre, *(max(radius - less, 0) for radius in radii)), place, level)


def _words(words: Words, scale: float) -> Iterator[Stamp]:
    """Set a line of text, its halo first."""
    if not words.text:
        return
    size = words.size_px * scale
    width = text_width_px(words.text, words.size_px, words.weight) * scale
    share = {"left": 0.0, "centre": 0.5, "right": 1.0}[words.anchor]
    x = words.at[0] * scale - width * share
    y = words.at[1] * scale + (size * CAPITAL / 2 if words.line == "middle" else 0.0)
    halo = 0 if words.halo is None else max(round(size * 0.14), 1)
    left, top = floor(x) - halo - 2, floor(y - size) - halo - 2
    wide, high = ceil(width + size) + 2 * halo + 4, ceil(size * (1 + DESCENT)) + 2 * halo + 5
    mask = _letters(words, (wide, high), (x - left, y - top), size)
    if words.halo is not None:
        brush = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * halo + 1, 2 * halo + 1))
        around = cv2.GaussianBlur(cv2.dilate(mask, brush), (3, 3), 0)
        yield left, top, around, words.halo
    yield left, top, mask, words.colour


def _letters(words: Words, size: tuple[int, int], at: Point, size_px: float) -> Mask:
    """Return a mask of letters, their baseline beginning at a point of it.

    They are set larger and shrunk, because the font's own setting rounds each letter's
    width down to whole pixels, which crowds small type.
    """
    wide, high = size
    fine = 4 if size_px < _LARGE_TYPE_PX else 2
    mask = np.zeros((high * fine, wide * fine), np.uint8)
    start = (round(at[0] * fine), round(at[1] * fine))
    cv2.putText(mask, words.text, start, (255,), face(), round(size_px * fine), words.weight)
    return cv2.resize(mask, size, interpolation=cv2.INTER_AREA)
