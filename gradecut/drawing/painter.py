"""The one painter: display lists onto pictures, for screen, reels and reports.

Each shape is drawn larger on a small mask around it, shrunk, and laid onto the picture:
lines may then be any fraction of a pixel wide, and edges are smooth at every scale.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import partial
from math import ceil, floor
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.drawing._outlines import dash_points, ellipse_points, round_box_points
from gradecut.drawing.lettering import CAPITAL, DESCENT, face, text_width_px
from gradecut.drawing.shapes import Box, Colour, Disc, Fill, Point, Ring, Shape, Stroke, Words

__all__ = ["lay_over", "paint"]

Picture = NDArray[np.uint8]
_Mask = Any
_SHIFT = 4
_ONE = 1 << _SHIFT
_LARGE_PX = 40
_LEVELS = np.arange(256, dtype=np.float32)


def paint(picture: Picture, shapes: Iterable[Shape], *, scale: float = 1.0) -> None:
    """Paint shapes onto a picture, in order, in place.

    Parameters
    ----------
    picture : (H, W, 3) or (H, W, 4) uint8 array
        RGB, or RGBA with red, green and blue multiplied by opacity; row 0 at the top.
    shapes : iterable of Shape
        What lies outside the picture is cut off.
    scale : float
        Picture pixels for each pixel of the shapes: the device pixel ratio.

    Raises
    ------
    ValueError
        For a picture of another shape or type.
    """
    if picture.ndim != 3 or picture.shape[2] not in (3, 4) or picture.dtype != np.uint8:
        raise ValueError("A picture to paint on is (H, W, 3) or (H, W, 4) of 8-bit numbers.")
    for shape in shapes:
        if isinstance(shape, Words):
            _write(picture, shape, scale)
        else:
            _draw(picture, shape, scale)


def lay_over(picture: Picture, overlay: Picture) -> None:
    """Lay a painted RGBA overlay onto an RGB picture of the same size, in place.

    Parameters
    ----------
    picture : (H, W, 3) uint8 array
        RGB.
    overlay : (H, W, 4) uint8 array
        Colours multiplied by opacity, as ``paint`` leaves them.
    """
    left = cv2.merge([cv2.bitwise_not(overlay[..., 3])] * 3)
    kept = cv2.multiply(picture, left, scale=1 / 255)
    picture[...] = cv2.add(kept, np.ascontiguousarray(overlay[..., :3]))


def _draw(picture: Picture, shape: Stroke | Disc | Ring | Fill | Box, scale: float) -> None:
    """Paint anything but words."""
    points = _outline(shape)
    reach = getattr(shape, "width_px", 0.0) / 2
    area = _around(picture, points, reach, scale)
    if area is None:
        return
    left, top, width, height = area
    fine = _fineness(width * height)
    mask: _Mask = np.zeros((height * fine, width * fine), np.uint8)
    place = partial(_place, origin=(left, top), scale=scale, fine=fine)
    _MARKERS[type(shape)](mask, shape, points, place, scale * fine)
    if fine > 1:
        mask = cv2.resize(mask, (width, height), interpolation=cv2.INTER_AREA)
    _lay(picture[top : top + height, left : left + width], mask, shape.colour)


def _outline(shape: Stroke | Disc | Ring | Fill | Box) -> Sequence[Point]:
    """Return points that bound the shape, but for half the width of its line."""
    match shape:
        case Disc(centre=centre, radius_px=radius):
            return ellipse_points(centre, radius, radius)
        case Ring(centre=centre, rx_px=rx, ry_px=ry):
            return ellipse_points(centre, rx, ry)
        case Box(rect=rect, corner_px=corner):
            return round_box_points(rect, corner)
        case Stroke(points=points) | Fill(points=points):
            return points


def _around(
    picture: Picture, points: Sequence[Point], reach_px: float, scale: float
) -> tuple[int, int, int, int] | None:
    """Return the part of the picture that points touch: left, top, width, height."""
    xs = [x for x, _ in points]
    ys = [y for _, y in points]
    room = reach_px + 1 / scale
    left = max(int((min(xs) - room) * scale) - 1, 0)
    top = max(int((min(ys) - room) * scale) - 1, 0)
    right = min(int((max(xs) + room) * scale) + 2, picture.shape[1])
    bottom = min(int((max(ys) + room) * scale) + 2, picture.shape[0])
    if right <= left or bottom <= top:
        return None
    return left, top, right - left, bottom - top


def _fineness(area: int) -> int:
    """Return how much larger to draw: less where much is covered, to stay quick."""
    if area <= 40_000:
        return 4
    return 2 if area <= 300_000 else 1


def _place(
    points: Iterable[Point], *, origin: tuple[int, int], scale: float, fine: int
) -> NDArray[np.int32]:
    """Turn points to the mask's fixed-point numbers, which name pixels by their centres."""
    where = np.asarray(list(points), np.float64) * scale - origin
    return np.rint((where * fine - 0.5) * _ONE).astype(np.int32)


