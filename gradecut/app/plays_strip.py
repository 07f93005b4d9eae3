"""The plays of the session in one line at the bottom."""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from functools import partial
from itertools import groupby

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import (
    QFontMetricsF,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QRegion,
    QResizeEvent,
    QWheelEvent,
)
from PyQt6.QtWidgets import QSizePolicy

from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.app.touch_area import Spot, TouchArea, key_cap, set_words, words_width
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.plays_line import PlayBox, PlaysLine
from gradecut.drawing import Colour

__all__ = ["STRIP_PX", "PlaysStrip", "tint"]

STRIP_PX = 66
_SIDE, _GAP, _PERIOD_GAP = 15.0, 5.0, 20.0
_TOP, _BOX = 32.0, 21.0
_RIGHT_PX = 250.0
_WAYS_OUT = (("F9", "staff's page"), ("F7", "players' reel"))
"""What is offered in the place of the next play when all are graded."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _InSight:
    """Which stretch of which line is in sight; while it stays, boxes keep their places."""

    line: PlaysLine
    first: int
    last: int
    begin: float
    room: float


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shown:
    """The boxes in sight, and the place of the play that is shown."""

    place: _InSight
    boxes: tuple[PlayBox, ...]
    here: int | None


class PlaysStrip(TouchArea):
    """A numbered box for each play; only what can be seen is painted."""

    def __init__(self, desk: FilmDesk, dress: Dress) -> None:
        super().__init__(dress)
        self._desk = desk
        self._lefts: list[float] = []
        self._periods: list[tuple[str, int]] = []
        self._wide = _BOX
        self._from = 0.0
        self._laid_out: PlaysLine | None = None
        self._shown: _Shown | None = None
        self.setFixedHeight(STRIP_PX)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Plays of this session")
        self.painted = 0
        self._enter = ""
        for changed in (desk.marks.changed, desk.hand.changed, desk.state_changed):
            changed.connect(self._show_enter)

    def sizeHint(self) -> QSize:
        """Ask for one strip."""
        return QSize(900, STRIP_PX)

    def _show_enter(self) -> None:
        """Paint anew where Enter means something else now."""
        before, self._enter = self._enter, self._desk.passing.words
        if self._enter != before:
            self.update()

    def show_plays(self) -> None:
        """Take over the session's plays."""
        line = self._desk.plays.line
        if line is self._laid_out:
            self.show_here()
            return
        self._laid_out, boxes = line, line.boxes
        digits = len(str(boxes[-1].order)) if boxes else 2
        self._wide = _BOX + max(digits - 2, 0) * 8
        self._lefts, self._periods = [], []
        metrics = QFontMetricsF(font("small"))
        x = 0.0
        for period, some in groupby(enumerate(boxes), key=lambda one: one[1].period):
            if self._lefts:
                x += _PERIOD_GAP - _GAP
            places = [place for place, _ in some]
            self._periods.append((period, places[0]))
            begin = x
            for _ in places:
                self._lefts.append(x)
                x += self._wide + _GAP
            x = max(x, begin + metrics.horizontalAdvance(period) + _GAP)
        self.show_here()

    def show_here(self) -> None:
        """Bring the play that is shown into sight."""
        place = self._here()
        if place is not None and place < len(self._lefts):
            room = self._room()
            left = self._lefts[place]
            if left - self._from < 40 or left + self._wide - self._from > room - 40:
                self._scroll_to(left - room / 2)
        self._scroll_to(self._from)
        state = self._desk.state
        boxes = self._desk.plays.line.boxes
        here = boxes[place].words if place is not None and place < len(boxes) else ""
        line = self._desk.plays.line
        counts = line.told_at_end() if line.all_finished else f"{line.told()}."
        self.setAccessibleDescription(f"{counts} {here}" if state else "")
        self._show_changes()

    def _show_changes(self) -> None:
        """Paint anew the boxes that stand otherwise than they were painted, else all of it."""
        before, now = self._shown, self._to_show()
        self._shown = now
        if before is None or before.place != now.place:
            self.update()
            return
        pairs = zip(before.boxes, now.boxes, strict=True)
        changed = {now.place.first + at for at, (old, new) in enumerate(pairs) if old != new}
        if before.here != now.here:
            changed |= {place for place in (before.here, now.here) if place is not None}
        for place in changed:
            self.update(self._box_rect(place).adjusted(-6, -5, 6, 6).toAlignedRect())
        counts = QRectF(self.width() - _SIDE - _RIGHT_PX, 0, _SIDE + _RIGHT_PX, STRIP_PX)
        self.update(counts.toAlignedRect())

    def _to_show(self) -> _Shown:
        """Return what is in sight now."""
        line, room = self._desk.plays.line, self._room()
        first = max(bisect_left(self._lefts, self._from - self._wide), 0)
        last = min(bisect_left(self._lefts, self._from + room), len(line.boxes))
        place = _InSight(line=line, first=first, last=last, begin=self._from, room=room)
        return _Shown(place=place, boxes=tuple(line.boxes[first:last]), here=self._here())

    def _box_rect(self, place: int) -> QRectF:
        return QRectF(_SIDE + self._lefts[place] - self._from, _TOP, self._wide, _BOX)

    def _here(self) -> int | None:
        clip = self._desk.clip
        return self._desk.plays.line.place_of(clip.id) if clip else None

    def _room(self) -> float:
        return max(self.width() - 2 * _SIDE - _RIGHT_PX, 60.0)

    def _scroll_to(self, x: float) -> None:
        whole = self._lefts[-1] + self._wide if self._lefts else 0.0
        self._from = min(max(x, 0.0), max(whole - self._room(), 0.0))

    def wheelEvent(self, event: QWheelEvent | None) -> None:
        """Move along the plays."""
        if event is not None:
            delta = event.angleDelta()
            self._scroll_to(self._from - (delta.y() or delta.x()))
            self.update()

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Keep the play that is shown in sight."""
        super().resizeEvent(event)
        self.show_here()

    # ------------------------------------------------------------------ painting

    def paintEvent(self, event: QPaintEvent | None) -> None:
        """Paint what can be seen of the line, and the counts at its right."""
        self.spots = []
        painter = self.painter()
        region = QRegion(self.rect()) if event is None else event.region()
        boxes = self._desk.plays.line.boxes
        room = self._room()
        painter.save()
        painter.setClipRect(QRectF(_SIDE - 4, 0, room + 8, STRIP_PX))
        shown = self._to_show()
        first, last, here = shown.place.first, shown.place.first + len(shown.boxes), shown.here
        self.painted = 0
        for place in range(first, last):
            rect = self._box_rect(place)
            if region.intersects(rect.adjusted(-5, -5, 5, 5).toAlignedRect()):
                self._paint_box(painter, rect, boxes[place], here=place == here)
                self.painted += 1
            if rect.right() <= _SIDE + room:
                go = partial(self._desk.open_clip, boxes[place].clip_id)
                self.spots.append(Spot(rect, go, boxes[place].words))
        self._paint_periods(painter, first, last)
        painter.restore()
        self._paint_counts(painter)
        painter.end()

    def _paint_periods(self, painter: QPainter, first: int, last: int) -> None:
        """Name each period above its first play; one that began before stays in sight."""
        for number, (period, start) in enumerate(self._periods):
            following = self._periods[number + 1][1] if number + 1 < len(self._periods) else None
            end = following if following is not None else len(self._lefts)
            if end <= first or start >= last:
                continue
            left = max(_SIDE + self._lefts[start] - self._from, _SIDE)
            right = _SIDE + self._room()
            if end < len(self._lefts):
                right = _SIDE + self._lefts[end] - _PERIOD_GAP + _GAP - self._from
            rect = QRectF(left, 10, max(right - left, 0), 16)
            set_words(painter, rect, period, self.theme.quiet, size="small")

    def _paint_box(self, painter: QPainter, rect: QRectF, box: PlayBox, *, here: bool) -> None:
        """Paint one play: hollow open, half full begun, full done, a bar below: not all right.

        An edge around a full one says that every man on it was looked at closely.
        """
        theme = self.theme
        ground, ink = self._hues(box)
        painter.setPen(Qt.PenStyle.NoPen)
        if box.status in ("done", "wrong", "unsure"):
            painter.setBrush(as_qcolor(ground))
            painter.drawRoundedRect(rect, 4, 4)
        elif box.status == "begun":
            painter.setBrush(as_qcolor(theme.pressed))
            painter.save()
            painter.setClipRect(rect.adjusted(0, _BOX / 2, 0, 0), Qt.ClipOperation.IntersectClip)
            painter.drawRoundedRect(rect, 4, 4)
            painter.restore()
        if box.status in ("open", "begun", "unsure"):
            style = Qt.PenStyle.DashLine if box.status == "unsure" else Qt.PenStyle.SolidLine
            painter.setPen(QPen(as_qcolor(theme.drawn.faint), 1, style))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(rect.adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)
        number = rect.adjusted(0, -1 if box.wrong else 0, 0, -1 if box.wrong else 0)
        set_words(
            painter, number, str(box.order), ink, size="small",
            weight=600 if here else 500, anchor="centre",
        )  # fmt: skip
        if box.status == "no play":
            y = rect.center().y()
            painter.setPen(QPen(as_qcolor(theme.quiet), 1.2))
            painter.drawLine(QPointF(rect.left() + 3, y), QPointF(rect.right() - 3, y))
        if box.status in ("done", "wrong") and box.examined and not box.passed:
            painter.setPen(QPen(as_qcolor(ink), 1))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(rect.adjusted(0.5, 0.5, -0.5, -0.5), 4, 4)
        if box.wrong:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(theme.drawn.did))
            bar = QRectF(rect.left() + 4, rect.bottom() - 4, rect.width() - 8, 2)
            painter.drawRoundedRect(bar, 1, 1)
        self._paint_signs(painter, rect, box, here=here)

    def _paint_signs(self, painter: QPainter, rect: QRectF, box: PlayBox, *, here: bool) -> None:
        """Paint the corner of a play to show, and the frame of the one that is shown."""
        accent = as_qcolor(self.theme.drawn.accent)
        if box.flagged:
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(accent)
            corner = rect.topRight() + QPointF(1.5, -1.5)
            painter.drawPolygon(
                QPolygonF([corner, corner + QPointF(-8, 0), corner + QPointF(0, 8)])
            )
        if here:
            painter.setPen(QPen(accent, 2))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRoundedRect(rect.adjusted(-3, -3, 3, 3), 6, 6)

    def _hues(self, box: PlayBox) -> tuple[Colour, Colour]:
        """Return the ground and the ink of a finished play, else of one that waits."""
        theme, drawn = self.theme, self.theme.drawn
        if box.status == "done":
            return tint(drawn.right, theme.ground), drawn.right_text
        if box.status in ("wrong", "unsure") and box.wrong:
            return tint(drawn.did, theme.ground), drawn.did_text
        if box.status == "unsure":
            return tint(drawn.right, theme.ground), theme.ink
        return theme.raised, theme.quiet

    def _paint_counts(self, painter: QPainter) -> None:
        """Count the plays at the right, and tell the key that ends one."""
        if not self._desk.plays.line.boxes:
            return
        left = self.width() - _SIDE - _RIGHT_PX + 20
        rect = QRectF(left, 10, _RIGHT_PX - 20, 16)
        told = self._desk.plays.line.told()
        wide = set_words(painter, rect, told, self.theme.quiet, size="small", anchor="right")
        about = QRectF(rect.right() - wide, rect.top() - 2, wide, rect.height() + 4)
        self.spots.append(Spot(about, self.update, self._desk.plays.line.told_in_full()))
        tool = self._desk.marks.tool
        if not tool and self._desk.plays.line.all_finished:
            self._paint_ways_out(painter)
            return
        does = self._desk.passing.words
        words = does.removesuffix(" play")
        right = QRectF(left, _TOP, _RIGHT_PX - 20, _BOX)
        used = set_words(painter, right, words, self.theme.quiet, anchor="right")
        at = QPointF(self.width() - _SIDE - used - 52, _TOP + _BOX / 2)
        cap = key_cap(painter, at, "Enter", self.theme)
        spot = QRectF(at.x(), _TOP - 2, cap + used + 10, _BOX + 4)
        tip = f"set a point of the {tool}" if tool else does
        self.spots.append(Spot(spot, self._desk.pass_clip, tip))

    def _paint_ways_out(self, painter: QPainter) -> None:
        """Tell what is made of a session when all of it is graded."""
        x, y = float(self.width() - _SIDE), _TOP + _BOX / 2
        for key, told in reversed(_WAYS_OUT):
            wide = words_width(painter, told)
            x -= wide
            set_words(painter, QRectF(x, _TOP, wide + 1, _BOX), told, self.theme.quiet)
            x -= words_width(painter, key, size="small", weight=600) + 18
            key_cap(painter, QPointF(x, y), key, self.theme)
            x -= 14


def tint(hue: Colour, ground: Colour) -> Colour:
    """Mix a little of a hue into a ground; the colour returned is opaque."""
    share = 0.18
    red, green, blue = (
        round(share * one + (1 - share) * other)
        for one, other in zip(hue[:3], ground[:3], strict=True)
    )
    return red, green, blue, 255
