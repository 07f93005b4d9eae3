"""A widget that shows a display list, painted by the same painter as reels and reports."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import cast

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, QSize
from PyQt6.QtGui import QImage, QPainter, QPaintEvent
from PyQt6.QtWidgets import QSizePolicy, QWidget

from gradecut.drawing import Shape, paint

__all__ = ["PaintedList", "image_over"]


def image_over(pixels: NDArray[np.uint8]) -> QImage:
    """Return an image that shares an array's memory; keep the array while it is shown.

    Parameters
    ----------
    pixels : (H, W, 3) or (H, W, 4) uint8 array
        RGB, or RGBA with colours multiplied by opacity; writable and without gaps.

    Raises
    ------
    ValueError
        For an array whose memory Qt would have to copy behind our back.
    """
    if not (pixels.flags.c_contiguous and pixels.flags.writeable):
        raise ValueError("An image shares only memory that is writable and without gaps.")
    height, width, channels = pixels.shape
    form = (
        QImage.Format.Format_RGB888
        if channels == 3
        else QImage.Format.Format_RGBA8888_Premultiplied
    )
    return QImage(cast("bytes", pixels.data), width, height, width * channels, form)


class PaintedList(QWidget):
    """Shows shapes, painted once for a size and device pixel ratio and kept until ``renew``.

    Parameters
    ----------
    draw : callable
        Takes the width and height in pixels for a device pixel ratio of one, and returns
        what to paint.
    """

    def __init__(
        self, draw: Callable[[float, float], Sequence[Shape]], parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._draw = draw
        self._pixels: NDArray[np.uint8] | None = None
        self._image: QImage | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)

    def renew(self) -> None:
        """Paint anew before it is next seen."""
        self._image = None
        self.update()

    def sizeHint(self) -> QSize:
        """Ask for the usual size of a picture of the look."""
        return QSize(470, 330)

    def minimumSizeHint(self) -> QSize:
        """Stay readable."""
        return QSize(300, 230)

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Show the picture, painting it first where something changed."""
        image = self._ready_image()
        if image is None:
            return
        painter = QPainter(self)
        painter.drawImage(QPointF(0, 0), image)
        painter.end()

    def _ready_image(self) -> QImage | None:
        ratio = self.devicePixelRatioF()
        wide, high = round(self.width() * ratio), round(self.height() * ratio)
        if wide <= 0 or high <= 0:
            return None
        image = self._image
        if image is None or (image.width(), image.height()) != (wide, high):
            pixels = np.zeros((high, wide, 4), np.uint8)
            paint(pixels, self._draw(self.width(), self.height()), scale=ratio)
            image = image_over(pixels)
            image.setDevicePixelRatio(ratio)
            self._pixels, self._image = pixels, image
        return image
