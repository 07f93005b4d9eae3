"""Text fields that keep plain keys to themselves while someone writes in them."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, Qt, pyqtSignal
from PyQt6.QtGui import QFocusEvent, QKeyEvent
from PyQt6.QtWidgets import QLineEdit

__all__ = ["NoteField"]

_PLAIN = Qt.KeyboardModifier.NoModifier
_SHIFT = Qt.KeyboardModifier.ShiftModifier
_KEYPAD = Qt.KeyboardModifier.KeypadModifier
_OTHER_PAGES = (Qt.Key.Key_F1, Qt.Key.Key_F2, Qt.Key.Key_F3, Qt.Key.Key_F4, Qt.Key.Key_F6)


class NoteField(QLineEdit):
    """One line of text, stored when it is left or Return is pressed; Esc gives it up.

    Signals
    -------
    written : str
        The new text, once, when it differs from what stood there.
    left
        Return or Esc was pressed: the focus may go back to the page.
    """

    written = pyqtSignal(str)
    left = pyqtSignal()

    def __init__(self, placeholder: str = "") -> None:
        super().__init__()
        self.setPlaceholderText(placeholder)
        self._stood = ""

    def show_text(self, text: str) -> None:
        """Show what is stored; what is being written is not touched."""
        if not (self.hasFocus() and self.text() != self._stood):
            self.setText(text)
        self._stood = text

    def event(self, event: QEvent | None) -> bool:
        """Take plain keys before the page's actions do."""
        if (
            isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.ShortcutOverride
            and event.modifiers() in (_PLAIN, _SHIFT, _KEYPAD)
            and event.key() not in _OTHER_PAGES
        ):
            event.accept()
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Store on Return, give up on Esc."""
        if event is None:
            return
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self._store()
            self.returnPressed.emit()
            self.left.emit()
        elif event.key() == Qt.Key.Key_Escape:
            self.setText(self._stood)
            self.left.emit()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent | None) -> None:
        """Store what was written when the field is left."""
        self._store()
        super().focusOutEvent(event)

    def _store(self) -> None:
        if self.text() != self._stood:
            self._stood = self.text()
            self.written.emit(self._stood)
