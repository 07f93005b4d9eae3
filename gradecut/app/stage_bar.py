"""Below the film: where it stands, its speed, what draws on it, its angles."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QPainter, QPainterPath, QPaintEvent, QPen, QPolygonF
from PyQt6.QtWidgets import QSizePolicy

from gradecut.app.theme import Dress, Size, as_qcolor
from gradecut.app.touch_area import Spot, TouchArea, key_cap, set_words, words_width
from gradecut.counting_words import counted
from gradecut.desk.angle_words import view_words
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.film_marks import TOOLS
from gradecut.desk.playing import SPEED_WORDS, SPEEDS
from gradecut.drawing import MARK_COLOURS, Colour

__all__ = ["StageBar"]

_HIGH = 46
_UPPER_Y, _LOWER_Y = 16.0, 34.0
_LEFT_PX = 46.0
_READOUT_PX, _NARROW_READOUT_PX = 316.0, 250.0
"""Room that is kept for what is told at the left, so that no tool ever moves."""
_TOOL, _LEAST_TOOL, _CAP_PX = 28.0, 20.0, 28.0
_MEANING_WORDS = {"owed": "what he owed", "did": "what he did", "plain": "plain"}
_MEANING_PX, _SHORT_MEANING_PX = 152.0, 100.0
_SWATCH_PX = 24.0
_NARROW_PX, _TIGHT_PX = 960, 560
"""Below the first width views and meanings are named by one word, below the second the other
view by its key alone."""


class StageBar(TouchArea):
    """One line: readout at the left, tools in the middle, angles at the right."""

    def __init__(self, desk: FilmDesk, dress: Dress) -> None:
        super().__init__(dress)
        self._desk = desk
        self.setFixedHeight(_HIGH)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Where the film stands")
        for signal in (
            desk.playhead.moved, desk.playhead.pictured, desk.playhead.play_changed,
            desk.playhead.counted, desk.marks.changed, desk.second.changed, desk.hearing.changed,
            desk.told.changed,
        ):  # fmt: skip
            signal.connect(self.show_place)

    def sizeHint(self) -> QSize:
        """Ask for one line."""
        return QSize(700, _HIGH)

    def show_place(self) -> None:
        """Take over where the film stands now."""
        head = self._desk.playhead
        told = head.readout()
        if told is None:
            self.setAccessibleDescription("No film")
        else:
            loop = "over and over" if head.looping else ""
            sound = "sound on" if self._desk.hearing.on else ""
            both = "both angles are shown" if self._desk.second.on else ""
            parts = (told.words, self._angle_words(), SPEED_WORDS[head.speed], loop, sound, both)
            more = (self.state_words(), *self._desk.told.notes())
            self.setAccessibleDescription(". ".join(part for part in (*parts, *more) if part))
        self.update()

    def state_words(self) -> str:
        """Say what is not as it should be: a quick copy, or frames that were not shown."""
        head = self._desk.playhead
        if head.dropped:
            return f"{counted(head.dropped, 'frame')} dropped"
        return "rough" if head.rough else ""

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint the line."""
        self.spots = []
        painter = self.painter()
        painter.fillRect(self.rect(), as_qcolor(self.theme.sunk))
        if self._desk.playhead.film is not None:
            right = self._paint_angles(painter)
            left = self._paint_readout(painter, right)
            if not self._desk.playhead.fault:
                self._paint_tools(painter, left + 8, right - 14)
        painter.end()

    def _paint_readout(self, painter: QPainter, right: float) -> float:
        """Set frame, frames from the snap and seconds, how it plays below; return the end.

        The doubt goes below where there is no room for it before the angles at ``right``.
        """
        told = self._desk.playhead.readout()
        if told is None:
            return 0.0
        main, plus, doubt = told.words.partition(" ± ")
        self._paint_play(painter, QPointF(24, _HIGH / 2))
        room = max(right - _LEFT_PX - 10, 60.0)
        rect = QRectF(_LEFT_PX, 0, room, 2 * _UPPER_Y)
        whole = words_width(painter, main, size="lead", weight=500)
        size: Size = "lead" if whole <= room else "small"
        used = set_words(painter, rect, main, self.theme.ink, size=size, weight=500)
        told_doubt = f"± {doubt}" if plus else ""
        wide = words_width(painter, told_doubt, size="lead")
        above = used + 5 + wide <= room
        if told_doubt and above:
            rest = rect.adjusted(used + 5, 0, 0, 0)
            set_words(painter, rest, told_doubt, self.theme.quiet, size="lead")
        end = _LEFT_PX + (_NARROW_READOUT_PX if self._narrow else _READOUT_PX)
        x = self._paint_ways(painter, min(end, right - 10))
        if told_doubt and not above:
            rest = QRectF(x, _LOWER_Y - 10, right - 10 - x, 20)
            if words_width(painter, told_doubt, size="small") <= rest.width():
                set_words(painter, rest, told_doubt, self.theme.quiet, size="small")
        return end

    def _paint_ways(self, painter: QPainter, end: float) -> float:
        """Set how it plays, each word to be touched; what is not as it should be comes last.

        Returns where the next word may begin.
        """
        head, hearing = self._desk.playhead, self._desk.hearing
        again = "loop" if self._narrow else "over and over"
        once, silent = ("once", "silent") if self._tight else ("plays once", "no sound")
        ways = (
            (SPEED_WORDS[head.speed], head.speed != 1, self._turn_speed, "slower ,   faster ."),
            (again if head.looping else once, head.looping,
             self._desk.moving.turn_loop, "over and over, or once (Y)"),
            ("sound" if hearing.on else silent, hearing.on, hearing.turn, "sound (H)"),
        )  # fmt: skip
        x = _LEFT_PX
        for words, on, do, tip in ways:
            colour = self.theme.ink if on else self.theme.quiet
            rect = QRectF(x, _LOWER_Y - 10, 110, 20)
            used = set_words(painter, rect, words, colour, size="small", weight=500 if on else 400)
            self.spots.append(Spot(QRectF(x - 4, _LOWER_Y - 11, used + 8, 22), do, tip))
            x += used + 14
        told = self.state_words()
        if told:
            rect = QRectF(x, _LOWER_Y - 10, end - x, 20)
            if head.dropped and words_width(painter, told, size="small") > rect.width():
                told = f"{head.dropped} dropped"
            used = set_words(painter, rect, told, self.theme.drawn.accent_text, size="small")
            self.spots.append(Spot(QRectF(x, _LOWER_Y - 11, used, 22), self.update, self._why()))
            x += used + 14
        return x

    def _why(self) -> str:
        if self._desk.playhead.dropped:
            return "frames that were due while it played, and could not be shown in time"
        return "a quick small copy; the true picture comes when the key is let go"

    def _turn_speed(self) -> None:
        place = SPEEDS.index(self._desk.playhead.speed)
        self._desk.moving.set_speed(SPEEDS[place - 1])

    def _paint_play(self, painter: QPainter, at: QPointF) -> None:
        """Paint two bars while it plays, an arrowhead while it stands."""
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(as_qcolor(self.theme.ink))
        if self._desk.playhead.playing:
            painter.drawRoundedRect(QRectF(at.x() - 1, at.y() - 6, 3.6, 12), 1, 1)
            painter.drawRoundedRect(QRectF(at.x() + 5, at.y() - 6, 3.6, 12), 1, 1)
        else:
            path = QPainterPath(QPointF(at.x() - 1, at.y() - 6.5))
            path.lineTo(at.x() + 10, at.y())
            path.lineTo(at.x() - 1, at.y() + 6.5)
            path.closeSubpath()
            painter.drawPath(path)
        rect = QRectF(at.x() - 8, at.y() - 14, 26, 28)
        self.spots.append(Spot(rect, self._desk.moving.play_or_pause, "play or pause (Space)"))

    # ------------------------------------------------------------------ angles

    @property
    def _narrow(self) -> bool:
        return self.width() < _NARROW_PX

    @property
    def _tight(self) -> bool:
        return self.width() < _TIGHT_PX

    def _angle_words(self) -> str:
        state, angle = self._desk.state, self._desk.playhead.angle
        if state is None or angle is None:
            return ""
        ids = [one.id for one in state.timeline.angles]
        if angle.id not in ids:
            return view_words(angle.name)
        place = f"{ids.index(angle.id) + 1} of {len(ids)}"
        return f"{view_words(angle.name, short=True)} · angle {place}"

    def _paint_angles(self, painter: QPainter) -> float:
        """Set the angle at the right; return where it begins."""
        state, angle = self._desk.state, self._desk.playhead.angle
        if state is None or angle is None:
            return float(self.width())
        angles = list(state.timeline.angles)
        words = self._angle_words()
        if (self._narrow and len(angles) == 1) or self._tight:
            words = view_words(angle.name, short=True)
        x = self.width() - 20.0
        if len(angles) > 1:
            x = self._paint_both(painter, x)
        x = self._paint_notes(painter, x)
        begin = x
        x -= self._from_right(painter, x, words, self.theme.ink)
        film = self._desk.playhead.film
        named = f"{angle.name} film: {film.name}" if film else angle.name
        spot = QRectF(x, 6, begin - x, _HIGH - 12)
        self.spots.append(Spot(spot, self._desk.told.tell, f"{named} (Alt+F tells more)"))
        if len(angles) > 1:
            here = [one.id for one in angles].index(angle.id)
            other = angles[(here + 1) % len(angles)]
            x -= 18
            begin = x
            if not self._tight:
                x -= (
                    self._from_right(
                        painter, x, view_words(other.name, short=True), self.theme.quiet
                    )
                    + 7
                )
            x -= 18
            key_cap(painter, QPointF(x, _HIGH / 2), "A", self.theme)
            self.spots.append(
                Spot(
                    QRectF(x, 6, begin - x, _HIGH - 12),
                    self._desk.other_angle,
                    f"other angle: {view_words(other.name)} (A)",
                )
            )
        return x

    def _paint_both(self, painter: QPainter, right: float) -> float:
        """Paint two stages side by side: both angles at once; return where it begins."""
        on = self._desk.second.on
        rect = QRectF(right - 22, _HIGH / 2 - 7, 22, 14)
        colour = as_qcolor(self.theme.ink if on else self.theme.quiet)
        painter.setPen(QPen(colour, 1.4))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRoundedRect(rect, 2, 2)
        painter.drawLine(QPointF(right - 11, rect.top()), QPointF(right - 11, rect.bottom()))
        if on:
            half = QRectF(rect.left(), rect.top(), 11, rect.height())
            painter.fillRect(half.adjusted(2.5, 2.5, -2, -2.5), colour)
            painter.fillRect(half.translated(11, 0).adjusted(2, 2.5, -2.5, -2.5), colour)
        tip = "this film alone (Alt+A)" if on else "both angles at once (Alt+A)"
        self.spots.append(Spot(rect.adjusted(-5, -9, 5, 9), self._desk.second.turn, tip))
        return right - 22 - 14

    def _paint_notes(self, painter: QPainter, right: float) -> float:
        """Paint a small sign where there is something to know of the film."""
        notes = self._desk.told.notes()
        if not notes:
            return right
        rect = QRectF(right - 15, _HIGH / 2 - 7.5, 15, 15)
        painter.setPen(QPen(as_qcolor(self.theme.quiet), 1.3))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(rect)
        set_words(painter, rect, "i", self.theme.quiet, size="small", weight=600, anchor="centre")
        tip = "\n".join(note[:1].upper() + note[1:] + "." for note in notes)
        self.spots.append(Spot(rect.adjusted(-4, -8, 4, 8), self._desk.told.tell, tip))
        return right - 15 - 8

    def _from_right(self, painter: QPainter, right: float, words: str, colour: Colour) -> float:
        rect = QRectF(right - 220, 0, 220, _HIGH)
        return set_words(painter, rect, words, colour, anchor="right")

    # ------------------------------------------------------------------ tools

    def _paint_tools(self, painter: QPainter, left: float, right: float) -> None:
        """Paint the tools, and what the next mark means, between readout and angles.

        Room for the meaning is kept while there is none, so that no icon ever moves.
        """
        marks = self._desk.marks
        active = marks.tool is not None or bool(marks.chosen)
        meaning = _SHORT_MEANING_PX if self._narrow else _MEANING_PX
        tool_px = min(_TOOL, (right - left - _CAP_PX) / len(TOOLS))
        if tool_px < _LEAST_TOOL:
            return
        x = max(left, (left + right - tool_px * len(TOOLS) - meaning) / 2)
        for tool in TOOLS:
            rect = QRectF(x, (_HIGH - _TOOL) / 2, tool_px, _TOOL)
            chosen = marks.tool == tool
            if chosen:
                painter.setPen(Qt.PenStyle.NoPen)
                painter.setBrush(as_qcolor(self.theme.pressed))
                painter.drawRoundedRect(rect.adjusted(2, 2, -2, -2), 5, 5)
            colour = self.theme.ink if chosen else self.theme.quiet
            pen = QPen(as_qcolor(colour), 1.6)
            pen.setCapStyle(Qt.PenCapStyle.RoundCap)
            painter.setPen(pen)
            painter.setBrush(Qt.BrushStyle.NoBrush)
            _ICONS[tool](painter, rect.center())
            take = partial(marks.take, None if chosen else tool)
            self.spots.append(Spot(rect, take, f"draw: {tool} (M)"))
            x += tool_px
        if active and right - x > 26:
            self._paint_meaning(painter, x + 6, right)

    def _paint_meaning(self, painter: QPainter, x: float, right: float) -> None:
        drawn = self.theme.drawn
        means = self._desk.marks.means
        colour = {"owed": drawn.owed_text, "did": drawn.did_text}.get(means, self.theme.ink)
        cap = key_cap(painter, QPointF(x, _HIGH / 2), "K", self.theme)
        words = means if self._narrow else _MEANING_WORDS[means]
        left = x + cap + 7
        rect = QRectF(left, 0, min(right - left - _SWATCH_PX, 92), _HIGH)
        used = set_words(painter, rect, words, colour, weight=500) if rect.width() > 24 else 0.0
        spot = QRectF(x, 6, cap + 7 + used, _HIGH - 12)
        self.spots.append(
            Spot(
                spot, self._desk.marks.turn_meaning, "what the mark means: owed, did or neither (K)"
            )
        )
        self._paint_colour(painter, left + (used + 15 if used else 6))

    def _paint_colour(self, painter: QPainter, x: float) -> None:
        """Paint the colour of the mark in hand: a filled dot, or a ring in the hue it means."""
        marks, drawn = self._desk.marks, self.theme.drawn
        mark = marks.held
        name = mark.colour if mark is not None else marks.colour
        hue = {"owed": drawn.owed, "did": drawn.did}.get(marks.means, drawn.line)
        painter.setPen(QPen(as_qcolor(self.theme.quiet if name else hue), 1.2 if name else 2.2))
        chosen = MARK_COLOURS.get(name)
        painter.setBrush(as_qcolor(chosen) if chosen else Qt.BrushStyle.NoBrush)
        painter.drawEllipse(QPointF(x, _HIGH / 2), 5.5, 5.5)
        spot = QRectF(x - 11, 6, 22, _HIGH - 12)
        tip = f"{name or 'colour of what it means'}; another colour (Alt+K)"
        self.spots.append(Spot(spot, marks.changes.turn_colour, tip))


