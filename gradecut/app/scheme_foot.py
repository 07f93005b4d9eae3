"""The foot of the scheme's grid: the cell in hand in words, and the keys for it."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QBoxLayout, QHBoxLayout, QWidget

from gradecut.app.labels import KeyHint, words

__all__ = ["SchemeFoot"]

_HINTS = (("Enter", "fits"), ("+", "row"), ("/", "split"), ("Ctrl+E", "looks"), ("Ctrl+U", "cue"))
_GAP_PX, _LOW_GAP_PX = 18, 4
_TOLD_PX = 38
"""Two lines of the cell's words, so that the grid seldom gives way to them."""


class SchemeFoot(QWidget):
    """Tells the cell in hand, with the keys behind or, where it is narrow, below the words.

    Attributes
    ----------
    told : QLabel
        The cell in words.
    hints : list of KeyHint
    """

    def __init__(self) -> None:
        super().__init__()
        self._parts = QBoxLayout(QBoxLayout.Direction.LeftToRight, self)
        self._parts.setContentsMargins(24, 6, 24, 0)
        self.told = words("", wrap=True)
        self.told.setAccessibleName("The cell in words")
        self.told.setMinimumHeight(_TOLD_PX)
        self.told.setAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        self._parts.addWidget(self.told, 1)
        self.hints = [KeyHint(key, does) for key, does in _HINTS]
        across = QHBoxLayout()
        across.setSpacing(_GAP_PX)
        for hint in self.hints:
            across.addWidget(hint)
        across.addStretch(0)
        self._parts.addLayout(across)
        self.set_narrow(False)

    def set_narrow(self, narrow: bool) -> None:
        """Put the keys below the words, or behind them."""
        way = QBoxLayout.Direction
        self._parts.setDirection(way.TopToBottom if narrow else way.LeftToRight)
        self._parts.setSpacing(_LOW_GAP_PX if narrow else _GAP_PX)
