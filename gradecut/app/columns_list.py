"""A list of rows in columns, painted in the page's own type; the keys go along its rows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from PyQt6.QtCore import QModelIndex, QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QKeyEvent, QPainter, QPaintEvent
from PyQt6.QtWidgets import (
    QListWidget,
    QListWidgetItem,
    QSizePolicy,
    QStyle,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QWidget,
)

from gradecut.app.theme import Dress, Theme, as_qcolor
from gradecut.app.touch_area import LEAD_PX, key_cap, set_whole, set_words, whole_lines
from gradecut.drawing import Colour

__all__ = ["Cell", "Column", "ColumnsList", "Row"]

Look = Literal["ink", "quiet", "warn", "accent", "key"]

_ROW_PX, _HEAD_PX, _PAD_PX, _GAP_PX = 32, 24, 12.0, 12.0
_BAR_PX = 3.0
_ROW_LINES, _MOST_LINES = 2, 6
"""How many lines a row has room for at its usual height, and the most a cell may take."""
_LONG_PX = 90.0
"""A column wider than this may be narrowed."""
_ALONG = frozenset(
    {
        Qt.Key.Key_Up,
        Qt.Key.Key_Down,
        Qt.Key.Key_PageUp,
        Qt.Key.Key_PageDown,
        Qt.Key.Key_Home,
        Qt.Key.Key_End,
    }
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: its heading, its width in pixels (0: what is left), how it is set.

    Where there is little room, wide columns are narrowed until those that take what is left
    have ``least_px``.
    """

    head: str
    wide_px: float = 0
    least_px: float = 110
    anchor: Literal["left", "right"] = "left"


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell: its words, and how they are painted; "key": on a key cap."""

    words: str
    look: Look = "ink"
    weight: int = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row, with what it says for whoever can't see it.

    Attributes
    ----------
    across : Cell or None
        Set over all columns instead of the cells: a heading between rows, or a sentence.
    """

    cells: tuple[Cell, ...] = ()
    words: str
    across: Cell | None = None


