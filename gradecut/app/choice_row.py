"""A few choices beside each other, one of them taken."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import QEvent, QObject, Qt, pyqtSignal
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QButtonGroup, QHBoxLayout, QWidget

from gradecut.app.labels import button

__all__ = ["ChoiceRow"]

_STEPS: dict[int, int] = {
    Qt.Key.Key_Left: -1,
    Qt.Key.Key_Up: -1,
    Qt.Key.Key_Right: 1,
    Qt.Key.Key_Down: 1,
}


class ChoiceRow(QWidget):
    """Buttons of which one is down; the arrow keys go from one to the next.

    Signals
    -------
    chosen : int
        Place of the choice that was taken.
    """

    chosen = pyqtSignal(int)

    def __init__(self, choices: Sequence[str]) -> None:
        super().__init__()
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(6)
        self._group = QButtonGroup(self)
        self._group.setExclusive(True)
        self.buttons = [button(choice, "choice") for choice in choices]
        for place, one in enumerate(self.buttons):
            one.setCheckable(True)
            one.setAutoDefault(False)
            one.setAccessibleName(choices[place])
            one.installEventFilter(self)
            self._group.addButton(one, place)
            row.addWidget(one)
        row.addStretch(1)
        self.buttons[0].setChecked(True)
        self.setFocusProxy(self.buttons[0])
        self._group.idToggled.connect(self._toggled)

    @property
    def place(self) -> int:
        """Which choice is taken."""
        return self._group.checkedId()

    def choose(self, place: int) -> None:
        """Take a choice."""
        self.buttons[place].setChecked(True)

    def eventFilter(self, _watched: QObject | None, event: QEvent | None) -> bool:
        """Go to the next choice, and take it, with the arrow keys."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress:
            by = _STEPS.get(event.key(), 0)
            place = self.place + by
            if by and 0 <= place < len(self.buttons):
                self.buttons[place].setFocus()
                self.choose(place)
            return bool(by)
        return False

    def _toggled(self, place: int, checked: bool) -> None:
        if checked:
            self.setFocusProxy(self.buttons[place])
            self.chosen.emit(place)
