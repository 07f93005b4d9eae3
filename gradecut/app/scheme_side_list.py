"""A list beside the grid: rows of words with a look drawn, and the plays behind each."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from PyQt6.QtCore import QModelIndex, QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QKeyEvent, QPainter, QResizeEvent
from PyQt6.QtWidgets import (
    QHBoxLayout,
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
from gradecut.app.scheme_chips import Flow
from gradecut.app.theme import Dress, as_qcolor
from gradecut.app.touch_area import set_words
from gradecut.desk.scheme_beside import BesideRow
from gradecut.drawing import wrap_text

__all__ = ["SideList", "SideView"]

_PAD_PX, _NAME_PX, _LINE_PX, _SMALL_PX = 10, 20, 17, 15
_LEFT_PX, _RIGHT_PX, _SIGN_PX = 20, 18, 18
_MOST_LINES, _MOST_NAME_LINES = 6, 4


class SideView(QWidget):
    """A verdict, a line beside it, and a list; what Enter and Delete do there is each view's own.

    Attributes
    ----------
    list : SideList
    above, foot : QVBoxLayout, Flow
        For what a view has besides.
    """

    def __init__(self, dress: Dress, told: str) -> None:
        super().__init__()
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.verdict = words("", "lead", 600, wrap=True)
        self.verdict.setContentsMargins(_LEFT_PX, 14, 16, 2)
        self.beside = words("", "small", look="quiet", wrap=True)
        self.beside.setContentsMargins(_LEFT_PX, 0, 16, 8)
        column.addWidget(self.verdict)
        column.addWidget(self.beside)
        self.above = QVBoxLayout()
        self.above.setContentsMargins(0, 0, 0, 0)
        column.addLayout(self.above)
        self.list = SideList(dress)
        self.list.setAccessibleName(told)
        column.addWidget(self.list, 1)
        below = QHBoxLayout()
        below.setContentsMargins(_LEFT_PX, 8, _RIGHT_PX, 10)
        inside = QWidget()
        self.foot = Flow(inside, 6)
        below.addWidget(inside)
        column.addLayout(below)

    def tell(self, verdict: str, beside: str) -> None:
        """Write what stands above the list."""
        self.verdict.setText(verdict)
        self.beside.setText(beside)
        self.beside.setVisible(bool(beside))

    def take_keys(self) -> None:
        """Give the keys to the list, something chosen in it."""
        if self.list.count() and self.list.currentRow() < 0:
            self.list.setCurrentRow(0)
        self.list.setFocus()

    def choose(self, by: int) -> None:
        """Choose another row without going to it."""
        at = self.list.currentRow() + by
        self.list.setCurrentRow(min(max(at, 0), self.list.count() - 1))

    def go(self) -> None:
        """Do what Enter does to the chosen row."""

    def drop(self) -> None:
        """Do what Delete does to it."""


class SideList(QListWidget):
    """Rows of different heights, painted by one delegate.

    Signals
    -------
    counted : int
        A digit was pressed.
    """

    counted = pyqtSignal(int)

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self.rows: tuple[BesideRow, ...] = ()
        self.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setItemDelegate(_RowDelegate(dress, self))
        self.setSelectionMode(QListWidget.SelectionMode.SingleSelection)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        dress.changed.connect(self._repaint)

    def show_rows(self, rows: Sequence[BesideRow]) -> None:
        """List some rows; the one chosen stays so where it is still there, else its place does."""
        if tuple(rows) == self.rows:
            return
        at, before = self.currentRow(), self.row_in_hand()
        self.rows = tuple(rows)
        self.blockSignals(True)
        self.clear()
        for row in self.rows:
            item = QListWidgetItem()
            item.setData(Qt.ItemDataRole.UserRole, row)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, row.told)
            item.setToolTip(row.told_look)
            self.addItem(item)
        keys = [row.key for row in self.rows]
        if before is not None and before.key in keys:
            self.setCurrentRow(keys.index(before.key))
        elif before is not None and self.rows:
            self.setCurrentRow(min(at, len(self.rows) - 1))
        self.blockSignals(False)

    def row_in_hand(self) -> BesideRow | None:
        """Return the row that is chosen."""
        at = self.currentRow()
        return self.rows[at] if 0 <= at < len(self.rows) else None

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Wrap anew."""
        super().resizeEvent(event)
        self.scheduleDelayedItemsLayout()

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Tell digits; letters find nothing in it."""
        if event is not None and event.text().isdigit():
            self.counted.emit(int(event.text()))
        elif event is None or not event.text().isprintable() or not event.text():
            super().keyPressEvent(event)

    def _repaint(self) -> None:
        port = self.viewport()
        if port is not None:
            port.update()


class _RowDelegate(QStyledItemDelegate):
    """Paints a sign, a name, a sentence, the look, and the plays in columns."""

    def __init__(self, dress: Dress, parent: SideList) -> None:
        super().__init__(parent)
        self._dress = dress
        self._list = parent
        self._pictures = GridPictures(dress)

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex) -> QSize:
        row: BesideRow = index.data(Qt.ItemDataRole.UserRole)
        port = self._list.viewport()
        wide = port.width() if port is not None else option.rect.width()
        inside = wide - _LEFT_PX - _RIGHT_PX - _indent(row)
        high: float = _name_px(row, inside) + _lines(row.words, 13.0, inside) * _LINE_PX
        if row.look:
            told = _lines(row.told_look, 12.0, wide - PICTURE_PX[0] - _LEFT_PX - 30)
            high += 6 + max(PICTURE_PX[1], told * _SMALL_PX + 8)
        elif row.told_look:
            high += _lines(row.told_look, 12.0, inside) * _SMALL_PX
        if row.columns:
            high += 4 + max(_column_px(row, inside))
        return QSize(wide, round(high + 2 * _PAD_PX))

    def paint(
        self, painter: QPainter | None, option: QStyleOptionViewItem, index: QModelIndex
    ) -> None:
        if painter is None:
            return
        row: BesideRow = index.data(Qt.ItemDataRole.UserRole)
        theme = self._dress.theme
        whole = QRectF(option.rect)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if option.state & QStyle.StateFlag.State_Selected:
            keys = self._list.hasFocus()
            painter.setPen(as_qcolor(theme.accent) if keys else Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(theme.raised))
            painter.drawRoundedRect(whole.adjusted(10, 2, -8, -3), 6, 6)
        left = whole.x() + _LEFT_PX
        room = QRectF(left, whole.y() + _PAD_PX, whole.width() - _LEFT_PX - _RIGHT_PX, _NAME_PX)
        self._name(painter, row, room)
        room.setLeft(left + _indent(row))
        y = room.y() + _name_px(row, room.width())
        if row.words:
            text = QRectF(room.x(), y, room.width(), _MOST_LINES * _LINE_PX)
            y += set_lines(painter, text, row.words, theme.ink)
        y = self._look(painter, row, QRectF(left, y, room.right() - left, 0))
        if row.columns:
            self._columns(painter, row, QRectF(room.x(), y + 4, room.width(), 0))
        painter.fillRect(
            QRectF(left, whole.bottom() - 1, whole.width() - 36, 1), as_qcolor(theme.hairline)
        )
        painter.restore()

    def _name(self, painter: QPainter, row: BesideRow, room: QRectF) -> None:
        theme = self._dress.theme
        if row.sign:
            colour = theme.warn if row.serious else theme.quiet
            set_words(painter, room, row.sign, colour, weight=600)
        inside = room.adjusted(_indent(row), 0, 0, 0)
        if row.at_right:
            used = set_words(
                painter, inside, row.at_right, theme.quiet, size="small", anchor="right"
            )
            inside.setRight(inside.right() - used - 10)
        for line in _name_lines(row, inside.width()):
            set_words(painter, inside, line, theme.ink, weight=600)
            inside.translate(0, _LINE_PX)

    def _look(self, painter: QPainter, row: BesideRow, room: QRectF) -> float:
        """Paint the look with its words beside it, or the words alone; return where it ends."""
        theme = self._dress.theme
        if not row.look:
            if not row.told_look:
                return room.y()
            text = QRectF(room.x() + _indent(row), room.y(), room.width() - _indent(row), 90)
            return room.y() + set_lines(painter, text, row.told_look, theme.ink, size="small")
        top = room.y() + 6
        device = painter.device()
        ratio = device.devicePixelRatioF() if device is not None else 1.0
        painter.drawImage(QPointF(room.x() + 6, top), self._pictures.picture(row.look, ratio))
        x = room.x() + PICTURE_PX[0] + 16
        told = QRectF(x, top + 8, room.right() - x, PICTURE_PX[1] + 40)
        high = set_lines(painter, told, row.told_look, theme.quiet, size="small")
        return top + max(PICTURE_PX[1], high + 8)

    def _columns(self, painter: QPainter, row: BesideRow, room: QRectF) -> None:
        """Set the plays under their headings, side by side."""
        theme = self._dress.theme
        wide = room.width() / len(row.columns)
        for at, (heading, plays) in enumerate(row.columns):
            x = room.x() + at * wide
            name = QRectF(x, room.y(), wide - 10, _SMALL_PX)
            set_words(painter, name, heading, theme.quiet, size="small")
            below = QRectF(x, room.y() + _SMALL_PX, wide - 10, _MOST_LINES * _SMALL_PX)
            set_lines(painter, below, plays, theme.ink, size="small")


def _indent(row: BesideRow) -> int:
    return _SIGN_PX if row.sign else 0


def _name_lines(row: BesideRow, inside: float) -> tuple[str, ...]:
    """Return a name in lines; where something stands at its right it keeps to one."""
    if row.at_right:
        return (row.name,)
    return wrap_text(row.name, 13.0, max(inside, 60), weight=600, most=_MOST_NAME_LINES)


def _name_px(row: BesideRow, inside: float) -> int:
    return _NAME_PX + (max(len(_name_lines(row, inside)), 1) - 1) * _LINE_PX


def _column_px(row: BesideRow, inside: float) -> list[float]:
    """Return how high each column is."""
    wide = inside / len(row.columns) - 10
    return [_SMALL_PX * (1 + _lines(plays, 12.0, wide)) for _, plays in row.columns]


@lru_cache(maxsize=4000)
def _lines(text: str, size_px: float, width: float) -> int:
    """Return over how many lines words are set."""
    if not text:
        return 0
    return min(len(wrap_text(text, size_px, max(width, 60), most=_MOST_LINES)), _MOST_LINES)
