"""A small picture of a play at the snap, which opens the play when it is touched."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QImage, QMouseEvent, QPainter, QPainterPath, QPaintEvent
from PyQt6.QtWidgets import QWidget

from gradecut.app.painted import image_over
from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.drawing import ON_FILM

__all__ = ["PlayPicture"]


class PlayPicture(QWidget):
    """Shows a still frame with a few words on it; dark until the frame has come.

    Signals
    -------
    touched
    """

    touched = pyqtSignal()

    def __init__(self, dress: Dress, words: str = "", *, width_px: int = 150) -> None:
        super().__init__()
        self._dress = dress
        self._words = words
        self._image: QImage | None = None
        self._pixels: NDArray[np.uint8] | None = None
        self.setFixedSize(QSize(width_px, round(width_px * 9 / 16)))
        self.setAccessibleName(words or "Picture of the play at the snap")

    def show_frame(self, pixels: NDArray[np.uint8]) -> None:
        """Show an (H, W, 3) uint8 RGB frame."""
        self._pixels = np.ascontiguousarray(pixels)
        self._image = image_over(self._pixels)
        self.update()

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint the frame with round corners, its words on a plate."""
        painter = QPainter(self)
        painter.setRenderHints(
            QPainter.RenderHint.Antialiasing | QPainter.RenderHint.SmoothPixmapTransform
        )
        around = QPainterPath()
        around.addRoundedRect(QRectF(self.rect()), 5, 5)
        painter.setClipPath(around)
        painter.fillRect(self.rect(), as_qcolor(self._dress.theme.raised))
        if self._image is not None:
            painter.drawImage(QRectF(self.rect()), self._image)
        if self._words:
            self._paint_words(painter)
        painter.end()

    def _paint_words(self, painter: QPainter) -> None:
        painter.setFont(font("small", 500))
        metrics = painter.fontMetrics()
        words = metrics.elidedText(self._words, Qt.TextElideMode.ElideRight, self.width() - 22)
        plate = QRectF(5, self.height() - 25, metrics.horizontalAdvance(words) + 12, 20)
        ground = as_qcolor(ON_FILM.ground)
        ground.setAlphaF(0.85)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(ground)
        painter.drawRoundedRect(plate, 4, 4)
        painter.setPen(as_qcolor(ON_FILM.ink))
        painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, words)

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Tell that it was touched."""
        if event is not None and event.button() == Qt.MouseButton.LeftButton:
            self.touched.emit()
