"""The cautions: what must stand beside film and grades of players."""

from __future__ import annotations

from PyQt6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from gradecut.app.labels import button, words
from gradecut.app.sheet_room import Scrolled, fit_around
from gradecut.reports.cautions import CAUTIONS

__all__ = ["CautionsSheet"]


class CautionsSheet(QDialog):
    """Shows the cautions; ``finished`` tells that they were read."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Before you grade players")
        self.setMinimumWidth(560)
        column = QVBoxLayout(self)
        column.setContentsMargins(30, 26, 30, 22)
        column.setSpacing(4)
        column.addWidget(words("Before you grade players", "title", 600))
        column.addSpacing(12)
        told = Scrolled()
        told.column.setSpacing(4)
        for caution in CAUTIONS:
            told.column.addWidget(words(caution.title, "lead", 600))
            told.column.addWidget(words(caution.text, wrap=True))
            told.column.addWidget(words(caution.source, "small", look="quiet", wrap=True))
            told.column.addSpacing(14)
        column.addWidget(told, 1)
        foot = QHBoxLayout()
        foot.addStretch(1)
        read = button("I have read this", "accent")
        read.setDefault(True)
        read.clicked.connect(self.accept)
        foot.addWidget(read)
        column.addLayout(foot)
        fit_around(self, told)