class ColumnsList(QListWidget):
    """Rows of cells; arrow keys choose among them, every other key is the window's around it.

    Attributes
    ----------
    heads : QWidget
        The headings, to be laid above.
    led : bool
        The keys reach its rows from a field beside it.
    """

    def __init__(self, dress: Dress, columns: Sequence[Column], name: str) -> None:
        super().__init__()
        self.dress = dress
        self.columns = tuple(columns)
        self.rows: tuple[Row, ...] = ()
        self.heads = _Heads(self)
        self.led = False
        self.setAccessibleName(name)
        self.setProperty("look", "columns")
        self.setItemDelegate(_CellPainter(self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollMode(QListWidget.ScrollMode.ScrollPerPixel)
        self.setResizeMode(QListWidget.ResizeMode.Adjust)
        dress.changed.connect(self._repaint)

    def show_rows(self, rows: Sequence[Row]) -> None:
        """Show some rows; the place that was chosen stays chosen."""
        at = self.currentRow()
        self.rows = tuple(rows)
        self.blockSignals(True)
        while self.count() > len(self.rows):
            self.takeItem(self.count() - 1)
        while self.count() < len(self.rows):
            self.addItem(QListWidgetItem())
        for place, row in enumerate(self.rows):
            if (item := self.item(place)) is not None:
                item.setData(Qt.ItemDataRole.AccessibleTextRole, row.words)
                item.setToolTip(row.words)
        self.setCurrentRow(min(max(at, 0), len(self.rows) - 1))
        self.blockSignals(False)
        self._repaint()

    def places(self, width_px: float) -> list[tuple[float, float]]:
        """Return left and width of each column in pixels."""
        gaps = _GAP_PX * (len(self.columns) - 1) + 2 * _PAD_PX
        loose = sum(column.wide_px == 0 for column in self.columns)
        room = width_px - gaps
        long = [column.wide_px for column in self.columns if column.wide_px > _LONG_PX]
        rest = room - sum(column.wide_px or column.least_px for column in self.columns)
        share = max(1 + min(rest, 0.0) / sum(long), 0.4) if long and loose else 1.0
        widths = [
            column.wide_px * (share if column.wide_px > _LONG_PX else 1) for column in self.columns
        ]
        rest = max((room - sum(widths)) / max(loose, 1), 40.0)
        left, found = _PAD_PX, []
        for fixed in widths:
            wide = fixed or rest
            found.append((left, wide))
            left += wide + _GAP_PX
        return found

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Go along the rows; leave every other key to the window."""
        if event is None:
            return
        plain = event.modifiers() in (
            Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier,
        )  # fmt: skip
        if plain and event.key() in _ALONG:
            super().keyPressEvent(event)
        else:
            event.ignore()

    def _repaint(self) -> None:
        self.scheduleDelayedItemsLayout()
        if (shown := self.viewport()) is not None:
            shown.update()
        self.heads.update()


class _Heads(QWidget):
    """The headings, above the columns they name."""

    def __init__(self, of: ColumnsList) -> None:
        super().__init__()
        self._of = of
        self.setFixedHeight(_HEAD_PX)
        self.setAccessibleName(f"Columns: {', '.join(one.head for one in of.columns if one.head)}")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint them, and the line below."""
        painter = QPainter(self)
        theme = self._of.dress.theme
        shown = self._of.viewport()
        width = shown.width() if shown is not None else self.width()
        frame = shown.x() if shown is not None else 0
        places = self._of.places(width)
        for column, (left, wide) in zip(self._of.columns, places, strict=True):
            rect = QRectF(frame + left, 0, wide, _HEAD_PX - 4)
            set_words(painter, rect, column.head, theme.quiet, size="small", anchor=column.anchor)
        painter.fillRect(QRectF(0, _HEAD_PX - 1, self.width(), 1), as_qcolor(theme.hairline))
        painter.end()


class _CellPainter(QStyledItemDelegate):
    """Paints one row."""

    def __init__(self, of: ColumnsList) -> None:
        super().__init__(of)
        self._of = of

    def sizeHint(self, _option: QStyleOptionViewItem, index: QModelIndex) -> QSize:
        """Give a row the height of the cell that takes most lines."""
        return QSize(100, _ROW_PX + round(LEAD_PX * max(self._lines(index.row()) - _ROW_LINES, 0)))

    def _lines(self, place: int) -> int:
        shown = self._of.viewport()
        if shown is None or not 0 <= place < len(self._of.rows):
            return 1
        row, width = self._of.rows[place], float(shown.width())
        cells = [(cell, wide) for cell, (_, wide) in zip(row.cells, self._of.places(width),
                                                         strict=False)]  # fmt: skip
        if row.across is not None:
            cells = [(row.across, width - 2 * _PAD_PX)]
        return max(
            (len(whole_lines(cell.words, wide, cell.weight, most=_MOST_LINES)[1])
             for cell, wide in cells if cell.look != "key"), default=1,
        )  # fmt: skip

    def paint(
        self, painter: QPainter | None, option: QStyleOptionViewItem, index: QModelIndex
    ) -> None:
        """Paint the cells, and where the keys are."""
        if painter is None or not 0 <= index.row() < len(self._of.rows):
            return
        theme, rect = self._of.dress.theme, QRectF(option.rect)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        if chosen:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(theme.raised))
            painter.drawRoundedRect(rect.adjusted(0, 1, 0, -1), 5, 5)
            bar = theme.accent if self._of.hasFocus() or self._of.led else theme.quiet
            painter.setBrush(as_qcolor(bar))
            painter.drawRoundedRect(
                QRectF(rect.left(), rect.top() + 6, _BAR_PX, rect.height() - 12), 1.5, 1.5
            )
        row = self._of.rows[index.row()]
        if row.across is not None:
            self._set_across(painter, rect, row.across)
            painter.restore()
            return
        places = self._of.places(rect.width())
        for cell, column, (left, wide) in zip(row.cells, self._of.columns, places, strict=True):
            place = QRectF(rect.left() + left, rect.top(), wide, rect.height())
            if cell.look == "key":
                if cell.words:
                    key_cap(painter, QPointF(place.left(), place.center().y()), cell.words, theme)
                continue
            set_whole(
                painter, place, cell.words, _colour(cell.look, theme), weight=cell.weight,
                anchor=column.anchor, most=_MOST_LINES,
            )  # fmt: skip
        painter.restore()

    def _set_across(self, painter: QPainter, rect: QRectF, cell: Cell) -> None:
        place = rect.adjusted(_PAD_PX, 0, -_PAD_PX, 0)
        colour = _colour(cell.look, self._of.dress.theme)
        set_whole(painter, place, cell.words, colour, weight=cell.weight, most=_MOST_LINES)


def _colour(look: Look, theme: Theme) -> Colour:
    return {"quiet": theme.quiet, "warn": theme.warn, "accent": theme.accent}.get(look, theme.ink)
