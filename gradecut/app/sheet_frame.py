"""How a sheet with lists is laid out: its whole, its title, its lists."""

from __future__ import annotations

from PyQt6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout

from gradecut.app.columns_list import ColumnsList
from gradecut.app.labels import words

__all__ = ["listed", "titled", "whole_of"]


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
