"""The one question that number keys answer now, its answers under their keys."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QPainter, QPaintEvent, QPen
from PyQt6.QtWidgets import QSizePolicy

from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.app.touch_area import Spot, TouchArea, key_cap, set_whole, set_words, words_width
from gradecut.desk.asking import Ask, Shown
from gradecut.desk.film_desk import FilmDesk

__all__ = ["AskStrip"]

_PAD, _ROW, _GAP = 12.0, 25.0, 14.0
_LINES, _FEWER = 3, 2
"""Lines of answers it always has room for, so that nothing below it jumps; in a low window
the picture of the look needs the third."""
_TOP = 30.0
_MANY = 5
"""So many answers stand in columns."""
_LEAST_GAP, _COLUMN_GAP = 8.0, 24.0
"""Between columns: at least, and at the most."""


class AskStrip(TouchArea):
    """Shows the question; it grows only where a list is longer than three lines."""

    def __init__(self, desk: FilmDesk, dress: Dress) -> None:
        super().__init__(dress)
        self._desk = desk
        self._ask: Ask | None = None
        self._least = _LINES
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("The question that number keys answer")
        desk.marks.changed.connect(self._show_another)

    def keep_low(self, low: bool) -> None:
        """Keep room for fewer lines in a low window."""
        self._least = _FEWER if low else _LINES
        self.updateGeometry()

    def show_ask(self) -> None:
        """Take over the question there is now."""
        self._ask = self._desk.hand.ask
        told = [f"{one.key}: {one.answer.words}" for one in self._entries()]
        told += [f"0: {words}"] if (words := self._page_words()) else []
        title = self._ask.title if self._ask else "Nothing to ask."
        self.setAccessibleDescription(f"{title} {'; '.join(told)}")
        self.updateGeometry()
        self.update()

    def _show_another(self) -> None:
        """Show what Enter does once a tool is taken in hand, and once it is put away."""
        if self._ask is not self._desk.hand.ask:
            self.show_ask()

    def sizeHint(self) -> QSize:
        """Keep room for three lines of answers; more only where they are needed."""
        lines = self._lines_of(self._entries()) if self.width() > 50 else 1
        lines = max(lines + bool(self._ask and self._ask.also), self._least)
        return QSize(300, round(_TOP + lines * _ROW + 6))

    def _entries(self) -> Sequence[Shown]:
        if self._ask is None or self._ask.kind == "men":
            return ()
        return self._ask.shown()

    def _page_words(self) -> str:
        """Say that there are more answers, and which of them are shown; empty for all."""
        if self._ask is None or self._ask.kind == "men" or self._ask.pages == 1:
            return ""
        return f"more ({self._ask.page + 1} of {self._ask.pages})"

    def _width_of(self, shown: Shown) -> float:
        metrics = self.fontMetrics()
        answer = shown.answer
        hint = metrics.horizontalAdvance(f" {answer.hint}") + 3 if answer.hint else 0
        if answer.words == shown.key:
            return 18 + 7.0
        return 18 + 7 + metrics.horizontalAdvance(answer.words) + hint + 5.0

    def _places(self, entries: Sequence[Shown]) -> list[tuple[int, float, float]]:
        """Return line, left and width of each answer: in columns where there are many.

        Many answers are found by place, so they stand below each other in as many columns as
        there is room for; a few simply follow each other.
        """
        self.setFont(font("body", 500))
        room = self.width() - 2 * _PAD
        wide = [min(self._width_of(shown), room) for shown in entries]
        for columns in (4, 3, 2) if len(entries) >= _MANY else ():
            widest = [max(wide[first::columns], default=0.0) for first in range(columns)]
            apart = (room - sum(widest)) / (columns - 1)
            if apart >= _LEAST_GAP:
                lefts = [
                    _PAD + sum(widest[:at]) + at * min(apart, _COLUMN_GAP) for at in range(columns)
                ]
                return [
                    (number // columns, lefts[number % columns], one)
                    for number, one in enumerate(wide)
                ]
        x, line, found = _PAD, 0, []
        for one in wide:
            if x > _PAD and x + one > self.width() - _PAD:
                x, line = _PAD, line + 1
            found.append((line, x, one))
            x += one + _GAP
        return found

    def _lines_of(self, entries: Sequence[Shown]) -> int:
        return max((line for line, _, _ in self._places(entries)), default=0) + 1

    def _ground_px(self) -> float:
        """Return how far down its ground reaches: as far as there is something on it."""
        ask = self._ask
        lines = self._lines_of(self._entries()) + bool(ask and ask.also)
        if ask is not None and ask.kind == "men":
            lines = bool(ask.answers and ask.then) + bool(ask.also)
        return min(_TOP + max(lines, 1) * _ROW + 6, float(self.height()))

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint question and answers, and note where each takes a touch."""
        self.spots = []
        painter = self.painter()
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(as_qcolor(self.theme.raised))
        painter.drawRoundedRect(QRectF(0, 0, self.width(), self._ground_px()), 7, 7)
        if self._ask is not None:
            title = QRectF(_PAD, 5, self._paint_page(painter) - 2 * _PAD, 24)
            set_whole(painter, title, self._ask.title, self.theme.ink, weight=600)
            if self._ask.kind == "men":
                self._paint_idle(painter)
            else:
                self._paint_answers(painter)
                self._paint_also(painter)
        painter.end()

    def _paint_page(self, painter: QPainter) -> float:
        """Set at the right of the question which key shows more answers; return where it begins."""
        words = self._page_words()
        if not words:
            return float(self.width())
        y, wide = 17.0, words_width(painter, words)
        left = self.width() - _PAD - wide - 25
        cap = key_cap(painter, QPointF(left, y), "0", self.theme)
        set_words(painter, QRectF(left + cap + 7, y - 11, wide + 2, 22), words, self.theme.quiet)
        spot = QRectF(left - 4, y - 12, self.width() - _PAD - left + 8, 24)
        self.spots.append(Spot(spot, partial(self._desk.hand.answer, "0"), words))
        return left + _PAD

    def _paint_answers(self, painter: QPainter) -> None:
        entries = self._entries()
        for shown, (line, x, wide) in zip(entries, self._places(entries), strict=True):
            self._paint_answer(painter, shown, QPointF(x, _TOP + (line + 0.5) * _ROW), wide)

    def _paint_answer(self, painter: QPainter, shown: Shown, at: QPointF, wide: float) -> None:
        theme, answer = self.theme, shown.answer
        rect = QRectF(at.x() - 4, at.y() - 12, wide + 8, 24)
        if answer.chosen:
            painter.setPen(QPen(as_qcolor(theme.drawn.accent), 1.4))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(rect, 6, 6)
        cap = key_cap(painter, at, shown.key, theme)
        said = f"{answer.words}: {answer.tip}" if answer.tip else f"{answer.words} {answer.hint}"
        self.spots.append(Spot(rect, partial(self._desk.hand.answer, shown.key), said.strip()))
        if answer.words == shown.key:
            return
        left = at.x() + cap + 7
        beside = words_width(painter, answer.hint) + 5 if answer.hint else 0.0
        room = QRectF(left, at.y() - 11, at.x() + wide - left - beside + 4, 22)
        used = set_whole(painter, room, answer.words, theme.ink, weight=500)
        if answer.hint:
            room = QRectF(left + used + 5, at.y() - 11, beside, 22)
            set_words(painter, room, answer.hint, theme.quiet)

    def _paint_also(self, painter: QPainter) -> None:
        """Set what else can be done right below the answers."""
        also = self._ask.also if self._ask else ()
        y = self._ground_px() - _ROW / 2 - 5
        x = _PAD
        for shown in also:
            start = x
            x += key_cap(painter, QPointF(x, y), shown.key, self.theme) + 7
            room = QRectF(x, y - 11, self.width() - _PAD - x, 22)
            x += set_words(painter, room, shown.answer.words, self.theme.quiet)
            self.spots.append(Spot(QRectF(start, y - 12, x - start, 24), shown.answer.do))
            x += _GAP

    def _paint_idle(self, painter: QPainter) -> None:
        """Say what Enter does and that a man's number takes him in hand."""
        theme, ask = self.theme, self._ask
        if ask is None:
            return
        count = len(ask.answers)
        x, y = _PAD, _TOP + _ROW / 2
        if count and ask.then:
            key = "1" if count == 1 else f"1 – {min(count, 9)}"
            x += key_cap(painter, QPointF(x, y), key, theme) + 7
            room = QRectF(x, y - 11, self.width() - _PAD - x, 22)
            set_words(painter, room, ask.then, theme.quiet)
            x, y = _PAD, y + _ROW
        for shown in ask.also:
            start = x
            x += key_cap(painter, QPointF(x, y), shown.key, theme) + 7
            room = QRectF(x, y - 11, self.width() - _PAD - x, 22)
            x += set_words(painter, room, shown.answer.words, theme.quiet) + _GAP
            self.spots.append(Spot(QRectF(start, y - 12, x - start, 24), shown.answer.do))
