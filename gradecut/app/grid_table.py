"""The scheme as a grid: pictures of looks down, his men across, tier beneath tier."""

from __future__ import annotations

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

from gradecut.app.grid_cell import paint_cell, paint_frame, paint_head, set_lines, tip_of
from gradecut.app.grid_elsewhere import GridElsewhere
from gradecut.app.grid_lines import (
    BARE_PX,
    BESIDE_PX,
    GAP_PX,
    LEFT_PX,
    PAD_PX,
    ROW_PX,
    TIER_PX,
    overriding,
)
from gradecut.app.grid_pictures import PICTURE_EDGE_PX, PICTURE_PX, GridPictures
from gradecut.app.grid_places import GridPlaces
from gradecut.app.theme import Dress, as_qcolor
from gradecut.app.touch_area import set_words, words_width
from gradecut.desk.scheme_desk import SchemeDesk
from gradecut.desk.scheme_grid import ShownRow
from gradecut.desk.scheme_men import side_words

__all__ = ["GridTable"]

_UNDER_HEAD_PX = 6
"""A row of which no more is left under the heads ends without a hairline: theirs is there."""
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
        self._places = GridPlaces()
        self._elsewhere = GridElsewhere(self._hand, self)
        self._elsewhere.found.connect(self._update)
        self.choosing = False
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
        return self._places.cell(line, self._hand.men.index(place.man))

    def rows_seen(self) -> int:
        """Return how many rows a page down goes over."""
        port = self.viewport()
        return max(self._places.whole_rows(port.height() if port is not None else 0), 1)

    # ------------------------------------------------------------------ Qt

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Share the width out among the men; the line on top stays there, whole."""
        super().resizeEvent(event)
        first, scrolled = self._places.first_seen(), self._places.scrolled[1]
        self._lay()
        down = self.verticalScrollBar()
        if scrolled and down is not None:
            down.setValue(self._places.top_of(first))

    def scrollContentsBy(self, dx: int, dy: int) -> None:
        """Move the lines and the men under looks and heads."""
        self._places.scrolled = self._scrolled()
        super().scrollContentsBy(dx, dy)

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
        if tier := self._places.add_at(event.position()):
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
            there = bool(self._places.add_at(event.position()))
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
        for at in range(self._places.first_seen(), len(self._places.lines)):
            if self._places.line_y(at) > port.height():
                break
            self._paint_line(painter, at, port.width())
        self._paint_head(painter, port.width())
        painter.end()

    # ------------------------------------------------------------------ painting

    def _paint_head(self, painter: QPainter, width: int) -> None:
        theme, places = self._dress.theme, self._places
        painter.fillRect(0, 0, width, places.head_px, as_qcolor(theme.ground))
        looks = QRectF(LEFT_PX, 14, places.looks_px, 20)
        set_words(painter, looks, "on looks", theme.quiet, size="small", weight=500)
        painter.setClipRect(places.looks_end, 0, width, places.head_px)
        for column, head in enumerate(places.heads):
            x = places.column_x(column) + PAD_PX
            rect = QRectF(x, 5, places.column_px - GAP_PX, 10_000)
            paint_head(painter, rect, head.name, head.side, theme, graded=head.graded)
        painter.setClipping(False)
        self._paint_hairline(painter, places.head_px - 1, width)

    def _paint_hairline(self, painter: QPainter, y: int, width: int) -> None:
        wide = self._places.end_x(width) - LEFT_PX
        painter.fillRect(LEFT_PX, y, wide, 1, as_qcolor(self._dress.theme.hairline))

    def _paint_line(self, painter: QPainter, at: int, width: int) -> None:
        line, top = self._places.lines[at], self._places.line_y(at)
        theme = self._dress.theme
        painter.setClipRect(0, self._places.head_px, width, 100_000)
        if line.heading:
            self._paint_tier(painter, at)
        elif line.row is None:
            rect = QRectF(LEFT_PX, top, width - LEFT_PX, BARE_PX - 6)
            set_words(painter, rect, "no row yet", theme.quiet, size="small")
        else:
            self._paint_row(painter, at, line.row, width)
        painter.setClipping(False)

    def _paint_tier(self, painter: QPainter, at: int) -> None:
        theme, tiers, places = self._dress.theme, self._hand.tiers, self._places
        tier = places.lines[at].tier
        rect = QRectF(LEFT_PX, places.line_y(at) + 10, places.looks_px - 66, 20)
        wide = set_words(painter, rect, f"tier {tier}", theme.ink, size="small", weight=600)
        below = overriding(tiers[: tiers.index(tier)])
        rest = rect.adjusted(wide + 8, 0, 0, 0)
        if words_width(painter, below, size="small") > rest.width():  # beside "+ row" there is room
            rest = QRectF(places.looks_end + PAD_PX, rect.y(), 10_000, rect.height())
        set_words(painter, rest, below, theme.quiet, size="small")
        add = places.add_rect(at)
        set_words(painter, add, _ADD, theme.accent, size="small", weight=600, anchor="right")

    def _paint_row(self, painter: QPainter, at: int, row: ShownRow, width: int) -> None:
        places, place = self._places, self._hand.place
        high, top = places.lines[at].high, places.line_y(at)
        painter.setClipRect(places.looks_end, places.head_px, width, 100_000)
        for column, man in enumerate(self._hand.men):
            rect = places.cell(at, column)
            if rect.left() > width or rect.right() < places.looks_end:
                continue
            here = place is not None and (place.row, place.man) == (row.key, man)
            self._paint_place(painter, row, man, QRectF(rect), here=here)
        painter.setClipRect(0, places.head_px, places.looks_end, 100_000)
        ours = place is not None and place.row == row.key
        self._paint_looks(painter, row, top, high, ours=ours)
        painter.setClipRect(0, places.head_px, width, 100_000)
        if top + high - places.head_px > _UNDER_HEAD_PX:
            self._paint_hairline(painter, top + high - 1, width)

    def _paint_looks(
        self, painter: QPainter, row: ShownRow, top: int, high: int, *, ours: bool
    ) -> None:
        picture = self._pictures.picture(self._hand.look(row), self.devicePixelRatioF())
        left = LEFT_PX - PICTURE_EDGE_PX
        painter.drawImage(QPointF(left, top + (ROW_PX - PICTURE_PX[1]) / 2), picture)
        rect = QRectF(
            LEFT_PX + PICTURE_PX[0] + 4, top + PAD_PX,
            self._places.looks_px - PICTURE_PX[0] - BESIDE_PX, high - PAD_PX - 1,
        )  # fmt: skip
        set_lines(painter, rect, row.words, self._dress.theme.ink, weight=500 if ours else 400)

    def _paint_place(
        self, painter: QPainter, row: ShownRow, man: str, rect: QRectF, *, here: bool
    ) -> None:
        theme, cell = self._dress.theme, row.cells.get(man)
        if here:
            paint_frame(
                painter, rect.adjusted(0, 2, -4, -3), theme, keys=self.hasFocus() or self.choosing
            )
        inside = rect.adjusted(PAD_PX, PAD_PX, -GAP_PX + PAD_PX - 4, -5)
        if cell is not None:
            found = self._hand.findings(row, man)
            paint_cell(painter, inside, cell, theme, findings=found,
                       clashing=self._clashes(row, man))  # fmt: skip
            return
        told = (self._elsewhere.words(row, man), "type a fit" if here else "")
        for words in filter(None, told):
            used = set_lines(painter, inside, words, theme.quiet, size="small")
            inside.setTop(inside.top() + used)

    # ------------------------------------------------------------------ places

    def _clashes(self, row: ShownRow, man: str) -> bool:
        scheme = self._desk.shown
        rules = {rule.id: rule for rule in scheme.rules} if scheme and row.clashing else {}
        return any(man in rules[one].men for one in row.clashing if one in rules)

    def _line_in_hand(self) -> int | None:
        row = self._hand.row()
        return next(
            (at for at, line in enumerate(self._places.lines) if line.row is row and row), None
        )

    def _man_at(self, x: float) -> str:
        column = self._places.column_at(x)
        return self._hand.men[column] if column is not None else ""

    def _row_at(self, y: float) -> ShownRow | None:
        line = self._places.line_at(y)
        return self._places.lines[line].row if line is not None else None

    def _take_at(self, at: QPointF) -> str:
        """Take what lies under a point in hand; "cell", "looks", or nothing."""
        row = self._row_at(at.y())
        if row is None:
            return ""
        man = self._man_at(at.x())
        if man:
            self._hand.take(row.key, man)
            return "cell"
        if at.x() < self._places.looks_end and self._hand.place is not None:
            self._hand.take(row.key, self._hand.place.man)
            return "looks"
        return ""

    def _tip_at(self, at: QPointF) -> str:
        row, man = self._row_at(at.y()), self._man_at(at.x())
        scheme = self._desk.shown
        if at.y() < self._places.head_px and man and scheme is not None:
            graded = "" if scheme.positions[man].graded else "; not graded"
            return f"{man}: {side_words(scheme.positions[man])}{graded}"
        if row is None:
            return ""
        if not man:
            return row.words if at.x() < self._places.looks_end else ""
        cell = row.cells.get(man)
        if cell is None:
            return self._hand.elsewhere(row, man)
        return tip_of(cell, self._hand.findings(row, man))

    def _scrolled(self) -> tuple[int, int]:
        across, down = self.horizontalScrollBar(), self.verticalScrollBar()
        return (across.value() if across else 0, down.value() if down else 0)

    def _lay(self) -> None:
        port = self.viewport()
        self._places.lay(self._desk.shown, self._hand, port.width() if port else 0)
        self._set_ranges()
        self._places.scrolled = self._scrolled()

    def _set_ranges(self) -> None:
        port, across, down = self.viewport(), self.horizontalScrollBar(), self.verticalScrollBar()
        if port is None or across is None or down is None:
            return
        places = self._places
        room = port.width() - places.looks_end
        across.setRange(0, max(places.wide_px - room, 0))
        across.setPageStep(max(room, 1))
        across.setSingleStep(places.column_px // 4)
        down.setRange(0, max(places.high_px + 12 - port.height(), 0))
        down.setPageStep(max(port.height() - places.head_px, 1))
        down.setSingleStep(ROW_PX // 2)

    def _bring_into_view(self) -> None:
        area = self.rect_in_hand()
        port, across, down = self.viewport(), self.horizontalScrollBar(), self.verticalScrollBar()
        if area.isEmpty() or port is None or across is None or down is None:
            return
        places, left = self._places, self._places.looks_end
        if area.left() < left:
            across.setValue(across.value() + area.left() - left)
        elif area.right() >= port.width():
            across.setValue(across.value() + area.right() + 1 - port.width())
        line = self._line_in_hand() or 0
        head = TIER_PX if line and places.lines[line - 1].heading else 0
        above = area.top() - head - places.head_px
        if above < 0:
            down.setValue(down.value() + above)
        elif area.bottom() >= port.height():
            below = area.bottom() + 1 - port.height()
            down.setValue(places.to_whole_line(down.value() + min(below, above)))

    def _update(self) -> None:
        port = self.viewport()
        if port is not None:
            port.update()
