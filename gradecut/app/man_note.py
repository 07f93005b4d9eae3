"""The note on a man, in two lines where it is long, until it is gone to."""

from __future__ import annotations

from PyQt6.QtCore import QRectF
from PyQt6.QtGui import QPainter, QPaintEvent
from PyQt6.QtWidgets import QStyle, QStyleOptionFrame

from gradecut.app.fields import NoteField
from gradecut.app.theme import Dress
from gradecut.app.touch_area import set_whole

__all__ = ["ManNote"]

_INSIDE_PX = 2.0
"""From the field's contents to its letters, as the field sets them."""


class ManNote(NoteField):
    """Shows a note whole, on two small lines where one has no room for it."""

    def __init__(self, placeholder: str, dress: Dress) -> None:
        super().__init__(placeholder)
        self._dress = dress

    def is_long(self) -> bool:
        """Tell whether one line of the field has no room for the note."""
        return self.fontMetrics().horizontalAdvance(self.text()) > self._room().width()

    def _room(self) -> QRectF:
        option = QStyleOptionFrame()
        self.initStyleOption(option)
        style = self.style()
        if style is None:
            return QRectF(self.rect())
        inside = style.subElementRect(QStyle.SubElement.SE_LineEditContents, option, self)
        return QRectF(inside).adjusted(_INSIDE_PX, 0, -_INSIDE_PX, 0)

    def paintEvent(self, event: QPaintEvent | None) -> None:
        """Paint the field; a long note on two lines, with an ellipsis where these are too short."""
        style = self.style()
        if self.hasFocus() or style is None or not self.is_long():
            super().paintEvent(event)
            return
        option = QStyleOptionFrame()
        self.initStyleOption(option)
        painter = QPainter(self)
        panel = QStyle.PrimitiveElement.PE_PanelLineEdit
        style.drawPrimitive(panel, option, painter, self)
        set_whole(painter, self._room(), self.text(), self._dress.theme.ink)
        painter.end()