def _bracket(painter: QPainter, at: QPointF) -> None:
    for way in (-1, 1):
        painter.drawPolyline(
            QPolygonF(
                [
                    QPointF(at.x() + way * 7, at.y() - 4),
                    QPointF(at.x() + way * 7, at.y() + 5),
                    QPointF(at.x() + way * 3, at.y() + 5),
                ]
            )
        )


def _ring(painter: QPainter, at: QPointF) -> None:
    painter.drawEllipse(at, 8, 4)


def _arrow(painter: QPainter, at: QPointF) -> None:
    tip = at + QPointF(6, -5)
    painter.drawLine(at + QPointF(-7, 6), tip)
    painter.drawPolyline(QPolygonF([tip + QPointF(-6, 0), tip, tip + QPointF(-0.5, 6)]))


def _path(painter: QPainter, at: QPointF) -> None:
    way = QPainterPath(at + QPointF(-8, 4))
    way.cubicTo(at + QPointF(-3, -12), at + QPointF(3, 12), at + QPointF(8, -4))
    pen = painter.pen()
    pen.setDashPattern([2.4, 2.2])
    painter.setPen(pen)
    painter.drawPath(way)


def _lane(painter: QPainter, at: QPointF) -> None:
    corners = [QPointF(-3, -7), QPointF(8, -7), QPointF(3, 7), QPointF(-8, 7)]
    painter.drawPolygon(QPolygonF([at + corner for corner in corners]))


def _box(painter: QPainter, at: QPointF) -> None:
    painter.drawRect(QRectF(at.x() - 7.5, at.y() - 5.5, 15, 11))


def _text(painter: QPainter, at: QPointF) -> None:
    painter.drawLine(at + QPointF(-5, -6), at + QPointF(5, -6))
    painter.drawLine(at + QPointF(0, -6), at + QPointF(0, 6))


def _ruler(painter: QPainter, at: QPointF) -> None:
    painter.drawLine(at + QPointF(-8, 2), at + QPointF(8, 2))
    for x, rise in ((-8, 5), (-4, 3), (0, 4), (4, 3), (8, 5)):
        painter.drawLine(at + QPointF(x, 2 - rise), at + QPointF(x, 2))


_ICONS: dict[str, Callable[[QPainter, QPointF], None]] = {
    "bracket": _bracket,
    "ring": _ring,
    "arrow": _arrow,
    "path": _path,
    "lane": _lane,
    "box": _box,
    "text": _text,
    "ruler": _ruler,
}
