"""A drop-down list with an arrow of our own, in the theme worn."""

from __future__ import annotations

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QPainter, QPaintEvent, QPalette, QPen, QPolygonF
from PyQt6.QtWidgets import QComboBox

__all__ = ["DropDown"]

_FROM_RIGHT_PX = 15.0
_HALF_PX, _RISE_PX = 4.0, 4.0


class DropDown(QComboBox):
    """Shows what was chosen, and an arrow that says there is more.

    A style sheet takes the style's own arrow away, and can show only a picture from a file.
    """

    def paintEvent(self, event: QPaintEvent | None) -> None:
        """Paint the field as styled, and the arrow over its right end."""
        super().paintEvent(event)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        roles = QPalette.ColorRole
        palette = self.palette()
        role = roles.Text if self.hasFocus() or self.underMouse() else roles.PlaceholderText
        pen = QPen(palette.color(role), 1.6)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
        painter.setPen(pen)
        at = QRectF(self.rect()).center()
        x, y = self.width() - _FROM_RIGHT_PX, at.y() + 0.5
        painter.drawPolyline(
            QPolygonF(
                [
                    QPointF(x - _HALF_PX, y - _RISE_PX / 2),
                    QPointF(x, y + _RISE_PX / 2),
                    QPointF(x + _HALF_PX, y - _RISE_PX / 2),
                ]
            )
        )
        painter.end()
