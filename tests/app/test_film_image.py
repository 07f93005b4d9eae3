from __future__ import annotations

import cv2
import numpy as np
from PyQt6.QtGui import QColor

from gradecut.app.film_image import marked_image
from gradecut.drawing import Box

WHITE, RED = (255, 255, 255, 255), QColor(255, 0, 0)


def test_marks_lie_at_the_same_share_of_a_smaller_picture() -> None:
    """A mark in film pixels covers the same part of a rough picture as of the true one."""
    true = np.full((200, 400, 3), (255, 0, 0), np.uint8)
    rough = cv2.resize(true, (100, 50))
    mark = [Box(rect=(80, 40, 160, 80), corner_px=0, colour=WHITE)]
    for pixels, share in ((true, 1.0), (rough, 0.25)):
        image = marked_image(pixels, mark, 400)
        assert (image.width(), image.height()) == (400 * share, 200 * share)
        for x, y, colour in (
            (84, 44, QColor("white")),
            (236, 116, QColor("white")),
            (70, 44, RED),
            (246, 116, RED),
            (84, 30, RED),
            (236, 126, RED),
        ):
            assert image.pixelColor(int(x * share), int(y * share)) == colour, (x, y, share)


def test_the_picture_itself_is_not_painted_on() -> None:
    """The array stays as it was: it is shown again when a mark is taken back."""
    pixels = np.zeros((20, 40, 3), np.uint8)
    marked_image(pixels, [Box(rect=(0, 0, 40, 20), corner_px=0, colour=WHITE)], 40)
    assert not pixels.any()
