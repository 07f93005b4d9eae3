"""What another row answers where a cell of the grid is empty: sought while the window is idle."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

from PyQt6.QtCore import QObject, QTimer, pyqtSignal

if TYPE_CHECKING:
    from gradecut.desk.scheme_grid import ShownRow
    from gradecut.desk.scheme_hand import SchemeHand

__all__ = ["GridElsewhere"]

_TURN_S = 0.008
"""So long it seeks before the window has its turn again."""


class GridElsewhere(QObject):
    """Gives what is known already, and seeks the rest for the cells that were asked for.

    Signals
    -------
    found
        More is known.
    """

    found = pyqtSignal()

    def __init__(self, hand: SchemeHand, parent: QObject) -> None:
        super().__init__(parent)
        self._hand = hand
        self._asked: dict[tuple[str, str], ShownRow] = {}
        self._timer = QTimer(self)
        self._timer.setInterval(0)
        self._timer.timeout.connect(self._seek)
        hand.rows_changed.connect(self._forget)

    def words(self, row: ShownRow, man: str) -> str:
        """Say who answers in an empty cell; empty where nobody does, or it is not known yet."""
        if self._hand.knows_elsewhere(row, man):
            return self._hand.elsewhere(row, man)
        self._asked[row.key, man] = row
        self._timer.start()
        return ""

    def _forget(self) -> None:
        self._asked.clear()

    def _seek(self) -> None:
        until = time.monotonic() + _TURN_S
        while self._asked and time.monotonic() < until:
            (_, man), row = self._asked.popitem()
            self._hand.elsewhere(row, man)
        if not self._asked:
            self._timer.stop()
            self.found.emit()
