"""How a sheet is laid out: its whole, its title, its lists, and how it is closed."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtWidgets import QDialog, QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from gradecut.app.columns_list import ColumnsList
from gradecut.app.labels import button, words

__all__ = ["closing", "footed", "listed", "titled", "whole_of"]


def whole_of(sheet: QDialog) -> QVBoxLayout:
    """Return the column of a sheet, whose parts reach its edges."""
    whole = QVBoxLayout(sheet)
    whole.setContentsMargins(0, 0, 0, 0)
    whole.setSpacing(0)
    return whole


def titled(title: str, beneath: str) -> QHBoxLayout:
    """Set a title, and beside it what it is the title of."""
    row = QHBoxLayout()
    row.setSpacing(14)
    row.addWidget(words(title, "title", 600))
    row.addWidget(words(beneath, "lead", look="quiet", wrap=True), 1)
    return row


def listed(rows: ColumnsList) -> QVBoxLayout:
    """Set a list below the heads of its columns."""
    column = QVBoxLayout()
    column.setContentsMargins(12, 8, 12, 8)
    column.setSpacing(2)
    column.addWidget(rows.heads)
    column.addWidget(rows, 1)
    return column


def closing(sheet: QDialog, text: str = "Close", *, tip: str = "Esc") -> QPushButton:
    """Return the button that closes a sheet, as Esc does; what is not stored is given up."""
    made = button(text, tip=tip)
    made.setAutoDefault(False)
    made.clicked.connect(sheet.reject)
    return made


def footed(*left: QWidget, right: Sequence[QWidget]) -> QHBoxLayout:
    """Set the foot: keys and choices at the left, at the right what closes, then what is done."""
    row = QHBoxLayout()
    row.setContentsMargins(24, 12, 24, 14)
    row.setSpacing(16)
    for part in left:
        row.addWidget(part)
    row.addStretch(1)
    does = QHBoxLayout()
    does.setSpacing(8)
    for part in right:
        does.addWidget(part)
    row.addLayout(does)
    return row
