"""The column beside the film, scrolled where the window is too low for all of it."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, QObject, QSize, Qt
from PyQt6.QtWidgets import (
    QFrame,
    QScrollArea,
    QSizePolicy,
    QSpacerItem,
    QVBoxLayout,
    QWidget,
)

__all__ = ["LeftColumn"]

_LOW_GAP_PX = 4


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
        self._gaps: list[tuple[QSpacerItem, int]] = []
        bar = self.verticalScrollBar()
        if bar is not None:
            bar.rangeChanged.connect(self._scroll)

    def add_gap(self, high_px: int) -> None:
        """Leave a gap below what was added last."""
        gap = QSpacerItem(0, high_px, QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Fixed)
        self.column.addItem(gap)
        self._gaps.append((gap, high_px))

    def keep_low(self, low: bool) -> None:
        """Set the parts closer in a low window."""
        for gap, high_px in self._gaps:
            high = min(high_px, _LOW_GAP_PX) if low else high_px
            gap.changeSize(0, high, QSizePolicy.Policy.Minimum, QSizePolicy.Policy.Fixed)
        self.column.setContentsMargins(16, 6 if low else 10, 16, 6 if low else 10)
        self.column.invalidate()

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
