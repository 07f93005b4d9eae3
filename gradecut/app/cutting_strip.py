"""The strip of pictures on which a recording is cut: pictures, plays beneath, the whole below."""

from __future__ import annotations

from collections import OrderedDict
from functools import partial
from typing import cast

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import (
    QImage,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PyQt6.QtWidgets import QSizePolicy

from gradecut.app.theme import Dress, as_qcolor
from gradecut.app.touch_area import Spot, TouchArea, set_words
from gradecut.desk.cutting_desk import CuttingDesk
from gradecut.desk.cutting_steps import Cut
from gradecut.drawing import Colour

__all__ = ["CuttingStrip", "clock"]

_SIDE = 22.0
_TOP, _HIGH = 10.0, 76.0
_BRACKET, _LABEL = 100.0, 106.0
_TICKS = 130.0
_WHOLE, _WHOLE_HIGH = 156.0, 20.0
_HEIGHT = 190
_SPAN_S, _LEAST_SPAN_S = 60.0, 4.0
_GRIP_PX = 7.0
_KEPT_PICTURES = 400
_LABELLED_PX = 16.0
_STEPS_S = (0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1200, 1800, 3600)


def clock(seconds: float) -> str:
    """Write seconds as a coach reads a clock: 2:03.4, and 1:02:03 from an hour on."""
    tenths = round(seconds * 10)
    minutes, rest = divmod(tenths, 600)
    hours, minutes = divmod(minutes, 60)
    if hours:
        return f"{hours}:{minutes:02d}:{rest // 10:02d}"
    return f"{minutes}:{rest // 10:02d}.{rest % 10}"


class CuttingStrip(TouchArea):
    """Shows a stretch of the recording in pictures, its plays as brackets, and the whole below.

    Signals
    -------
    span_changed
        Another stretch is shown.
    """

    span_changed = pyqtSignal()

    def __init__(self, desk: CuttingDesk, dress: Dress) -> None:
        super().__init__(dress)
        self._desk = desk
        self._from_s, self._span_s = 0.0, _SPAN_S
        self._pixmaps: OrderedDict[float, QPixmap] = OrderedDict()
        self._dragged: str | None = None
        self._drag_begun = False
        self.setFixedHeight(_HEIGHT)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("The recording in pictures, its plays beneath")
        desk.opened.connect(self._on_opened)
        desk.changed.connect(self._on_changed)
        desk.moved.connect(self._on_moved)
        desk.strip_came.connect(self.renew)

    def sizeHint(self) -> QSize:
        """Ask for the height of the strip."""
        return QSize(1200, _HEIGHT)

    # ------------------------------------------------------------------ what is shown

    @property
    def shown_s(self) -> tuple[float, float]:
        """The stretch shown in pictures, seconds."""
        return self._from_s, self._from_s + self._span_s

    def x_of(self, time_s: float) -> float:
        """Return where a time lies in the pictures, pixels."""
        return _SIDE + (time_s - self._from_s) / self._span_s * self._room()

    def time_at(self, x: float) -> float:
        """Return the time at a place in the pictures, seconds."""
        return self._from_s + (x - _SIDE) / self._room() * self._span_s

    def zoom(self, times: float) -> None:
        """Show a longer or a shorter stretch, around the playhead."""
        at = self._desk.time_s()
        share = min(max((at - self._from_s) / self._span_s, 0.0), 1.0)
        self._span_s = min(max(self._span_s * times, _LEAST_SPAN_S), self._longest())
        self._scroll_to(at - share * self._span_s)

    def _longest(self) -> float:
        facts = self._desk.facts
        return max(facts.length_s if facts else _SPAN_S, _LEAST_SPAN_S)

    def _room(self) -> float:
        return max(self.width() - 2 * _SIDE, 60.0)

    def _scroll_to(self, from_s: float) -> None:
        self._from_s = min(max(from_s, 0.0), max(self._longest() - self._span_s, 0.0))
        self._want_pictures()
        self.span_changed.emit()
        self.update()

    def _want_pictures(self) -> None:
        if self._desk.facts is not None:
            every_s = self._span_s / max(self._room() / self._picture_px(), 1.0)
            self._desk.pictures.want(*self.shown_s, every_s)

    def _on_opened(self) -> None:
        self._span_s = min(_SPAN_S, self._longest())
        self._scroll_to(0.0)

    def _on_changed(self) -> None:
        """Bring the play in hand into sight."""
        cut = self._desk.cut
        if cut is not None and self._dragged is None:
            start_s, stop_s = self._desk.time_s(cut.first), self._desk.time_s(cut.last)
            shown = self.shown_s
            if start_s < shown[0] or stop_s > shown[1]:
                self._scroll_to((start_s + stop_s) / 2 - self._span_s / 2)
        self._tell()
        self.update()

    def _on_moved(self) -> None:
        """Keep the playhead in sight."""
        at, shown = self._desk.time_s(), self.shown_s
        if not shown[0] <= at <= shown[1]:
            self._scroll_to(at - self._span_s / 2)
        self.update()

    def _tell(self) -> None:
        """Put in words what is painted."""
        cut, place = self._desk.cut, self._desk.in_hand
        if cut is None or place is None:
            self.setAccessibleDescription("No play in hand.")
            return
        edges = f"{clock(self._desk.time_s(cut.first))} to {clock(self._desk.time_s(cut.last))}"
        dropped = ", dropped" if cut.dropped else ""
        of = len(self._desk.cuts)
        self.setAccessibleDescription(f"Play {place + 1} of {of}, {edges}{dropped}.")

    # ------------------------------------------------------------------ painting

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint the pictures and plays in sight, then the whole recording."""
        self.spots = []
        painter = self.painter()
        if self._desk.facts is None:
            rect = QRectF(_SIDE, _TOP, self._room(), _HIGH)
            self._paint_empty(painter, rect)
            painter.end()
            return
        self._paint_pictures(painter)
        self._paint_ticks(painter)
        painter.save()
        painter.setClipRect(QRectF(_SIDE - 6, 0, self._room() + 12, _TICKS))
        number = 0
        for place, cut in enumerate(self._desk.cuts):
            number += not cut.dropped
            self._paint_bracket(painter, place, cut, number)
        painter.restore()
        self._paint_playhead(painter)
        self._paint_whole(painter)
        painter.end()

    def _paint_empty(self, painter: QPainter, rect: QRectF) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(as_qcolor(self.theme.sunk))
        painter.drawRoundedRect(rect, 4, 4)
        said = self._desk.fault or "Opening the recording …"
        set_words(painter, rect, said, self.theme.quiet, anchor="centre")

    def _picture_px(self) -> float:
        """Return how wide one picture of the strip is."""
        for pixmap in self._pixmaps.values():
            return _HIGH * pixmap.width() / max(pixmap.height(), 1)
        return _HIGH * 16 / 9

    def _paint_pictures(self, painter: QPainter) -> None:
        """Paint pictures edge to edge; each stands for the time at its middle."""
        wide = self._picture_px()
        each_s = wide / self._room() * self._span_s
        row = QRectF(_SIDE, _TOP, self._room(), _HIGH)
        painter.save()
        painter.setClipRect(row)
        painter.fillRect(row, as_qcolor(self.theme.sunk))
        number = int(self._from_s / each_s)
        while number * each_s < self._from_s + self._span_s:
            middle_s = (number + 0.5) * each_s
            found = self._desk.pictures.nearest(middle_s, max(each_s, 1.0))
            rect = QRectF(self.x_of(number * each_s), _TOP, wide, _HIGH)
            if found is not None:
                painter.drawPixmap(rect.toRect().adjusted(0, 0, 1, 0), self._pixmap(*found))
            painter.setPen(QPen(as_qcolor(self.theme.ground), 1))
            painter.drawLine(rect.topLeft(), rect.bottomLeft())
            number += 1
        self._dim_between(painter, row)
        painter.restore()

    def _pixmap(self, time_s: float, picture: NDArray[np.uint8]) -> QPixmap:
        """Return a small picture ready to paint."""
        kept = self._pixmaps.get(time_s)
        if kept is None:
            grey = np.ascontiguousarray(picture)
            high, wide = grey.shape
            image = QImage(
                cast("bytes", grey.data), wide, high, wide, QImage.Format.Format_Grayscale8
            )
            kept = self._pixmaps[time_s] = QPixmap.fromImage(image)
            while len(self._pixmaps) > _KEPT_PICTURES:
                self._pixmaps.popitem(last=False)
        return kept

    def _dim_between(self, painter: QPainter, row: QRectF) -> None:
        """Lay a veil over what belongs to no play, so that plays stand out."""
        veil = as_qcolor(self.theme.ground)
        veil.setAlphaF(0.62)
        left = row.left()
        for cut in self._desk.cuts:
            if cut.dropped:
                continue
            start, stop = self._ends(cut)
            if stop < row.left():
                continue
            if start > left:
                painter.fillRect(QRectF(left, row.top(), start - left, row.height()), veil)
            left = max(left, stop)
            if left > row.right():
                return
        painter.fillRect(QRectF(left, row.top(), row.right() - left, row.height()), veil)

    def _ends(self, cut: Cut) -> tuple[float, float]:
        """Return where a play begins and ends in the pictures, pixels."""
        start, stop = (self.x_of(self._desk.time_s(edge)) for edge in (cut.first, cut.last + 1))
        return start, max(stop, start + 2.0)

    def _hue(self, place: int, cut: Cut) -> Colour:
        if place == self._desk.in_hand:
            return self.theme.accent
        return self.theme.drawn.faint if cut.dropped else self.theme.quiet

    def _paint_bracket(self, painter: QPainter, place: int, cut: Cut, number: int) -> None:
        """Paint a play: a bracket below its pictures, its number and length under it."""
        start, stop = self._ends(cut)
        if stop < _SIDE - 40 or start > _SIDE + self._room() + 40:
            return
        here = place == self._desk.in_hand
        style = Qt.PenStyle.DotLine if cut.dropped else Qt.PenStyle.SolidLine
        painter.setPen(QPen(as_qcolor(self._hue(place, cut)), 2.4 if here else 1.6, style))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        top = _TOP if here else _BRACKET - 8
        left, right = start + 1.2, stop - 1.2
        painter.drawLine(QPointF(left, top), QPointF(left, _BRACKET))
        painter.drawLine(QPointF(left, _BRACKET), QPointF(right, _BRACKET))
        painter.drawLine(QPointF(right, _BRACKET), QPointF(right, top))
        if here:
            self._paint_grips(painter, left, right)
        # Labels of plays too narrow for one would lie over each other.
        if here or stop - start > _LABELLED_PX:
            self._paint_label(painter, cut, (start, stop), number, here=here)
        spot = QRectF(start, _BRACKET - 8, stop - start, 32)
        why = " ".join(cut.why) or "Set by hand."
        self.spots.append(Spot(spot, partial(self._desk.take, place), why))

    def _paint_label(
        self, painter: QPainter, cut: Cut, ends: tuple[float, float], number: int, *, here: bool
    ) -> None:
        """Tell a play's number, its length where there is room, and that it is unsure."""
        start, stop = ends
        length = self._desk.time_s(cut.last) - self._desk.time_s(cut.first)
        told = "dropped" if cut.dropped else f"{number}"
        if stop - start > 84:
            told += f" · {length:.1f} s"
        unsure = not cut.dropped and cut.confidence < 0.5
        ink = self.theme.accent if here else self.theme.ink
        rect = QRectF(start - 20, _LABEL, stop - start + 40, 18)
        set_words(
            painter, rect, f"{told} ?" if unsure else told,
            self.theme.quiet if cut.dropped else ink,
            size="small", weight=600 if here else 500, anchor="centre",
        )  # fmt: skip

    def _paint_grips(self, painter: QPainter, left: float, right: float) -> None:
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(as_qcolor(self.theme.accent))
        for x in (left, right):
            painter.drawRoundedRect(QRectF(x - 3, _TOP + _HIGH / 2 - 11, 6, 22), 3, 3)

    def _paint_ticks(self, painter: QPainter) -> None:
        """Tell the time below the plays, as densely as it can be read."""
        least = 90 / self._room() * self._span_s
        step = next((one for one in _STEPS_S if one >= least), _STEPS_S[-1])
        number = int(self._from_s / step)
        while number * step <= self._from_s + self._span_s:
            x = self.x_of(number * step)
            number += 1
            if x < _SIDE - 1:
                continue
            painter.setPen(QPen(as_qcolor(self.theme.hairline), 1))
            painter.drawLine(QPointF(x, _TICKS - 4), QPointF(x, _TICKS))
            told = clock((number - 1) * step)
            told = told.removesuffix(".0") if step >= 1 else told
            rect = QRectF(x - 40, _TICKS, 80, 16)
            set_words(painter, rect, told, self.theme.quiet, size="small", anchor="centre")

    def _paint_playhead(self, painter: QPainter) -> None:
        x = self.x_of(self._desk.time_s())
        if _SIDE - 1 <= x <= _SIDE + self._room() + 1:
            painter.setPen(QPen(as_qcolor(self.theme.ink), 1.5))
            painter.drawLine(QPointF(x, 4), QPointF(x, _BRACKET))
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(self.theme.ink))
            painter.drawEllipse(QPointF(x, 5), 3.5, 3.5)

    # ------------------------------------------------------------------ the whole recording

    def _whole_x(self, time_s: float) -> float:
        return _SIDE + time_s / self._longest() * self._room()

    def _paint_whole(self, painter: QPainter) -> None:
        """Paint the recording in one line: its plays, and which part is shown above."""
        theme = self.theme
        bar = QRectF(_SIDE, _WHOLE, self._room(), _WHOLE_HIGH)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(as_qcolor(theme.sunk))
        painter.drawRoundedRect(bar, 4, 4)
        for place, cut in enumerate(self._desk.cuts):
            start, stop = (self._whole_x(self._desk.time_s(at)) for at in (cut.first, cut.last))
            high = 5.0 if cut.dropped else 12.0
            block = QRectF(start, bar.center().y() - high / 2, max(stop - start, 2.0), high)
            painter.setPen(Qt.PenStyle.NoPen)
            painter.setBrush(as_qcolor(self._hue(place, cut)))
            painter.drawRoundedRect(block, 1.5, 1.5)
        left, right = (self._whole_x(edge) for edge in self.shown_s)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(as_qcolor(theme.ink), 1.2))
        window = QRectF(left, bar.top() - 2, max(right - left, 4.0), bar.height() + 4)
        painter.drawRoundedRect(window, 4, 4)

    # ------------------------------------------------------------------ the mouse

    def _grip_at(self, at: QPointF) -> str | None:
        """Return which edge of the play in hand, or which line, a point touches."""
        if at.y() >= _WHOLE - 6:
            return "whole"
        cut = self._desk.cut
        if cut is not None and not cut.dropped and at.y() <= _BRACKET + 4:
            start, stop = self._ends(cut)
            if abs(at.x() - start) <= _GRIP_PX:
                return "first"
            if abs(at.x() - stop) <= _GRIP_PX:
                return "last"
        return "pictures" if at.y() < _BRACKET - 8 else None

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Take an edge, a play or the playhead."""
        if event is None or event.button() != Qt.MouseButton.LeftButton:
            return
        self._dragged, self._drag_begun = self._grip_at(event.position()), False
        if self._dragged is None:
            super().mousePressEvent(event)
        elif self._dragged in ("pictures", "whole"):
            self._drag(event.position())

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Drag what was taken; else show what can be."""
        if event is None:
            return
        if event.buttons() & Qt.MouseButton.LeftButton and self._dragged is not None:
            self._drag(event.position())
            return
        grip = self._grip_at(event.position())
        if grip in ("first", "last"):
            self.setCursor(Qt.CursorShape.SizeHorCursor)
        else:
            super().mouseMoveEvent(event)

    def mouseReleaseEvent(self, _event: QMouseEvent | None) -> None:
        """Let go."""
        self._dragged = None
        self._on_changed()

    def _drag(self, at: QPointF) -> None:
        facts = self._desk.facts
        if facts is None:
            return
        if self._dragged == "whole":
            share = min(max((at.x() - _SIDE) / self._room(), 0.0), 1.0)
            time_s = share * self._longest()
            self._scroll_to(time_s - self._span_s / 2)
            self._desk.go(facts.frame_at(time_s))
            return
        frame = facts.frame_at(self.time_at(min(max(at.x(), _SIDE), _SIDE + self._room())))
        if self._dragged == "pictures":
            self._desk.go(frame)
            return
        if self._dragged == "first":
            self._desk.put_edge(first=frame, going_on=self._drag_begun)
        else:
            self._desk.put_edge(last=frame, going_on=self._drag_begun)
        self._drag_begun = True
        cut = self._desk.cut
        if cut is not None:
            self._desk.seek(cut.first if self._dragged == "first" else cut.last)

    def wheelEvent(self, event: QWheelEvent | None) -> None:
        """Move along the recording; with Ctrl show more or less of it."""
        if event is None:
            return
        delta = event.angleDelta().y() or event.angleDelta().x()
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.zoom(0.8 if delta > 0 else 1.25)
        else:
            self._scroll_to(self._from_s - delta / 120 * self._span_s / 10)

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Fetch what a wider strip shows."""
        super().resizeEvent(event)
        self._want_pictures()
