"""A small picture of a man on a play, which opens the play when it is touched."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QImage, QMouseEvent, QPainter, QPainterPath, QPaintEvent
from PyQt6.QtWidgets import QWidget

from gradecut.app.painted import image_over
from gradecut.app.theme import Dress, as_qcolor
from gradecut.app.touch_area import set_words

__all__ = ["PlayPicture"]

_WIDE_PX, _LINE_PX = 150, 17


class PlayPicture(QWidget):
    """Shows a still frame, dark until it has come, with a few words below it.

    Parameters
    ----------
    words, more : str
        What it shows: the first line stands out, the second is quiet and may be empty.

    Signals
    -------
    touched
    """

    touched = pyqtSignal()

    def __init__(self, dress: Dress, words: str, more: str = "") -> None:
        super().__init__()
        self._dress = dress
        self._lines = tuple(line for line in (words, more) if line)
        self._image: QImage | None = None
        self._pixels: NDArray[np.uint8] | None = None
        self.set_width(_WIDE_PX)
        self.setAccessibleName(", ".join(self._lines))
        self.setCursor(Qt.CursorShape.PointingHandCursor)

    def set_width(self, width_px: int) -> None:
        """Be so wide, and as high as picture and words are then."""
        high = round(width_px * 9 / 16) + 5 + _LINE_PX * len(self._lines)
        self.setFixedSize(QSize(width_px, high))

    def show_frame(self, pixels: NDArray[np.uint8]) -> None:
        """Show an (H, W, 3) uint8 RGB frame."""
        self._pixels = np.ascontiguousarray(pixels)
        self._image = image_over(self._pixels)
        self.update()

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint the frame with round corners, its words below."""
        painter = QPainter(self)
        painter.setRenderHints(
            QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform
        )
        shown = QRectF(0, 0, self.width(), round(self.width() * 9 / 16))
        around = QPainterPath()
        around.addRoundedRect(shown, 5, 5)
        painter.setClipPath(around)
        painter.fillRect(shown, as_qcolor(self._dress.theme.raised))
        if self._image is not None:
            painter.drawImage(shown, self._image)
        painter.setClipping(False)
        theme, top = self._dress.theme, shown.bottom() + 5
        for line, hue, weight in zip(
            self._lines, (theme.ink, theme.quiet), (500, 400), strict=False
        ):
            line_rect = QRectF(0, top, self.width(), _LINE_PX)
            set_words(painter, line_rect, line, hue, size="small", weight=weight)
            top += _LINE_PX
        painter.end()

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Tell that it was touched."""
        if event is not None and event.button() == Qt.MouseButton.LeftButton:
            self.touched.emit()
