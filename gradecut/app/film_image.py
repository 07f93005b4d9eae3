"""A film's picture as Qt paints it soonest."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtGui import QImage

from gradecut.app.painted import image_over
from gradecut.drawing import Shape, paint

__all__ = ["marked_image", "screen_image"]


def marked_image(
    pixels: NDArray[np.uint8], shapes: Sequence[Shape], film_width_px: float
) -> QImage:
    """Return a film's picture with its marks, as ``screen_image`` does; ``pixels`` stay as is.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        RGB; a rough picture may have fewer pixels than the film.
    shapes : sequence of Shape
        In film pixels.
    film_width_px : float
        How wide the film is as displayed.
    """
    if shapes:
        pixels = pixels.copy()
        paint(pixels, shapes, scale=pixels.shape[1] / film_width_px)
    return screen_image(pixels)


def screen_image(pixels: NDArray[np.uint8]) -> QImage:
    """Return a picture in the screen's own layout, with memory of its own.

    Turned to four bytes a pixel once, it is scaled in a third of the time at every painting.

    Parameters
    ----------
    pixels : (H, W, 3) uint8 array
        RGB.
    """
    if not (pixels.flags.writeable and pixels.flags.c_contiguous):
        pixels = np.array(pixels)
    return image_over(pixels).convertToFormat(QImage.Format.Format_RGB32)
