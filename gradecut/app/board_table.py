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

NAME_PX, ROW_PX, HEAD_PX = 150, 57, 46
_NARROW_PX, _WIDE_PX = 118, 150
_GAP_PX = 20
_LEFT_PX = 24


class BoardTable(QAbstractScrollArea):
    """Paints only the rows and columns that are seen; names and situations stay in place.

    The last row and column, the group and all runs, are always seen: where the rest is
    longer than its room, they stand over it at the edge.

    Signals
    -------
    cell_opened : object
        A cell was touched: (player id or None, situation).
    cell_told : object
        The cell under the pointer or the keys; None when there is none.
    """

    cell_opened = pyqtSignal(object)
    cell_told = pyqtSignal(object)

    def __init__(self, desk: BoardDesk, dress: Dress) -> None:
        super().__init__()
        self._desk = desk
        self._dress = dress
        self.at: tuple[int, int] | None = None
        self.column_px = _NARROW_PX
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
        x = NAME_PX + _LEFT_PX + place[1] * self.column_px - self._scrolled()[0]
        y = HEAD_PX + place[0] * ROW_PX - self._scrolled()[1]
        edge_x, edge_y = self._edges()
        if place[1] == len(self.columns) - 1:
            x = min(x, edge_x)
        if place[0] == len(self.row_ids) - 1:
            y = min(y, edge_y)
        return QRect(x, y, self.column_px, ROW_PX)

    def renew(self) -> None:
        """Show another board."""
        rows, columns = len(self.row_ids), len(self.columns)
        if self.at is not None and (self.at[0] >= rows or self.at[1] >= columns):
            self.at = None
        self._set_ranges()
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
        """Keep the scroll bars right."""
        super().resizeEvent(event)
        self._set_ranges()

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
        left = NAME_PX + _LEFT_PX
        across, down = self._scrolled()
        first = max(across // self.column_px, 0)
        last = min((across + port.width() - left) // self.column_px + 1, len(self.columns))
        rows = range(
            max(down // ROW_PX, 0),
            min((down + port.height() - HEAD_PX) // ROW_PX + 1, len(self.row_ids)),
        )
        whole, group = len(self.columns) - 1, len(self.row_ids) - 1
        columns = [*(column for column in range(first, last) if column != whole), whole]
        for row in (*(row for row in rows if row != group), group):
            self._paint_row(painter, row, columns, port.width())
        self._paint_head(painter, columns, port.width())
        painter.end()

    # ------------------------------------------------------------------ painting

    def _paint_head(self, painter: QPainter, columns: Sequence[int], width: int) -> None:
        theme = self._dress.theme
        painter.fillRect(0, 0, width, HEAD_PX, as_qcolor(theme.ground))
        painter.setPen(as_qcolor(theme.quiet))
        painter.setFont(font("small", 500))
        painter.setClipRect(NAME_PX + _LEFT_PX, 0, width, HEAD_PX)
        metrics = painter.fontMetrics()
        room = self.column_px - 12
        for column in columns:
            x = self.rect_of((0, column)).x()
            if column == len(self.columns) - 1:
                painter.fillRect(x - 8, 0, width, HEAD_PX, as_qcolor(theme.ground))
            name = self.columns[column]
            lines = [name] if metrics.horizontalAdvance(name) <= room else in_two_lines(name)
            for line, y in zip(lines, (26.5,) if len(lines) == 1 else (19.5, 34.5), strict=True):
                shown = metrics.elidedText(line, Qt.TextElideMode.ElideRight, room)
                painter.drawText(QPointF(x, y), shown)
        painter.setClipping(False)
        painter.fillRect(_LEFT_PX, HEAD_PX - 1, width, 1, as_qcolor(theme.hairline))

    def _paint_row(self, painter: QPainter, row: int, columns: Sequence[int], width: int) -> None:
        theme = self._dress.theme
        top = self.rect_of((row, 0)).y()
        if row == len(self.row_ids) - 1:
            painter.fillRect(0, top - 1, width, ROW_PX + 1, as_qcolor(theme.ground))
            painter.fillRect(_LEFT_PX, top - 1, width, 1, as_qcolor(theme.hairline))
        painter.setClipRect(NAME_PX + _LEFT_PX - 8, HEAD_PX, width, 10_000)
        for column in columns:
            if column == len(self.columns) - 1:
                x = self.rect_of((row, column)).x() - 8
                painter.fillRect(x, top, width, ROW_PX, as_qcolor(theme.ground))
                if self._scrolls_across():
                    painter.fillRect(x, top, 1, ROW_PX, as_qcolor(theme.hairline))
            self._paint_cell(painter, (row, column))
        painter.setClipRect(0, HEAD_PX, width, 10_000)
        painter.fillRect(_LEFT_PX, top + ROW_PX - 1, width, 1, as_qcolor(theme.hairline))
        self._paint_name(painter, *self._name_of(row), top)
        painter.setClipping(False)

    def _paint_name(self, painter: QPainter, name: str, worn: str, top: int) -> None:
        """Set a name, on two lines where it is long, and below it what he wears."""
        theme, room = self._dress.theme, NAME_PX - 12
        painter.setPen(as_qcolor(theme.ink))
        painter.setFont(font("body", 600))
        metrics = painter.fontMetrics()
        lines = [name] if metrics.horizontalAdvance(name) <= room else _broken_name(name)
        first = 33 - 8 * bool(worn) - 8 * (len(lines) - 1)
        for place, line in enumerate(lines):
            shown = metrics.elidedText(line, Qt.TextElideMode.ElideRight, room)
            painter.drawText(QPointF(_LEFT_PX, top + first + 16 * place), shown)
        if worn:
            painter.setPen(as_qcolor(theme.quiet))
            painter.setFont(font("small"))
            painter.drawText(QPointF(_LEFT_PX, top + first + 1 + 16 * len(lines)), worn)

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
                QRectF(area.x() - 8, area.y() + 3, self.column_px - 6, ROW_PX - 7), 6, 6
            )
        if cell is not None and self._desk.view is not None:
            good = self._desk.view.board.good
            at = QPointF(area.x(), area.y())
            paint_cell(painter, cell, at, theme, good=good, bar_px=self.column_px - _GAP_PX)

    def _is_lit(self, place: tuple[int, int]) -> bool:
        keys_here = self.hasFocus() and place == self.at
        return keys_here or place == self._hovered or self.cell_at(place) == self._desk.chosen

    # ------------------------------------------------------------------ places

    def _edges(self) -> tuple[int, int]:
        """Return where the last column and row begin at the latest."""
        port = self.viewport()
        if port is None:
            return (0, 0)
        return (port.width() - self.column_px, max(port.height() - ROW_PX, HEAD_PX))

    def _scrolls_across(self) -> bool:
        across = self.horizontalScrollBar()
        return across is not None and across.maximum() > 0

    def _scrolled(self) -> tuple[int, int]:
        across, down = self.horizontalScrollBar(), self.verticalScrollBar()
        return (across.value() if across else 0, down.value() if down else 0)

    def _set_ranges(self) -> None:
        port, across, down = self.viewport(), self.horizontalScrollBar(), self.verticalScrollBar()
        if port is None or across is None or down is None:
            return
        room = port.width() - NAME_PX - _LEFT_PX - 4
        self.column_px = min(max(room // max(len(self.columns), 1), _NARROW_PX), _WIDE_PX)
        wide = NAME_PX + _LEFT_PX + len(self.columns) * self.column_px
        high = HEAD_PX + len(self.row_ids) * ROW_PX
        across.setRange(0, max(wide - port.width(), 0))
        across.setPageStep(port.width())
        across.setSingleStep(self.column_px // 4)
        down.setRange(0, max(high - port.height(), 0))
        down.setPageStep(port.height())
        down.setSingleStep(ROW_PX // 2)

    def _place_under(self, at: QPointF) -> tuple[int, int] | None:
        across, down = self._scrolled()
        x, y = at.x() - NAME_PX - _LEFT_PX, at.y() - HEAD_PX
        if x < -8 or y < 0:
            return None
        row, column = int((y + down) // ROW_PX), int((x + 8 + across) // self.column_px)
        whole, group = len(self.columns) - 1, len(self.row_ids) - 1
        if self.row_ids and self.columns:
            last = self.rect_of((group, whole))
            column = whole if last.x() - 8 <= at.x() <= last.right() - 8 else column
            row = group if last.y() <= at.y() <= last.bottom() else row
        if row >= len(self.row_ids) or column >= len(self.columns):
            return None
        return row, column

    def _hover(self, place: tuple[int, int] | None) -> None:
        if place != self._hovered:
            self._hovered = place
            self.cell_told.emit(self.cell_at(place) if place else None)
            self._update()

    def _bring_into_view(self, place: tuple[int, int]) -> None:
        area = self.rect_of(place)
        port, across, down = self.viewport(), self.horizontalScrollBar(), self.verticalScrollBar()
        if port is None or across is None or down is None:
            return
        left, (edge_x, edge_y) = NAME_PX + _LEFT_PX, self._edges()
        if place[1] < len(self.columns) - 1:
            across.setValue(across.value() + _beyond(area.left(), area.right() + 1, left, edge_x))
        if place[0] < len(self.row_ids) - 1:
            down.setValue(down.value() + _beyond(area.top(), area.bottom() + 1, HEAD_PX, edge_y))

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


def _beyond(start: int, end: int, least: int, most: int) -> int:
    """Return how far a stretch reaches beyond an opening, with its sign."""
    if start < least:
        return start - least
    return max(end - most, 0)
