"""A list of reps, two lines each: play and result, then what he owed and did."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import QModelIndex, QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QPainter
from PyQt6.QtWidgets import (
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
)

from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.desk.rep_rows import RepRow

__all__ = ["RepList"]

_ROW = Qt.ItemDataRole.UserRole
_HIGH_PX = 46


class RepList(QListWidget):
    """Lists reps; touching one, or Return on it, opens it.

    Signals
    -------
    rep_opened : (str, str)
        Clip and rep.
    """

    rep_opened = pyqtSignal(str, str)

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self.setItemDelegate(_RepPainter(dress, self))
        self.setMouseTracking(True)
        self.setAccessibleName("Reps")
        self.setUniformItemSizes(True)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.itemClicked.connect(self._open)

    def show_rows(self, rows: Sequence[RepRow]) -> None:
        """List some reps."""
        self.clear()
        for row in rows:
            item = QListWidgetItem()
            item.setData(_ROW, row)
            told = f"{row.play}, {row.man}: {row.result}. Owed {row.owed}; did: {row.did}."
            item.setData(Qt.ItemDataRole.AccessibleTextRole, told)
            item.setToolTip(f"{told} {row.beside}")
            self.addItem(item)
        self.setMaximumHeight(max(len(rows), 1) * _HIGH_PX + 2 * self.frameWidth())

    def open_here(self) -> None:
        """Open the chosen rep."""
        item = self.currentItem()
        if item is not None:
            self._open(item)

    def move_row(self, by: int) -> None:
        """Choose another row."""
        self.setCurrentRow(min(max(self.currentRow() + by, 0), self.count() - 1))

    def _open(self, item: QListWidgetItem) -> None:
        row: RepRow = item.data(_ROW)
        self.rep_opened.emit(row.clip_id, row.rep_id)


class _RepPainter(QStyledItemDelegate):
    """Paints one rep."""

    def __init__(self, dress: Dress, parent: RepList) -> None:
        super().__init__(parent)
        self._dress = dress

    def sizeHint(self, option: QStyleOptionViewItem, _index: QModelIndex) -> QSize:
        """Give every row the same height."""
        return QSize(option.rect.width(), _HIGH_PX)

    def paint(
        self, painter: QPainter | None, option: QStyleOptionViewItem, index: QModelIndex
    ) -> None:
        """Paint play and result, then owed and did."""
        if painter is None:
            return
        theme, row = self._dress.theme, index.data(_ROW)
        area = QRectF(option.rect).adjusted(0, 1, 0, -1)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if option.state & (QStyle.StateFlag.State_Selected | QStyle.StateFlag.State_MouseOver):
            chosen = bool(option.state & QStyle.StateFlag.State_Selected)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(theme.pressed if chosen else theme.raised))
            painter.drawRoundedRect(area, 5, 5)
        left, right = area.x() + 10, area.right() - 10
        painter.setFont(font("body", 500))
        painter.setPen(as_qcolor(theme.ink))
        painter.drawText(QPointF(left, area.y() + 18), f"{row.play} · {row.man}")
        painter.setPen(as_qcolor(theme.warn if row.missed else theme.quiet))
        wide = painter.fontMetrics().horizontalAdvance(row.result)
        painter.drawText(QPointF(right - wide, area.y() + 18), row.result)
        painter.setFont(font("small"))
        painter.setPen(as_qcolor(theme.quiet))
        told = " · ".join(part for part in (f"owed {row.owed}", row.did, row.beside) if part)
        shown = painter.fontMetrics().elidedText(
            told, Qt.TextElideMode.ElideRight, round(right - left)
        )
        painter.drawText(QPointF(left, area.y() + 36), shown)
        painter.restore()
