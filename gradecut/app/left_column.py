"""The column beside the film, scrolled where the window is too low for all of it."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, QObject, QSize, Qt
from PyQt6.QtWidgets import QFrame, QScrollArea, QVBoxLayout, QWidget

__all__ = ["LeftColumn"]


class LeftColumn(QScrollArea):
    """Keeps a part in sight when there is no room for all.

    Attributes
    ----------
    column : QVBoxLayout
        What stands in it.
    """

    def __init__(self) -> None:
        super().__init__()
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        inside = QWidget()
        self.column = QVBoxLayout(inside)
        self.column.setContentsMargins(16, 10, 16, 10)
        self.column.setSpacing(0)
        self.setWidget(inside)
        self._kept: QWidget | None = None
        bar = self.verticalScrollBar()
        if bar is not None:
            bar.rangeChanged.connect(self._scroll)

    def minimumSizeHint(self) -> QSize:
        """Ask for little: the rest is scrolled."""
        return QSize(200, 120)

    def keep_in_sight(self, part: QWidget | None) -> None:
        """Scroll so that a part is seen, now and as the column grows; None: its top."""
        if part is not self._kept:
            if self._kept is not None:
                self._kept.removeEventFilter(self)
            self._kept = part
            if part is not None:
                part.installEventFilter(self)
        self._scroll()

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:
        """Follow the part to where the column has moved it."""
        if event is not None and event.type() in (QEvent.Type.Move, QEvent.Type.Resize):
            self._scroll()
        return super().eventFilter(watched, event)

    def _scroll(self, *_range: int) -> None:
        bar = self.verticalScrollBar()
        if self._kept is not None:
            self.ensureWidgetVisible(self._kept, 0, 12)
        elif bar is not None:
            bar.setValue(0)
