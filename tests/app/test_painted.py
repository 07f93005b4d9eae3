from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from PyQt6.QtGui import QColor

from gradecut.app.painted import PaintedList, image_over
from gradecut.drawing import Box, Shape


def test_an_image_shows_its_array() -> None:
    """Pixels of the array are the pixels of the image, in red, green, blue."""
    pixels = np.zeros((4, 6, 3), np.uint8)
    pixels[1, 2] = (200, 100, 50)
    image = image_over(pixels)
    assert image.pixelColor(2, 1) == QColor(200, 100, 50)


def test_memory_that_qt_would_copy_is_refused() -> None:
    """A read-only array, or one with gaps, is refused instead of drifting apart silently."""
    still = np.zeros((4, 6, 3), np.uint8)
    still.flags.writeable = False
    for pixels in (still, np.zeros((4, 6, 3), np.uint8)[:, ::2]):
        with pytest.raises(ValueError, match="writable"):
            image_over(pixels)


def test_a_list_is_painted_once_until_it_is_renewed(qtbot: Any) -> None:
    """Shapes are asked for once for a size, and again after renew."""
    asked: list[tuple[float, float]] = []

    def draw(width_px: float, height_px: float) -> list[Shape]:
        asked.append((width_px, height_px))
        return [Box(rect=(0, 0, width_px, height_px), corner_px=0, colour=(10, 200, 30, 255))]

    widget = PaintedList(draw)
    qtbot.addWidget(widget)
    widget.resize(60, 40)
    for _ in range(2):
        assert widget.grab().toImage().pixelColor(30, 20) == QColor(10, 200, 30)
    assert asked == [(60, 40)]
    widget.renew()
    widget.grab()
    assert len(asked) == 2
