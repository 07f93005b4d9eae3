"""A painted layer, laid on pictures as they are stored: luma and colour apart."""

from __future__ import annotations

from typing import Any

import av
import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.film import Bt709Maker

__all__ = ["Overlay"]

_Plane = NDArray[np.uint8]
_Shares = NDArray[np.floating[Any]]
_Layers = tuple[tuple[_Plane, _Plane], ...]
_Area = tuple[int, int, int, int]
_Part = tuple[_Area, _Layers]

_RED, _GREEN, _BLUE = 0.2126, 0.7152, 0.0722
"""Luma of red, green and blue: ITU-R BT.709-6, item 3.2."""
_BLUE_SPAN, _RED_SPAN = 1.8556, 1.5748
"""What the colour differences are divided by: ITU-R BT.709-6, item 3.3."""


class Overlay:
    """A layer painted once and laid on frame after frame where it is not empty.

    It is turned into luma and colour once, so that film stays as it is stored: what lies
    under no mark is not touched at all.

    Parameters
    ----------
    painted : (H, W, 4) uint8 array, optional
        RGBA, colours multiplied by opacity, as ``paint`` leaves them; both sides even.
    below : Overlay, optional
        What is laid on first; what it was turned into serves again.
    """

    def __init__(
        self, painted: NDArray[np.uint8] | None = None, *, below: Overlay | None = None
    ) -> None:
        self._parts: tuple[_Part, ...] = below._parts if below is not None else ()
        left, top, width, height = (0, 0, 0, 0)
        if painted is not None:
            left, top, width, height = cv2.boundingRect(painted[..., 3])
        if painted is not None and width and height:
            right, bottom = left + width + (left + width) % 2, top + height + (top + height) % 2
            left, top = left - left % 2, top - top % 2
            layers = _layers(painted[top:bottom, left:right])
            self._parts = (*self._parts, ((left, top, right, bottom), layers))

    def laid_on(self, picture: av.VideoFrame, maker: Bt709Maker) -> av.VideoFrame:
        """Return the picture with the layer on it; the picture itself where there is none.

        Parameters
        ----------
        picture : av.VideoFrame
            yuv420p, BT.709, limited range, of the layer's size; it stays as it is.
        maker : Bt709Maker
            Makes the copy.
        """
        if not self._parts:
            return picture
        made = maker.made(picture)
        made.make_writable()
        for where, layers in self._parts:
            _lay(made, where, layers)
        return made


def _lay(made: av.VideoFrame, where: _Area, layers: _Layers) -> None:
    """Lay one part on a picture, in place."""
    left, top, right, bottom = where
    for plane, (leaves, adds) in zip(made.planes, layers, strict=True):
        shrunk = made.height // plane.height
        rows = np.frombuffer(memoryview(plane), np.uint8).reshape(-1, plane.line_size)
        part = rows[top // shrunk : bottom // shrunk, left // shrunk : right // shrunk]
        part[...] = cv2.add(cv2.multiply(part, leaves, scale=1 / 255), adds)


def _layers(painted: NDArray[np.uint8]) -> _Layers:
    """Return for luma and both colours the share of the picture left and what is added.

    Colours multiplied by opacity keep being so through a linear matrix; the offsets of limited
    range (16 and 128, ITU-R BT.709-6, item 3.4) are multiplied by it too.
    """
    red, green, blue, cover = (painted[..., k].astype(np.float32) / 255 for k in range(4))
    luma = _RED * red + _GREEN * green + _BLUE * blue
    parts = (
        (cover, 16 * cover + 219 * luma),
        (_halved(cover), _halved(128 * cover + 224 * (blue - luma) / _BLUE_SPAN)),
        (_halved(cover), _halved(128 * cover + 224 * (red - luma) / _RED_SPAN)),
    )
    return tuple((_rounded(255 * (1 - cover)), _rounded(adds)) for cover, adds in parts)


def _halved(plane: _Shares) -> _Shares:
    """Return the mean of every two by two pixels."""
    height, width = plane.shape
    return np.asarray(plane.reshape(height // 2, 2, width // 2, 2).mean(axis=(1, 3)))


def _rounded(plane: _Shares) -> _Plane:
    return np.clip(np.rint(plane), 0, 255).astype(np.uint8)