_Place = Callable[[Iterable[Point]], NDArray[np.int32]]


def _mark_stroke(
    mask: _Mask, shape: Stroke, points: Sequence[Point], place: _Place, size: float
) -> None:
    pieces = dash_points(points, shape.dash, closed=shape.closed) if shape.dash else [list(points)]
    _draw_lines(mask, pieces, place, shape.width_px * size, shape.closed and not shape.dash)


def _mark_ring(
    mask: _Mask, shape: Ring, points: Sequence[Point], place: _Place, size: float
) -> None:
    pieces = dash_points(points, shape.dash, closed=True) if shape.dash else [list(points)]
    _draw_lines(mask, pieces, place, shape.width_px * size, not shape.dash)


def _draw_lines(
    mask: _Mask, pieces: list[list[Point]], place: _Place, width: float, closed: bool
) -> None:
    lines = [place(piece) for piece in pieces]
    cv2.polylines(mask, lines, closed, (255,), max(round(width), 1), cv2.LINE_AA, _SHIFT)
    if width < 1:
        cv2.convertScaleAbs(mask, mask, width)


def _mark_area(
    mask: _Mask, _shape: Disc | Fill | Box, points: Sequence[Point], place: _Place, _size: float
) -> None:
    cv2.fillPoly(mask, [place(points)], (255,), cv2.LINE_AA, _SHIFT)


_MARKERS: dict[type, Callable[..., None]] = {
    Stroke: _mark_stroke,
    Ring: _mark_ring,
    Disc: _mark_area,
    Fill: _mark_area,
    Box: _mark_area,
}


def _write(picture: Picture, words: Words, scale: float) -> None:
    """Paint a line of text, its halo first.

    The letters are set larger and shrunk, because the font's own setting rounds each
    letter's width down to whole pixels, which crowds small type.
    """
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
    mask = _letters(words, (wide, high), (x - left, y - top), scale)
    if words.halo is not None:
        brush = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * halo + 1, 2 * halo + 1))
        around = cv2.GaussianBlur(cv2.dilate(mask, brush), (3, 3), 0)
        _lay_at(picture, left, top, around, words.halo)
    _lay_at(picture, left, top, mask, words.colour)


def _letters(words: Words, size: tuple[int, int], at: Point, scale: float) -> _Mask:
    """Return a mask of the letters, their baseline beginning at a point of it."""
    wide, high = size
    fine = 4 if words.size_px * scale < _LARGE_PX else 2
    mask = np.zeros((high * fine, wide * fine), np.uint8)
    start = (round(at[0] * fine), round(at[1] * fine))
    pixels = round(words.size_px * scale * fine)
    cv2.putText(mask, words.text, start, (255,), face(), pixels, words.weight)
    return cv2.resize(mask, size, interpolation=cv2.INTER_AREA)


def _lay_at(picture: Picture, left: int, top: int, mask: _Mask, colour: Colour) -> None:
    """Lay colour through a mask whose corner may lie outside the picture."""
    height, width = mask.shape
    x0, y0 = max(left, 0), max(top, 0)
    x1, y1 = min(left + width, picture.shape[1]), min(top + height, picture.shape[0])
    if x1 > x0 and y1 > y0:
        _lay(picture[y0:y1, x0:x1], mask[y0 - top : y1 - top, x0 - left : x1 - left], colour)


def _lay(area: Picture, mask: _Mask, colour: Colour) -> None:
    """Lay colour onto part of a picture through a mask, in place."""
    *hues, alpha = colour
    channels = area.shape[2]
    opacity = cv2.convertScaleAbs(mask, None, alpha / 255) if alpha < 255 else mask
    steps = [np.rint(_LEVELS * (hue / 255)).astype(np.uint8) for hue in (*hues, 255)[:channels]]
    added = cv2.merge([cv2.LUT(opacity, step) for step in steps])
    kept = cv2.multiply(area, cv2.merge([cv2.bitwise_not(opacity)] * channels), scale=1 / 255)
    area[...] = cv2.add(kept, added)
