"""The cheat sheet: every action with its keys, from the one table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from PyQt6.QtCore import QSize, Qt
from PyQt6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.actions import Action, by_group, told_keys
from gradecut.app.labels import line_across, words

__all__ = ["CheatSheet"]

_COLUMNS = 5
_SIZE_PX = (1390, 740)
_FRAME_PX = 60
"""What the screen keeps for frames around it."""
_SHORT = 9


class CheatSheet(QDialog):
    """Shows all actions by group, those of the page that is shown first; any key closes it.

    Parameters
    ----------
    pages : mapping of page to actions
        "" for what can be done anywhere.
    """

    def __init__(self, pages: Mapping[str, Sequence[Action]], parent: QWidget) -> None:
        super().__init__(parent)
        self.setWindowTitle("Keys")
        self.listed = [action for actions in pages.values() for action in actions]
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        area = QScrollArea()
        area.setWidgetResizable(True)
        outer.addWidget(area)
        sheet = QWidget()
        area.setWidget(sheet)
        columns = QHBoxLayout(sheet)
        columns.setContentsMargins(28, 22, 28, 22)
        columns.setSpacing(28)
        for blocks in _spread(_blocks(pages)):
            columns.addLayout(_column(blocks), 1)
        usual = QSize(*_SIZE_PX)
        if (screen := parent.screen()) is not None:
            usual = usual.boundedTo(screen.availableSize() - QSize(_FRAME_PX, _FRAME_PX))
        self.resize(usual)


_Block = tuple[str, list[Action]]


def _blocks(pages: Mapping[str, Sequence[Action]]) -> list[_Block]:
    return [
        (f"{page} · {group}" if page not in ("", group) else group, found)
        for page, actions in pages.items()
        for group, found in by_group(actions).items()
    ]


def _spread(blocks: list[_Block]) -> list[list[_Block]]:
    """Deal the blocks into columns of about the same height, in order."""
    heights = [len(found) + 2 for _, found in blocks]
    room = max(sum(heights) / _COLUMNS, max(heights, default=0))
    columns: list[list[_Block]] = [[]]
    used = 0.0
    for block, height in zip(blocks, heights, strict=True):
        if columns[-1] and used + height / 2 > room and len(columns) < _COLUMNS:
            columns.append([])
            used = 0
        columns[-1].append(block)
        used += height
    return columns


def _column(blocks: Sequence[_Block]) -> QVBoxLayout:
    column = QVBoxLayout()
    column.setSpacing(5)
    for place, (heading, found) in enumerate(blocks):
        if place:
            column.addSpacing(16)
        column.addWidget(words(heading, "small", 600, look="quiet"))
        column.addWidget(line_across())
        column.addLayout(_rows(found))
    column.addStretch(1)
    return column


def _rows(found: Sequence[Action]) -> QGridLayout:
    grid = QGridLayout()
    grid.setHorizontalSpacing(10)
    grid.setVerticalSpacing(5)
    grid.setColumnStretch(1, 1)
    grid.setColumnMinimumWidth(0, 84)
    for row, action in enumerate(found):
        caps = QHBoxLayout()
        caps.setSpacing(4)
        for key in _as_fit(told_keys(action)):
            cap = words(key, "small", 600)
            cap.setProperty("look", "key")
            caps.addWidget(cap)
        caps.addStretch(1)
        grid.addLayout(caps, row, 0, Qt.AlignmentFlag.AlignTop)
        grid.addWidget(words(action.name, "small", wrap=True), row, 1)
    return grid


def _as_fit(keys: Sequence[str]) -> list[str]:
    """Return the first key, and the second where both are short and told apart."""
    told = list(dict.fromkeys(keys))[:2]
    return told if len("".join(told)) <= _SHORT else told[:1]
