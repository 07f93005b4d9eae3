"""Before a reel leaves: whose film it must not show."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import pyqtSignal
from PyQt6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from gradecut.app.labels import button, words
from gradecut.counting_words import all_listed
from gradecut.records import Player
from gradecut.reports.barred import by_age_told

__all__ = ["SharingForm"]


class SharingForm(QDialog):
    """Names players whose film may not leave the staff, and says why.

    Signals
    -------
    decided : bool
        True to keep them in, for eyes inside the staff only; False to leave them out.
    """

    decided = pyqtSignal(bool)

    def __init__(self, parent: QWidget, men: Sequence[Player]) -> None:
        super().__init__(parent)
        self.setWindowTitle("Who may be shown")
        self.setFixedWidth(520)
        column = QVBoxLayout(self)
        column.setContentsMargins(28, 24, 28, 20)
        column.setSpacing(8)
        column.addWidget(words("Who may be shown", "title", 600))
        young, untold = by_age_told(men)
        told = (
            f"{all_listed(young)}: under 18, and no guardian's consent is on file. "
            if young
            else ""
        )
        told += f"{all_listed(untold)}: no age on the roster. " if untold else ""
        told += "Film of them must not leave the staff."
        column.addWidget(words(told, wrap=True))
        column.addSpacing(10)
        foot = QHBoxLayout()
        foot.addStretch(1)
        keep = button("Keep them, for the staff only")
        leave = button("Leave them out", "accent")
        leave.setDefault(True)
        keep.clicked.connect(lambda: self._decide(True))
        leave.clicked.connect(lambda: self._decide(False))
        foot.addWidget(keep)
        foot.addWidget(leave)
        column.addLayout(foot)

    def _decide(self, for_staff: bool) -> None:
        self.accept()
        self.decided.emit(for_staff)
