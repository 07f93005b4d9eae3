"""All keys of the sheet where a recording is cut, told in two columns."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtWidgets import QGridLayout, QHBoxLayout, QSizePolicy, QVBoxLayout

from gradecut.app.actions import Action
from gradecut.app.cutting_keys import KeyRow, key_rows
from gradecut.app.labels import line_across, words

__all__ = ["key_list"]

_SIDES = (("Go", "Plays"), ("Edges", "Done"))
"""Which keys stand beside each other."""
_CAPS_PX = 118


def key_list(actions: Sequence[Action]) -> QHBoxLayout:
    """Return all keys below their headings; low enough for the smallest window."""
    rows = key_rows(actions)
    both = QHBoxLayout()
    both.setSpacing(24)
    for headings in _SIDES:
        side = QVBoxLayout()
        side.setSpacing(9)
        for heading in headings:
            side.addLayout(_group(heading, rows[heading]))
        side.addStretch(1)
        both.addLayout(side, 1)
    return both


def _group(heading: str, rows: Sequence[KeyRow]) -> QVBoxLayout:
    """Return a group of keys below its heading."""
    column = QVBoxLayout()
    column.setSpacing(3)
    column.addWidget(words(heading, "small", 600, look="quiet"))
    column.addWidget(line_across())
    grid = QGridLayout()
    grid.setHorizontalSpacing(9)
    grid.setVerticalSpacing(2)
    grid.setColumnMinimumWidth(0, _CAPS_PX)
    grid.setColumnStretch(1, 1)
    for number, row in enumerate(rows):
        grid.addLayout(_caps(row.caps), number, 0)
        grid.addWidget(words(row.does, "small"), number, 1)
    column.addLayout(grid)
    return column


def _caps(keys: Sequence[str]) -> QHBoxLayout:
    """Return key caps side by side."""
    row = QHBoxLayout()
    row.setSpacing(4)
    for key in keys:
        cap = words(key, "small", 600)
        cap.setProperty("look", "key")
        cap.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Preferred)
        row.addWidget(cap)
    row.addStretch(1)
    return row
