"""The scheme as a grid: pictures of looks down, his men across, tier beneath tier."""

from __future__ import annotations

from bisect import bisect_right

from PyQt6.QtCore import QEvent, QPointF, QRect, QRectF, Qt, pyqtSignal
from PyQt6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QHelpEvent,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QResizeEvent,
)
from PyQt6.QtWidgets import QAbstractScrollArea, QSizePolicy, QToolTip, QWidget

from gradecut.app.grid_cell import paint_cell, paint_frame, paint_head, set_lines, sign_of
from gradecut.app.grid_lines import (
    BARE_PX,
    BESIDE_PX,
    GAP_PX,
    HEAD_PX,
    LEFT_PX,
    LOOKS_PX,
    NARROW_PX,
    ROW_PX,
    TIER_PX,
    Head,
    Line,
    heads_of,
    heads_px,
    lines_of,
    overriding,
    widths,
)  # fmt: skip
from gradecut.app.grid_pictures import PICTURE_PX, GridPictures
from gradecut.app.theme import Dress, as_qcolor
from gradecut.app.touch_area import set_words, words_width
from gradecut.desk.scheme_desk import SchemeDesk
from gradecut.desk.scheme_grid import ShownRow
from gradecut.desk.scheme_men import side_words

__all__ = ["GridTable"]

_PAD_PX = 8
_ADD = "+ row"


