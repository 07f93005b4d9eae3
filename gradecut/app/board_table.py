"""The board as a picture: players down, situations across, every rate with its doubt."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import QEvent, QPointF, QRect, QRectF, Qt, pyqtSignal
from PyQt6.QtGui import QHelpEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PyQt6.QtWidgets import QAbstractScrollArea, QSizePolicy, QToolTip

from gradecut.app.board_cell import paint_cell
from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.desk.board_desk import BoardDesk, Cell
from gradecut.grading import GROUP

__all__ = ["BoardTable", "in_two_lines"]

HEAD_PX = 42
_COLUMN_PX, _ROW_PX = (104, 290), (48, 72)
"""The least and the most a column is wide and a row is high."""
_NAME_PX, _WIDE_NAME_PX, _ROOMY_PX = 120, 160, 1100
"""How wide names are, and from which width of the table on they have more."""
_WORDS_PX = 190
"""From which width on a column says its reps in words."""
_GAP_PX = 20


class BoardTable(QAbstractScrollArea):
    """Paints only the rows and columns that are seen; names and situations stay in place.

    Columns and rows share the room, and only whole ones are shown. The last row and column,
    the group and all runs, are always seen: where not all have room, the others go by
    before them, a whole one at a time.

    Signals
    -------
    cell_opened : object
        A cell was touched: (player id or None, situation).
    cell_told : object
        The cell under the pointer or the keys; None when there is none.
    worded : bool
        Columns have room now for reps in words, or no longer.
    """

    cell_opened = pyqtSignal(object)
    cell_told = pyqtSignal(object)
    worded = pyqtSignal(bool)

    def __init__(self, desk: BoardDesk, dress: Dress) -> None:
        super().__init__()
        self._desk = desk
        self._dress = dress
        self.at: tuple[int, int] | None = None
        self.name_px, self.column_px, self.row_px = _NAME_PX, _COLUMN_PX[0], _ROW_PX[0]
        self.columns_seen = self.rows_seen = 0
        self.in_words = False
        self._hovered: tuple[int, int] | None = None
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Board")
        port = self.viewport()
        if port is not None:
            port.setMouseTracking(True)

    # ------------------------------------------------------------------ what is where

    @property
    def columns(self) -> tuple[str, ...]:
        """Situations, from left to right."""
        return self._desk.view.board.columns if self._desk.view else ()

    @property
    def row_ids(self) -> tuple[str | None, ...]:
        """Players from top to bottom; None for the group, the last row."""
        if self._desk.view is None:
            return ()
        return (*(key for key, _, _ in self._desk.view.board.rows), None)

    def cell_at(self, place: tuple[int, int]) -> Cell:
        """Return the cell of a (row, column)."""
        return self.row_ids[place[0]], self.columns[place[1]]

    def rect_of(self, place: tuple[int, int]) -> QRect:
        """Return where a (row, column) is on the viewport."""
        (first, top), (row, column) = self._passed_by(), place
        across = self.columns_seen - 1 if column == len(self.columns) - 1 else column - first
        down = self.rows_seen - 1 if row == len(self.row_ids) - 1 else row - top
        return QRect(
            self.name_px + across * self.column_px,
            HEAD_PX + down * self.row_px,
            self.column_px,
            self.row_px,
        )

    def renew(self) -> None:
        """Show another board."""
        rows, columns = len(self.row_ids), len(self.columns)
        if self.at is not None and (self.at[0] >= rows or self.at[1] >= columns):
            self.at = None
        self._share_room()
        self._update()

    def go(self, rows: int, columns: int) -> None:
        """Move the keys' cell, and tell what it holds."""
        if not self.row_ids or not self.columns:
            return
        row, column = self.at or (0, 0)
        if self.at is not None:
            row = min(max(row + rows, 0), len(self.row_ids) - 1)
            column = min(max(column + columns, 0), len(self.columns) - 1)
        self.at = (row, column)
        self._bring_into_view(self.at)
        self.setAccessibleDescription(self._desk.cell_words(self.cell_at(self.at)))
        self.cell_told.emit(self.cell_at(self.at))
        self._update()

    def open_here(self) -> None:
        """Open the keys' cell."""
        if self.at is not None:
            self.cell_opened.emit(self.cell_at(self.at))

    # ------------------------------------------------------------------ Qt

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Share the new room out."""
        super().resizeEvent(event)
        self._share_room()

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Tell the cell under the pointer."""
        if event is not None:
            self._hover(self._place_under(event.position()))

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Open the cell that was touched."""
        if event is None or event.button() != Qt.MouseButton.LeftButton:
            return
        place = self._place_under(event.position())
        if place is not None:
            self.at = place
            self.open_here()
            self._update()

    def viewportEvent(self, event: QEvent | None) -> bool:
        """Tell a cell in words on hover, and forget it when the pointer leaves."""
        if isinstance(event, QHelpEvent):
            place = self._place_under(QPointF(event.pos()))
            told = self._desk.cell_words(self.cell_at(place)) if place else ""
            QToolTip.showText(event.globalPos(), told, self)
            return True
        if event is not None and event.type() == QEvent.Type.Leave:
            self._hover(None)
        return super().viewportEvent(event)

    def paintEvent(self, event: QPaintEvent | None) -> None:
        """Paint what is seen."""
        view, port = self._desk.view, self.viewport()
        if view is None or port is None or event is None:
            return
        painter = QPainter(port)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        rows = _seen(self._passed_by()[1], self.rows_seen, len(self.row_ids))
        columns = _seen(self._passed_by()[0], self.columns_seen, len(self.columns))
        for row in rows:
            self._paint_row(painter, row, columns)
        self._paint_head(painter, columns)
        painter.end()

    # ------------------------------------------------------------------ painting

    def _paint_head(self, painter: QPainter, columns: Sequence[int]) -> None:
        theme = self._dress.theme
        painter.setPen(as_qcolor(theme.quiet))
        painter.setFont(font("small", 500))
        metrics = painter.fontMetrics()
        room = self.column_px - 12
        for column in columns:
            x = self.rect_of((0, column)).x()
            name = self.columns[column]
            lines = [name] if metrics.horizontalAdvance(name) <= room else in_two_lines(name)
            for line, y in zip(lines, (30,) if len(lines) == 1 else (15, 30), strict=True):
                shown = metrics.elidedText(line, Qt.TextElideMode.ElideRight, room)
                painter.drawText(QPointF(x, y), shown)
        painter.fillRect(0, HEAD_PX - 1, self._end_px(), 1, as_qcolor(theme.hairline))

    def _paint_row(self, painter: QPainter, row: int, columns: Sequence[int]) -> None:
        theme = self._dress.theme
        top = self.rect_of((row, 0)).y()
        for column in columns:
            self._paint_cell(painter, (row, column))
        if self.columns_seen < len(self.columns):
            x = self.rect_of((row, columns[-1])).x() - 10
            painter.fillRect(x, top, 1, self.row_px, as_qcolor(theme.hairline))
        under = top + self.row_px - 1
        painter.fillRect(0, under, self._end_px(), 1, as_qcolor(theme.hairline))
        self._paint_name(painter, *self._name_of(row), top + self.row_px // 2)

    def _paint_name(self, painter: QPainter, name: str, worn: str, middle: int) -> None:
        """Set a name, on two lines where it is long, and below it what he wears."""
        theme, room = self._dress.theme, self.name_px - 12
        painter.setPen(as_qcolor(theme.ink))
        painter.setFont(font("body", 600))
        metrics = painter.fontMetrics()
        lines = [name] if metrics.horizontalAdvance(name) <= room else _broken_name(name)
        first = middle + 5 - 8 * bool(worn) - 8 * (len(lines) - 1)
        for place, line in enumerate(lines):
            shown = metrics.elidedText(line, Qt.TextElideMode.ElideRight, room)
            painter.drawText(QPointF(0, first + 16 * place), shown)
        if worn:
            painter.setPen(as_qcolor(theme.quiet))
            painter.setFont(font("small"))
            painter.drawText(QPointF(0, first + 1 + 16 * len(lines)), worn)

    def _name_of(self, row: int) -> tuple[str, str]:
        """Return the last name of a row's man, whole where two share it, and what he wears."""
        rows = self._desk.view.board.rows if self._desk.view else ()
        if row >= len(rows):
            return GROUP, ""
        name, worn = rows[row][1], rows[row][2]
        last = [other.split()[-1] for _, other, _ in rows if other.split()]
        short = name.split()[-1] if name.split() else name
        return (short if last.count(short) == 1 else name), worn

    def _paint_cell(self, painter: QPainter, place: tuple[int, int]) -> None:
        theme, area = self._dress.theme, self.rect_of(place)
        cell = self._desk.cell(self.cell_at(place))
        if self._is_lit(place):
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(theme.raised))
            painter.drawRoundedRect(
                QRectF(area.x() - 8, area.y() + 3, self.column_px - 6, self.row_px - 7), 6, 6
            )
        if cell is not None and self._desk.view is not None:
            good = self._desk.view.board.good
            at = QPointF(area.x(), area.y() + self.row_px / 2)
            paint_cell(
                painter,
                cell,
                at,
                theme,
                good=good,
                bar_px=self.column_px - _GAP_PX,
                in_words=self.in_words,
            )

    def _is_lit(self, place: tuple[int, int]) -> bool:
        keys_here = self.hasFocus() and place == self.at
        return keys_here or place == self._hovered or self.cell_at(place) == self._desk.chosen

    # ------------------------------------------------------------------ places

    def _end_px(self) -> int:
        """Return where the last column ends, and every line with it."""
        return self.name_px + self.columns_seen * self.column_px

    def _passed_by(self) -> tuple[int, int]:
        """Return how many columns and rows have gone by."""
        across, down = self.horizontalScrollBar(), self.verticalScrollBar()
        return (across.value() if across else 0, down.value() if down else 0)

    def _share_room(self) -> None:
        """Give columns and rows as much as all can have; else as many whole ones as fit."""
        across, down = self.horizontalScrollBar(), self.verticalScrollBar()
        if across is None or down is None:
            return
        columns, rows = len(self.columns), len(self.row_ids)
        whole = self.maximumViewportSize()
        self.name_px = _WIDE_NAME_PX if whole.width() >= _ROOMY_PX else _NAME_PX
        wide, high = whole.width() - self.name_px, whole.height() - HEAD_PX
        if columns * _COLUMN_PX[0] > wide:
            high -= across.sizeHint().height()
        if rows * _ROW_PX[0] > high:
            wide -= down.sizeHint().width()
        self.column_px, self.columns_seen = _shared(wide, columns, _COLUMN_PX)
        self.row_px, self.rows_seen = _shared(high, rows, _ROW_PX)
        across.setRange(0, columns - self.columns_seen)
        across.setPageStep(max(self.columns_seen - 1, 1))
        down.setRange(0, rows - self.rows_seen)
        down.setPageStep(max(self.rows_seen - 1, 1))
        bar_px = across.sizeHint().height() if columns > self.columns_seen else 0
        self.setMaximumHeight(HEAD_PX + rows * _ROW_PX[1] + bar_px)
        in_words = self.column_px >= _WORDS_PX
        if in_words != self.in_words:
            self.in_words = in_words
            self.worded.emit(in_words)

    def _place_under(self, at: QPointF) -> tuple[int, int] | None:
        across, down = int(at.x()) + 8 - self.name_px, int(at.y()) - HEAD_PX
        if across < 0 or down < 0:
            return None
        row, column = down // self.row_px, across // self.column_px
        rows = _seen(self._passed_by()[1], self.rows_seen, len(self.row_ids))
        columns = _seen(self._passed_by()[0], self.columns_seen, len(self.columns))
        if row >= len(rows) or column >= len(columns):
            return None
        return rows[row], columns[column]

    def _hover(self, place: tuple[int, int] | None) -> None:
        if place != self._hovered:
            self._hovered = place
            self.cell_told.emit(self.cell_at(place) if place else None)
            self._update()

    def _bring_into_view(self, place: tuple[int, int]) -> None:
        across, down = self.horizontalScrollBar(), self.verticalScrollBar()
        if across is None or down is None:
            return
        row, column = place
        if column < len(self.columns) - 1:
            across.setValue(_bringing(column, across.value(), self.columns_seen - 1))
        if row < len(self.row_ids) - 1:
            down.setValue(_bringing(row, down.value(), self.rows_seen - 1))

    def _update(self) -> None:
        port = self.viewport()
        if port is not None:
            port.update()


def in_two_lines(situation: str) -> list[str]:
    """Break a situation before its last word: "outside zone" over "away"."""
    return situation.rsplit(" ", 1)


def _broken_name(name: str) -> list[str]:
    """Break a name before its last word, or behind its first hyphen."""
    if " " in name:
        return name.rsplit(" ", 1)
    first, hyphen, rest = name.partition("-")
    return [f"{first}{hyphen}", rest] if rest else [name]


def _shared(room_px: int, count: int, bounds_px: tuple[int, int]) -> tuple[int, int]:
    """Share room among columns or rows: return how large each is, and how many are seen.

    At least two are seen, so that one stands before the last.
    """
    least, most = bounds_px
    seen = min(count, max(room_px // least, 2))
    return min(max(room_px // max(seen, 1), 1), most), seen


def _seen(passed_by: int, seen: int, count: int) -> list[int]:
    """List which of a number are seen, the last always."""
    return [*range(passed_by, passed_by + seen - 1), count - 1][-seen:] if seen else []


def _bringing(place: int, first: int, shown: int) -> int:
    """Return which is to be the first of those shown, for a place to be among them."""
    return max(min(first, place), place - shown + 1)
