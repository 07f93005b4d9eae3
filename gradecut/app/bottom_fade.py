"""A fade over the lower edge of what is scrolled, while more lies below."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, QObject, QPointF, Qt
from PyQt6.QtGui import QColor, QLinearGradient, QPainter, QPaintEvent, QPalette
from PyQt6.QtWidgets import QScrollArea, QWidget

__all__ = ["BottomFade"]

_HIGH_PX = 36


class BottomFade(QWidget):
    """Lets the last rows that are seen fade out, so that a cut row reads as more to come."""

    def __init__(self, area: QScrollArea) -> None:
        super().__init__(area)
        self._area = area
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAccessibleName("More lies below")
        area.installEventFilter(self)
        if (bar := area.verticalScrollBar()) is not None:
            bar.valueChanged.connect(self._follow)
            bar.rangeChanged.connect(self._follow)
        self._follow()

    def _follow(self) -> None:
        """Lie at the lower edge, and be seen while more lies below."""
        bar, seen = self._area.verticalScrollBar(), self._area.viewport()
        if bar is None or seen is None:
            return
        place = seen.geometry()
        self.setGeometry(place.left(), place.bottom() + 1 - _HIGH_PX, place.width(), _HIGH_PX)
        self.setVisible(bar.value() < bar.maximum())
        self.raise_()

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:
        """Follow the area as it grows and shrinks."""
        if event is not None and event.type() in (QEvent.Type.Resize, QEvent.Type.LayoutRequest):
            self._follow()
        return super().eventFilter(watched, event)

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Go over into the ground."""
        ground = self.palette().color(QPalette.ColorRole.Window)
        clear = QColor(ground)
        clear.setAlpha(0)
        ramp = QLinearGradient(QPointF(0, 0), QPointF(0, _HIGH_PX))
        ramp.setColorAt(0, clear)
        ramp.setColorAt(0.8, ground)
        painter = QPainter(self)
        painter.fillRect(self.rect(), ramp)
        painter.end()
