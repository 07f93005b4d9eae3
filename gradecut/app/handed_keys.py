"""Keys that a page's actions took, handed on to the widget they were meant for."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, Qt
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QAbstractButton, QApplication, QComboBox, QWidget

__all__ = ["hand_on_arrow", "hand_on_enter"]

_ARROWS = {
    (-1, 0): Qt.Key.Key_Up,
    (1, 0): Qt.Key.Key_Down,
    (0, -1): Qt.Key.Key_Left,
    (0, 1): Qt.Key.Key_Right,
}


def hand_on_arrow(widget: QWidget | None, down: int, across: int) -> None:
    """Give a widget the arrow key of a step."""
    _hand_on(widget, _ARROWS[down, across])


def hand_on_enter(widget: QWidget | None) -> None:
    """Give a widget Enter; a button is pressed and a list opened by it."""
    presses = isinstance(widget, (QAbstractButton, QComboBox))
    _hand_on(widget, Qt.Key.Key_Space if presses else Qt.Key.Key_Return)


def _hand_on(widget: QWidget | None, key: Qt.Key) -> None:
    if widget is None:
        return
    for kind in (QEvent.Type.KeyPress, QEvent.Type.KeyRelease):
        QApplication.sendEvent(widget, QKeyEvent(kind, key, Qt.KeyboardModifier.NoModifier))
