"""The one painter: display lists onto pictures, for screen, reels and reports.

Each shape is drawn larger on a small mask around it, shrunk, and laid onto the picture:
lines may then be any fraction of a pixel wide, and edges are smooth at every scale. Small
masks are kept, since a picture is painted many times and changes little.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.drawing._masks import Mask, Stamp, stamp_of
from gradecut.drawing.shapes import Colour, Shape, Words

__all__ = ["lay_over", "paint"]

Picture = NDArray[np.uint8]
_Layers = tuple[int, int, Picture, Picture]
"""Where a layer lies (left, top), the share of the picture it leaves, and what it adds."""
_LEVELS = np.arange(256, dtype=np.float32)
_KEPT_PX = 30_000
_KEPT_LAYERS = 400


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

    Examples
    --------
    >>> from gradecut.drawing import Disc
    >>> picture = np.zeros((20, 20, 3), np.uint8)
    >>> paint(picture, [Disc(centre=(10, 10), radius_px=6, colour=(255, 0, 0, 255))])
    >>> picture[10, 10].tolist()
    [255, 0, 0]
    """
    if picture.ndim != 3 or picture.shape[2] not in (3, 4) or picture.dtype != np.uint8:
        raise ValueError("A picture to paint on is (H, W, 3) or (H, W, 4) of 8-bit numbers.")
    height, width, channels = picture.shape
    for shape in shapes:
        if _reach_px(shape, scale) <= _KEPT_PX:
            layers = _kept_layers(shape, scale, (width, height), channels)
        else:
            layers = _layers(shape, scale, (width, height), channels)
        for left, top, leaves, adds in layers:
            area = picture[top : top + leaves.shape[0], left : left + leaves.shape[1]]
            area[...] = cv2.add(cv2.multiply(area, leaves, scale=1 / 255), adds)


def lay_over(picture: Picture, overlay: Picture) -> None:
    """Lay a painted RGBA overlay onto an RGB picture of the same size, in place.

    Parameters
    ----------
    picture : (H, W, 3) uint8 array
        RGB.
    overlay : (H, W, 4) uint8 array
        Colours multiplied by opacity, as ``paint`` leaves them.
    """
    leaves = cv2.cvtColor(cv2.bitwise_not(overlay[..., 3]), cv2.COLOR_GRAY2RGB)
    kept = cv2.multiply(picture, leaves, scale=1 / 255)
    picture[...] = cv2.add(kept, np.ascontiguousarray(overlay[..., :3]))


def _reach_px(shape: Shape, scale: float) -> float:
    """Return about how many pixels a shape's layer has."""
    match shape:
        case Words():
            return len(shape.text) * (shape.size_px * scale) ** 2
        case _:
            _, _, width, height = shape.bounds_px
            return width * height * scale * scale


def _layers(
    shape: Shape, scale: float, size: tuple[int, int], channels: int
) -> tuple[_Layers, ...]:
    """Draw a shape as layers to be laid on a picture; none where it lies outside."""
    found = (_cut(stamp, size) for stamp in stamp_of(shape, scale, size))
    return tuple(
        (left, top, *_coloured(mask, colour, channels))
        for left, top, mask, colour in found
        if mask.size
    )


_kept_layers = lru_cache(maxsize=_KEPT_LAYERS)(_layers)


def _cut(stamp: Stamp, size: tuple[int, int]) -> Stamp:
    """Cut a stamp at the edges of the picture."""
    left, top, mask, colour = stamp
    height, width = mask.shape
    x0, y0 = max(left, 0), max(top, 0)
    x1, y1 = max(min(left + width, size[0]), x0), max(min(top + height, size[1]), y0)
    return x0, y0, mask[y0 - top : y1 - top, x0 - left : x1 - left], colour


def _coloured(mask: Mask, colour: Colour, channels: int) -> tuple[Picture, Picture]:
    """Return what a mask leaves of a picture and what its colour adds, in all channels."""
    grown = cv2.COLOR_GRAY2RGB if channels == 3 else cv2.COLOR_GRAY2RGBA
    opacity: Mask = mask if colour[3] == 255 else cv2.convertScaleAbs(mask, None, colour[3] / 255)
    spread: Mask = cv2.cvtColor(np.ascontiguousarray(opacity), grown)
    if channels == 4:
        spread[..., 3] = opacity
    leaves: Mask = cv2.bitwise_not(spread)
    adds: Mask = cv2.LUT(spread, _steps(colour, channels))
    return leaves, adds


@lru_cache(maxsize=64)
def _steps(colour: Colour, channels: int) -> Picture:
    """Return how much a colour adds at each of 256 opacities, (1, 256, channels)."""
    hues = np.array((*colour[:3], 255)[:channels], np.float32)
    steps = np.rint(_LEVELS[:, None] * (hues / 255)).astype(np.uint8)
    return steps.reshape(1, 256, channels)
