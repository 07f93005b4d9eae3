"""What stands in the place of the board while nothing in the book is graded."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from gradecut.app.labels import KeyHint, button, words

__all__ = ["BoardStart"]

_WIDE_PX = 520


class BoardStart(QWidget):
    """Says what the board will show, with the one thing to do first.

    Attributes
    ----------
    grade : QPushButton
        Goes to the Film page.
    """

    def __init__(self) -> None:
        super().__init__()
        self.setAccessibleName("Nothing is graded yet")
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 24, 24, 24)
        column.setSpacing(6)
        column.addStretch(2)
        column.addWidget(words("Nothing is graded yet", "title", 600), 0, _MIDDLE)
        told = words(
            "The board counts each play as you grade it: who, against what, how sure, and what "
            "to drill tomorrow.",
            look="quiet",
            wrap=True,
        )
        told.setAlignment(_MIDDLE)
        told.setMaximumWidth(_WIDE_PX)
        across = QHBoxLayout()
        across.addStretch(1)
        across.addWidget(told, 20)
        across.addStretch(1)
        column.addLayout(across)
        column.addSpacing(14)
        does = QHBoxLayout()
        does.setSpacing(12)
        self.grade = button("Grade plays", "accent", tip="Go to the Film page (F1)")
        does.addStretch(1)
        does.addWidget(self.grade)
        does.addWidget(KeyHint("F1", ""))
        does.addStretch(1)
        column.addLayout(does)
        column.addStretch(3)


_MIDDLE = Qt.AlignmentFlag.AlignHCenter
