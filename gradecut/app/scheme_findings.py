"""What the audit found, each with the smallest look that shows it, drawn."""

from __future__ import annotations

from functools import lru_cache

from PyQt6.QtCore import QModelIndex, QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QPainter, QResizeEvent
from PyQt6.QtWidgets import (
    QListWidget,
    QListWidgetItem,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.grid_cell import set_lines
from gradecut.app.grid_pictures import PICTURE_PX, GridPictures
from gradecut.app.labels import words
from gradecut.app.theme import Dress, as_qcolor
from gradecut.app.touch_area import set_words
from gradecut.desk.scheme_audit import AuditBeside, FindingRow
from gradecut.drawing import wrap_text

__all__ = ["FindingsView"]

_PAD_PX, _NAME_PX, _LINE_PX = 10, 20, 17
_MOST_LINES = 6


class FindingsView(QWidget):
    """Lists the findings; the one chosen is gone to.

    Signals
    -------
    asked : object
        A FindingRow to go to.
    """

    asked = pyqtSignal(object)

    def __init__(self, audit: AuditBeside, dress: Dress) -> None:
        super().__init__()
        self._audit = audit
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.verdict = words("", "lead", 600, wrap=True)
        self.verdict.setContentsMargins(20, 14, 16, 2)
        self.beside = words("", "small", look="quiet", wrap=True)
        self.beside.setContentsMargins(20, 0, 16, 8)
        column.addWidget(self.verdict)
        column.addWidget(self.beside)
        self.list = _FindingList(dress)
        self.list.setAccessibleName("Findings of the audit")
        self.list.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.list.itemClicked.connect(lambda _: self.go())
        column.addWidget(self.list, 1)
        audit.changed.connect(self.renew)
        self.renew()

    def renew(self) -> None:
        """Show what was found last."""
        audit = self._audit
        self.verdict.setText(audit.verdict())
        if audit.running:
            told = "An edit is being checked …"
        elif audit.rows:
            told = "Enter goes to the row, or opens one for the look · F8 next"
        else:
            told = ""
        self.beside.setText(told)
        self.beside.setVisible(bool(told))
        if audit.rows != self.list.rows:
            self.list.show_rows(audit.rows)

    def step(self, by: int) -> None:
        """Go to the next finding, or one before."""
        count = self.list.count()
        if count:
            at = self.list.currentRow()
            self.list.setCurrentRow((at + by) % count if at >= 0 else 0)
            self.go()

    def choose(self, by: int) -> None:
        """Choose another finding without going to it."""
        at = self.list.currentRow() + by
        self.list.setCurrentRow(min(max(at, 0), self.list.count() - 1))

    def go(self) -> None:
        """Go to the chosen finding."""
        row = self.list.currentRow()
        if 0 <= row < len(self.list.rows):
            self.asked.emit(self.list.rows[row])


class _FindingList(QListWidget):
    """Rows of different heights, painted by one delegate."""

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self.rows: tuple[FindingRow, ...] = ()
        self.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setItemDelegate(_FindingDelegate(dress, self))
        self.setSelectionMode(QListWidget.SelectionMode.SingleSelection)
        dress.changed.connect(self._repaint)

    def show_rows(self, rows: tuple[FindingRow, ...]) -> None:
        """List some findings; the one chosen stays chosen where it is still there."""
        at = self.currentRow()
        before = self.rows[at] if 0 <= at < len(self.rows) else None
        self.rows = rows
        self.clear()
        for row in rows:
            item = QListWidgetItem()
            item.setData(Qt.ItemDataRole.UserRole, row)
            told = f"{row.name}. {row.words}"
            item.setData(Qt.ItemDataRole.AccessibleTextRole, told)
            item.setToolTip(row.told_look)
            self.addItem(item)
        if before in rows:
            self.setCurrentRow(rows.index(before))

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Wrap anew."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def _repaint(self) -> None:
        port = self.viewport()
        if port is not None:
            port.update()


class _FindingDelegate(QStyledItemDelegate):
    """Paints a sign, a name, a sentence, and the look."""

    def __init__(self, dress: Dress, parent: _FindingList) -> None:
        super().__init__(parent)
        self._dress = dress
        self._list = parent
        self._pictures = GridPictures(dress)

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex) -> QSize:
        row: FindingRow = index.data(Qt.ItemDataRole.UserRole)
        port = self._list.viewport()
        wide = port.width() if port is not None else option.rect.width()
        high = _NAME_PX + _lines(row.words, wide - 2 * _PAD_PX - 32) * _LINE_PX
        if row.look:
            told = _lines(row.told_look, wide - PICTURE_PX[0] - 2 * _PAD_PX - 44)
            high += 6 + max(PICTURE_PX[1], told * 15)
        return QSize(wide, high + 2 * _PAD_PX)

    def paint(
        self, painter: QPainter | None, option: QStyleOptionViewItem, index: QModelIndex
    ) -> None:
        if painter is None:
            return
        row: FindingRow = index.data(Qt.ItemDataRole.UserRole)
        theme = self._dress.theme
        whole = QRectF(option.rect)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if option.state & QStyle.StateFlag.State_Selected:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(theme.raised))
            painter.drawRoundedRect(whole.adjusted(10, 2, -8, -3), 6, 6)
        left = whole.x() + 20
        top = whole.y() + _PAD_PX
        inside = QRectF(left, top, whole.width() - left + whole.x() - 18, _NAME_PX)
        sign, colour = ("✗", theme.warn) if row.serious else ("△", theme.quiet)
        set_words(painter, inside, sign, colour, weight=600)
        set_words(painter, inside.adjusted(18, 0, 0, 0), row.name, theme.ink, weight=600)
        text = QRectF(left + 18, top + _NAME_PX, inside.width() - 18, _MOST_LINES * _LINE_PX)
        high = set_lines(painter, text, row.words, theme.ink)
        if row.look:
            y = top + _NAME_PX + high + 6
            picture = self._pictures.picture(row.look, painter.device().devicePixelRatioF())  # type: ignore[union-attr]
            painter.drawImage(QPointF(left + 6, y), picture)
            x = left + PICTURE_PX[0] + 16
            told = QRectF(x, y + 8, whole.right() - x - 14, PICTURE_PX[1] + 40)
            set_lines(painter, told, row.told_look, theme.quiet, size="small")
        painter.fillRect(
            QRectF(left, whole.bottom() - 1, whole.width() - 36, 1), as_qcolor(theme.hairline)
        )
        painter.restore()


@lru_cache(maxsize=2000)
def _lines(text: str, width: float) -> int:
    """Return over how many lines words are set."""
    return min(len(wrap_text(text, 13.0, max(width, 60), most=_MOST_LINES)), _MOST_LINES)