class GridTable(QAbstractScrollArea):
    """Paints only the rows and men that are seen; looks and names stay in place.

    Attributes
    ----------
    choosing : bool
        A list stands open for the cell in hand.

    Signals
    -------
    typed : str
        A letter was typed on the cell in hand.
    opened
        The cell in hand was asked for its list of fits.
    row_opened
        The row in hand was asked for its looks.
    row_asked : str
        A row is to be added to this tier.
    menu_asked : QPoint
        The menu of the cell in hand, at a place on the screen.
    """

    typed = pyqtSignal(str)
    opened = pyqtSignal()
    row_opened = pyqtSignal()
    row_asked = pyqtSignal(str)
    menu_asked = pyqtSignal(object)

    def __init__(self, desk: SchemeDesk, dress: Dress) -> None:
        super().__init__()
        self._desk = desk
        self._hand = desk.hand
        self._dress = dress
        self._pictures = GridPictures(dress)
        self._lines: list[Line] = []
        self._heads: tuple[Head, ...] = ()
        self._tops: list[int] = [0]
        self.choosing = False
        self.column_px = NARROW_PX
        self.looks_px = LOOKS_PX
        self.head_px = HEAD_PX
        self.setCornerWidget(QWidget())
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Grid of the scheme")
        port = self.viewport()
        if port is not None:
            port.setMouseTracking(True)
        self._hand.rows_changed.connect(self.renew)
        self._hand.place_changed.connect(self.show_place)
        dress.changed.connect(self._update)
        self.renew()

    # ------------------------------------------------------------------ what is where

    def renew(self) -> None:
        """Show other rows or men."""
        self._lay()
        self.show_place()

    def show_place(self) -> None:
        """Bring the cell in hand into view, and tell it in words."""
        self.setAccessibleDescription(self._hand.cell_words())
        self._bring_into_view()
        self._update()

    def rect_in_hand(self) -> QRect:
        """Return where the cell in hand is on the viewport; empty where there is none."""
        place = self._hand.place
        line = self._line_in_hand()
        if place is None or line is None or place.man not in self._hand.men:
            return QRect()
        return QRect(
            self._column_x(self._hand.men.index(place.man)), self._line_y(line),
            self.column_px, self._lines[line].high,
        )  # fmt: skip

    def rows_seen(self) -> int:
        """Return how many rows a page down goes over."""
        port = self.viewport()
        seen = range(self.head_px, port.height() + 1 if port is not None else self.head_px)
        whole = [line for at, line in enumerate(self._lines) if line.row is not None
                 and self._line_y(at) in seen and self._line_y(at) + line.high in seen]  # fmt: skip
        return max(len(whole), 1)

    # ------------------------------------------------------------------ Qt

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Share the width out among the men."""
        super().resizeEvent(event)
        self._lay()

    def focusInEvent(self, event: QFocusEvent | None) -> None:
        """Show that it has the keys."""
        super().focusInEvent(event)
        self._update()

    def focusOutEvent(self, event: QFocusEvent | None) -> None:
        """Show that the keys are elsewhere."""
        super().focusOutEvent(event)
        self._update()

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Take letters for the fits of the cell in hand; other keys are actions of the page."""
        if event is None:
            return
        plain = event.modifiers() in (
            Qt.KeyboardModifier.NoModifier,
            Qt.KeyboardModifier.ShiftModifier,
        )
        if plain and event.text().isalpha() and self._hand.place is not None:
            self.typed.emit(event.text())
        else:
            event.ignore()

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Take the cell that was touched in hand; touched once more, it opens."""
        if event is None or event.button() != Qt.MouseButton.LeftButton:
            return
        if tier := self._add_at(event.position()):
            self.row_asked.emit(tier)
            return
        before = self._hand.place
        found = self._take_at(event.position())
        if found == "cell" and before == self._hand.place:
            self.opened.emit()

    def mouseDoubleClickEvent(self, event: QMouseEvent | None) -> None:
        """Open a row's looks."""
        if event is not None and self._take_at(event.position()) == "looks":
            self.row_opened.emit()

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Show what can be touched."""
        if event is not None:
            there = bool(self._add_at(event.position()))
            shape = Qt.CursorShape.PointingHandCursor if there else Qt.CursorShape.ArrowCursor
            self.setCursor(shape)

    def contextMenuEvent(self, event: QContextMenuEvent | None) -> None:
        """Open the menu of the cell under the pointer."""
        if event is not None and self._take_at(QPointF(event.pos())):
            self.menu_asked.emit(event.globalPos())

    def viewportEvent(self, event: QEvent | None) -> bool:
        """Tell a cell in full on hover."""
        if isinstance(event, QHelpEvent):
            QToolTip.showText(event.globalPos(), self._tip_at(QPointF(event.pos())), self)
            return True
        return super().viewportEvent(event)

    def paintEvent(self, event: QPaintEvent | None) -> None:
        """Paint what is seen."""
        port = self.viewport()
        if port is None or event is None:
            return
        painter = QPainter(port)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        first = max(bisect_right(self._tops, self._scrolled()[1]) - 1, 0)
        for at in range(first, len(self._lines)):
            if self._line_y(at) > port.height():
                break
            self._paint_line(painter, at, port.width())
        self._paint_head(painter, port.width())
        painter.end()

    # ------------------------------------------------------------------ painting

    def _paint_head(self, painter: QPainter, width: int) -> None:
        theme = self._dress.theme
        painter.fillRect(0, 0, width, self.head_px, as_qcolor(theme.ground))
        looks = QRectF(LEFT_PX, 14, self.looks_px, 20)
        set_words(painter, looks, "on looks", theme.quiet, size="small", weight=500)
        painter.setClipRect(LEFT_PX + self.looks_px, 0, width, self.head_px)
        for column, head in enumerate(self._heads):
            rect = QRectF(self._column_x(column) + _PAD_PX, 5, self.column_px - GAP_PX, 10_000)
            paint_head(painter, rect, head.name, head.side, theme, graded=head.graded)
        painter.setClipping(False)
        painter.fillRect(LEFT_PX, self.head_px - 1, width, 1, as_qcolor(theme.hairline))

    def _paint_line(self, painter: QPainter, at: int, width: int) -> None:
        line, top = self._lines[at], self._line_y(at)
        theme = self._dress.theme
        painter.setClipRect(0, self.head_px, width, 100_000)
        if line.heading:
            self._paint_tier(painter, line.tier, top)
        elif line.row is None:
            rect = QRectF(LEFT_PX, top, width - LEFT_PX, BARE_PX - 6)
            set_words(painter, rect, "no row yet", theme.quiet, size="small")
        else:
            self._paint_row(painter, at, line.row, width)
        painter.setClipping(False)

    def _paint_tier(self, painter: QPainter, tier: str, top: int) -> None:
        theme, tiers = self._dress.theme, self._hand.tiers
        rect = QRectF(LEFT_PX, top + 10, self.looks_px - 66, 20)
        wide = set_words(painter, rect, f"tier {tier}", theme.ink, size="small", weight=600)
        below = overriding(tiers[: tiers.index(tier)])
        rest = rect.adjusted(wide + 8, 0, 0, 0)
        if words_width(painter, below, size="small") > rest.width():  # beside "+ row" there is room
            rest = QRectF(LEFT_PX + self.looks_px + _PAD_PX, rect.y(), 10_000, rect.height())
        set_words(painter, rest, below, theme.quiet, size="small")
        add = self._add_rect(top)
        set_words(painter, add, _ADD, theme.accent, size="small", weight=600, anchor="right")

    def _paint_row(self, painter: QPainter, at: int, row: ShownRow, width: int) -> None:
        theme, place = self._dress.theme, self._hand.place
        high, top = self._lines[at].high, self._line_y(at)
        painter.setClipRect(LEFT_PX + self.looks_px, self.head_px, width, 100_000)
        for column, man in enumerate(self._hand.men):
            x = self._column_x(column)
            if x > width or x + self.column_px < LEFT_PX + self.looks_px:
                continue
            here = place is not None and (place.row, place.man) == (row.key, man)
            self._paint_place(painter, row, man, QRectF(x, top, self.column_px, high), here=here)
        painter.setClipRect(0, self.head_px, LEFT_PX + self.looks_px, 100_000)
        ratio = self.devicePixelRatioF()
        picture = self._pictures.picture(self._hand.look(row), ratio)
        painter.drawImage(QPointF(LEFT_PX - 6, top + (ROW_PX - PICTURE_PX[1]) / 2), picture)
        left, room = LEFT_PX + PICTURE_PX[0] + 4, self.looks_px - PICTURE_PX[0] - BESIDE_PX
        ours = place is not None and place.row == row.key
        set_lines(
            painter, QRectF(left, top + 4, room, high - 5), row.words, theme.ink,
            weight=500 if ours else 400,
        )  # fmt: skip
        painter.setClipRect(0, self.head_px, width, 100_000)
        painter.fillRect(LEFT_PX, top + high - 1, width, 1, as_qcolor(theme.hairline))

    def _paint_place(
        self, painter: QPainter, row: ShownRow, man: str, rect: QRectF, *, here: bool
    ) -> None:
        theme, cell = self._dress.theme, row.cells.get(man)
        if here:
            paint_frame(
                painter, rect.adjusted(0, 2, -4, -3), theme, keys=self.hasFocus() or self.choosing
            )
        inside = rect.adjusted(_PAD_PX, 6, -GAP_PX + _PAD_PX - 4, -5)
        if cell is not None:
            found = self._hand.findings(row, man)
            paint_cell(painter, inside, cell, theme, findings=found,
                       clashing=self._clashes(row, man))  # fmt: skip
        elif here:
            first = QRectF(inside.x(), inside.y(), inside.width(), 18)
            set_words(painter, first, "type a fit", theme.quiet, size="small")

    # ------------------------------------------------------------------ places

    def _clashes(self, row: ShownRow, man: str) -> bool:
        scheme = self._desk.shown
        rules = {rule.id: rule for rule in scheme.rules} if scheme and row.clashing else {}
        return any(man in rules[one].men for one in row.clashing if one in rules)

    def _column_x(self, column: int) -> int:
        return LEFT_PX + self.looks_px + column * self.column_px - self._scrolled()[0]

    def _line_y(self, at: int) -> int:
        return self.head_px + self._tops[at] - self._scrolled()[1]

    def _add_rect(self, top: int) -> QRectF:
        return QRectF(LEFT_PX + self.looks_px - 68, top + 10, 52, 20)

    def _line_in_hand(self) -> int | None:
        row = self._hand.row()
        return next((at for at, line in enumerate(self._lines) if line.row is row and row), None)

    def _line_at(self, y: float) -> int | None:
        if y < self.head_px:
            return None
        at = bisect_right(self._tops, int(y) - self.head_px + self._scrolled()[1]) - 1
        return at if 0 <= at < len(self._lines) else None

    def _man_at(self, x: float) -> str:
        if x < LEFT_PX + self.looks_px:
            return ""
        column = (int(x) - self._column_x(0)) // self.column_px
        return self._hand.men[column] if 0 <= column < len(self._hand.men) else ""

    def _add_at(self, at: QPointF) -> str:
        """Return the tier whose "+ row" lies under a point."""
        line = self._line_at(at.y())
        if line is None or not self._lines[line].heading:
            return ""
        inside = self._add_rect(self._line_y(line)).contains(at)
        return self._lines[line].tier if inside else ""

    def _take_at(self, at: QPointF) -> str:
        """Take what lies under a point in hand; "cell", "looks", or nothing."""
        line = self._line_at(at.y())
        row = self._lines[line].row if line is not None else None
        if row is None:
            return ""
        man = self._man_at(at.x())
        if man:
            self._hand.take(row.key, man)
            return "cell"
        if at.x() < LEFT_PX + self.looks_px and self._hand.place is not None:
            self._hand.take(row.key, self._hand.place.man)
            return "looks"
        return ""

    def _tip_at(self, at: QPointF) -> str:
        line, man = self._line_at(at.y()), self._man_at(at.x())
        scheme = self._desk.shown
        if at.y() < self.head_px and man and scheme is not None:
            graded = "" if scheme.positions[man].graded else "; not graded"
            return f"{man}: {side_words(scheme.positions[man])}{graded}"
        row = self._lines[line].row if line is not None else None
        if row is None:
            return ""
        cell = row.cells.get(man)
        if cell is None:
            return row.words if at.x() < LEFT_PX + self.looks_px else ""
        found = self._hand.findings(row, man)
        told = [f"{cell.fit} ({cell.rule})", *([f"or {', '.join(cell.also)}"] if cell.also else [])]
        if cell.cue:
            told.append(cell.cue)
        told += [f"{sign_of([one])} {one.words}" for one in found]
        return "\n".join(told)

    def _scrolled(self) -> tuple[int, int]:
        across, down = self.horizontalScrollBar(), self.verticalScrollBar()
        return (across.value() if across else 0, down.value() if down else 0)

    def _lay(self) -> None:
        """Share the width out, and give head and rows the height their words need."""
        port, hand = self.viewport(), self._hand
        self.looks_px, self.column_px = widths(port.width() if port else 0, len(hand.men))
        self._heads = heads_of(self._desk.shown, hand.men)
        self.head_px = heads_px(self._heads, self.column_px)
        self._lines = list(lines_of(hand, self.looks_px, self.column_px))
        self._tops = [0]
        for line in self._lines:
            self._tops.append(self._tops[-1] + line.high)
        self._set_ranges()

    def _set_ranges(self) -> None:
        port, across, down = self.viewport(), self.horizontalScrollBar(), self.verticalScrollBar()
        if port is None or across is None or down is None:
            return
        room = port.width() - LEFT_PX - self.looks_px
        count = max(len(self._hand.men), 1)
        across.setRange(0, max(count * self.column_px - room, 0))
        across.setPageStep(max(room, 1))
        across.setSingleStep(self.column_px // 4)
        down.setRange(0, max(self.head_px + self._tops[-1] + 12 - port.height(), 0))
        down.setPageStep(max(port.height() - self.head_px, 1))
        down.setSingleStep(ROW_PX // 2)

    def _bring_into_view(self) -> None:
        area = self.rect_in_hand()
        port, across, down = self.viewport(), self.horizontalScrollBar(), self.verticalScrollBar()
        if area.isEmpty() or port is None or across is None or down is None:
            return
        left = LEFT_PX + self.looks_px
        if area.left() < left:
            across.setValue(across.value() + area.left() - left)
        elif area.right() >= port.width():
            across.setValue(across.value() + area.right() + 1 - port.width())
        line = self._line_in_hand() or 0
        head = TIER_PX if line and self._lines[line - 1].heading else 0
        if area.top() - head < self.head_px:
            down.setValue(down.value() + area.top() - head - self.head_px)
        elif area.bottom() >= port.height():
            below = area.bottom() + 1 - port.height()
            down.setValue(down.value() + min(below, area.top() - head - self.head_px))

    def _update(self) -> None:
        port = self.viewport()
        if port is not None:
            port.update()
