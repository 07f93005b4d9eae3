"""The reps of a round in one line at the bottom, in the place of the session's plays."""

from __future__ import annotations

from functools import partial
from itertools import groupby

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QFontMetricsF, QPainter, QPaintEvent, QPen, QResizeEvent, QWheelEvent
from PyQt6.QtWidgets import QSizePolicy

from gradecut.app.plays_strip import STRIP_PX, tint
from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.app.touch_area import Spot, TouchArea, key_cap, set_words
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.round_boxes import RoundBox
from gradecut.drawing import Colour

__all__ = ["RoundStrip"]

_SIDE, _GAP, _GROUP_GAP = 15.0, 6.0, 20.0
_TOP, _BOX = 32.0, 21.0
_TOLD_PX, _KEYS_PX = 176.0, 262.0
_PAD = 9.0


class RoundStrip(TouchArea):
    """How far the round is, a box for each rep, and the keys that carry it on."""

    def __init__(self, desk: FilmDesk, dress: Dress) -> None:
        super().__init__(dress)
        self._desk = desk
        self._boxes: tuple[RoundBox, ...] = ()
        self._places: list[tuple[float, float]] = []
        self._headings: list[tuple[str, float, float]] = []
        self._from = 0.0
        self.setFixedHeight(STRIP_PX)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Reps of this round")

    def sizeHint(self) -> QSize:
        """Ask for one strip."""
        return QSize(900, STRIP_PX)

    def show_round(self) -> None:
        """Take over how the round stands."""
        rounds = self._desk.rounds
        self._boxes = rounds.boxes
        self._lay_out()
        here = self._boxes[rounds.place].words if rounds.on else ""
        self.setAccessibleDescription(f"{rounds.words} {here}.".strip(" ."))
        self._bring_in_sight()
        self.update()

    def _lay_out(self) -> None:
        """Give each box its left and width, and each heading its stretch."""
        metrics, small = QFontMetricsF(font("small", 600)), QFontMetricsF(font("small"))
        self._places, self._headings = [], []
        x = 0.0
        for heading, some in groupby(self._boxes, key=lambda box: box.heading):
            if self._places:
                x += _GROUP_GAP - _GAP
            begin = x
            for box in some:
                wide = max(metrics.horizontalAdvance(box.label) + 2 * _PAD, _BOX)
                wide += _PAD + 3 if box.status == "looked at" else 0
                self._places.append((x, wide))
                x += wide + _GAP
            x = max(x, begin + small.horizontalAdvance(heading) + _GAP)
            self._headings.append((heading, begin, x - _GAP))

    # ------------------------------------------------------------------ what is in sight

    def _room(self) -> float:
        return max(self.width() - 2 * _SIDE - _TOLD_PX - _KEYS_PX, 60.0)

    def _scroll_to(self, x: float) -> None:
        whole = sum(self._places[-1]) if self._places else 0.0
        self._from = min(max(x, 0.0), max(whole - self._room(), 0.0))

    def _bring_in_sight(self) -> None:
        place = self._desk.rounds.place
        if place < len(self._places):
            left, wide = self._places[place]
            if left - self._from < 30 or left + wide - self._from > self._room() - 30:
                self._scroll_to(left - self._room() / 2)
        self._scroll_to(self._from)

    def wheelEvent(self, event: QWheelEvent | None) -> None:
        """Move along the reps."""
        if event is not None:
            delta = event.angleDelta()
            self._scroll_to(self._from - (delta.y() or delta.x()))
            self.update()

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Keep the rep whose turn it is in sight."""
        super().resizeEvent(event)
        self._bring_in_sight()

    # ------------------------------------------------------------------ painting

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint how far it is, the reps in sight, and the keys."""
        self.spots = []
        if not self._desk.rounds.on:
            return
        painter = self.painter()
        self._paint_told(painter)
        left, room = _SIDE + _TOLD_PX, self._room()
        painter.save()
        painter.setClipRect(QRectF(left - 4, 0, room + 8, STRIP_PX))
        for heading, begin, end in self._headings:
            rect = QRectF(left + begin - self._from, 10, end - begin, 16)
            set_words(painter, rect, heading, self.theme.quiet, size="small")
        for place, (box, (x, wide)) in enumerate(zip(self._boxes, self._places, strict=True)):
            rect = QRectF(left + x - self._from, _TOP, wide, _BOX)
            if rect.right() < left or rect.left() > left + room:
                continue
            self._paint_box(painter, rect, box, here=place == self._desk.rounds.place)
            self.spots.append(Spot(rect, partial(self._desk.rounds.show, box.rep_id), box.words))
        painter.restore()
        self._paint_keys(painter)
        painter.end()

    def _paint_told(self, painter: QPainter) -> None:
        rounds = self._desk.rounds
        at = QRectF(_SIDE, 8, _TOLD_PX - 14, 20)
        set_words(painter, at, rounds.progress, self.theme.drawn.accent_text, weight=600)
        below = QRectF(_SIDE, _TOP, _TOLD_PX - 14, _BOX)
        told = "another play is shown" if rounds.aside else rounds.told
        set_words(painter, below, told, self.theme.quiet, size="small")

    def _paint_box(self, painter: QPainter, rect: QRectF, box: RoundBox, *, here: bool) -> None:
        """Paint one rep: full and ticked once it was looked at, hollow before."""
        theme = self.theme
        ground, ink = self._hues(box)
        if box.status == "looked at":
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(ground))
            painter.drawRoundedRect(rect, 4, 4)
        else:
            off = box.status == "flag off"
            style = Qt.PenStyle.DotLine if off else Qt.PenStyle.SolidLine
            painter.setPen(QPen(as_qcolor(theme.drawn.faint), 1, style))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(rect.adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)
        up = 1 if box.wrong else 0
        words = rect.adjusted(_PAD, -up, -2, -up)
        used = set_words(painter, words, box.label, ink, size="small", weight=600 if here else 500)
        if box.status == "looked at":
            set_words(painter, words.adjusted(used + 4, 0, 0, 0), "✓", ink, size="small")
        if box.wrong:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(theme.drawn.did))
            bar = QRectF(rect.left() + 4, rect.bottom() - 4, rect.width() - 8, 2)
            painter.drawRoundedRect(bar, 1, 1)
        if here:
            painter.setPen(QPen(as_qcolor(theme.drawn.accent), 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(rect.adjusted(-3, -3, 3, 3), 6, 6)

    def _hues(self, box: RoundBox) -> tuple[Colour, Colour]:
        """Return the ground and the ink of a rep."""
        theme, drawn = self.theme, self.theme.drawn
        if box.status == "flag off":
            return theme.ground, theme.quiet
        if box.wrong:
            return tint(drawn.did, theme.ground), drawn.did_text
        if box.status == "looked at":
            return tint(drawn.right, theme.ground), drawn.right_text
        return theme.ground, theme.ink

    def _paint_keys(self, painter: QPainter) -> None:
        """Set the keys of the round at the right."""
        rounds = self._desk.rounds
        enter = "back to him" if rounds.aside else "looked at, next"
        metrics = QFontMetricsF(font("body"))
        x = self.width() - _SIDE
        y = _TOP + _BOX / 2
        for key, does, do in (("Esc", "leave", rounds.leave), ("Enter", enter, rounds.look_at)):
            cap = max(QFontMetricsF(font("small", 600)).horizontalAdvance(key) + 10.0, 18.0)
            wide = metrics.horizontalAdvance(does)
            x -= cap + 7 + wide
            key_cap(painter, QPointF(x, y), key, self.theme)
            room = QRectF(x + cap + 7, _TOP, wide + 2, _BOX)
            set_words(painter, room, does, self.theme.quiet)
            self.spots.append(Spot(QRectF(x, _TOP - 2, cap + 7 + wide, _BOX + 4), do, does))
            x -= 16
