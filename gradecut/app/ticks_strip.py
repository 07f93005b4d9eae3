"""The strip of frames below the stage, counted from the snap."""

from __future__ import annotations

from functools import partial
from typing import Literal

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QBrush, QMouseEvent, QPainter, QPaintEvent, QPen, QPixmap, QPolygonF
from PyQt6.QtWidgets import QSizePolicy

from gradecut.app.theme import Dress, as_qcolor
from gradecut.app.touch_area import Spot, TouchArea, set_words
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.film_ticks import Tick, Ticks
from gradecut.drawing import Colour
from gradecut.timebase import Frame

__all__ = ["TicksStrip"]

_HIGH, _LINE_Y, _SIDE = 58, 30.0, 40.0
_DRAWN_Y = 53.0
"""Where the stretches of marks lie, below the counts."""
_LEAST_DRAWN_PX = 8.0
"""So wide a mark that is seen on one frame is shown, for it not to be taken for a speck."""
_END_PX = 7.0
"""How near a touch must come to the first or last frame of the chosen mark."""
_HINT_PX = 260.0
"""Room for the hint at the snap; it begins beside a moment that is marked there."""
_STEPS = (1, 2, 5, 10, 20, 50, 100, 200, 500, 1000)


class TicksStrip(TouchArea):
    """A touch goes to that frame; a drag runs through the film.

    Attributes
    ----------
    ticks : Ticks or None
        What it shows; None without film.
    """

    def __init__(self, desk: FilmDesk, dress: Dress) -> None:
        super().__init__(dress)
        self._desk = desk
        self.ticks: Ticks | None = None
        self._faulty = False
        self._still: QPixmap | None = None
        self._pulled: Literal["first", "last"] | None = None
        self.setFixedHeight(_HIGH)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleName("Moments of this play")
        desk.playhead.moved.connect(self.show_here)
        desk.playhead.pictured.connect(self.show_here)
        desk.playhead.play_changed.connect(self.show_ticks)
        desk.told.changed.connect(self.show_ticks)
        desk.marks.changed.connect(self._show_marks)

    def sizeHint(self) -> QSize:
        """Ask for one strip."""
        return QSize(700, _HIGH)

    def show_ticks(self) -> None:
        """Take over the moments of the play and of the man in hand."""
        ticks = self._desk.ticks()
        fault = bool(self._desk.playhead.fault)
        if ticks != self.ticks or ticks is None or fault != self._faulty:
            self.ticks, self._faulty = ticks, fault
            self._still = None
        self.setAccessibleDescription(ticks.words if ticks else "No film.")
        self.update()

    def _show_marks(self) -> None:
        """Take over where marks are seen; a hand that only moves one changes nothing here."""
        if self.ticks is None or self.ticks.drawn != self._desk.marks.stretches():
            self.show_ticks()

    def show_here(self) -> None:
        """Take over where the film stands."""
        self.update()

    def renew(self) -> None:
        """Paint all of it anew."""
        self._still = None
        self.update()

    def x_of(self, frame: float) -> float:
        """Return where a frame stands, in pixels."""
        if self.ticks is None:
            return _SIDE
        count = max(self.ticks.last - self.ticks.first, 1)
        return _SIDE + (frame - self.ticks.first) / count * (self.width() - 2 * _SIDE)

    def frame_at(self, x: float) -> int:
        """Return the frame nearest to a place."""
        if self.ticks is None:
            return 0
        count = max(self.ticks.last - self.ticks.first, 1)
        share = (x - _SIDE) / max(self.width() - 2 * _SIDE, 1)
        return self.ticks.first + round(share * count)

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint line, counts, moments and where the film stands."""
        painter = self.painter()
        if self.ticks is not None:
            painter.drawPixmap(0, 0, self._painted_still(self.ticks))
            self._paint_here(painter)
        painter.end()

    def _painted_still(self, ticks: Ticks) -> QPixmap:
        """Return what stands still while the film runs, painted once."""
        ratio = self.devicePixelRatioF()
        size = QSize(round(self.width() * ratio), round(self.height() * ratio))
        made = self._still
        if made is None or made.size() != size or made.devicePixelRatio() != ratio:
            made = self._still = QPixmap(size)
            made.setDevicePixelRatio(ratio)
            made.fill(Qt.GlobalColor.transparent)
            self.spots = []
            painter = QPainter(made)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self._paint_lost(painter, ticks)
            self._paint_line(painter, ticks)
            self._paint_loop(painter, ticks)
            self._paint_drawn(painter, ticks)
            self._paint_moments(painter, ticks)
            painter.end()
        return made

    def _paint_line(self, painter: QPainter, ticks: Ticks) -> None:
        theme = self.theme
        faint = as_qcolor(theme.drawn.faint)
        painter.setPen(QPen(faint, 1))
        painter.drawLine(
            QPointF(self.x_of(ticks.first), _LINE_Y), QPointF(self.x_of(ticks.last), _LINE_Y)
        )
        a_frame = (self.width() - 2 * _SIDE) / max(ticks.last - ticks.first, 1)
        small = next((step for step in _STEPS if step * a_frame >= 7), _STEPS[-1])
        large = next((step for step in _STEPS if step * a_frame >= 62), _STEPS[-1])
        begin = ticks.first - ticks.zero
        for count in range(begin, ticks.last - ticks.zero + 1):
            if count % small:
                continue
            x = self.x_of(ticks.zero + count)
            whole = count % large == 0
            painter.setPen(QPen(faint, 1))
            painter.drawLine(QPointF(x, _LINE_Y - (4 if whole else 2)), QPointF(x, _LINE_Y + 2))
            if whole and (count or not ticks.counted_from_snap):
                words = ticks.count(ticks.zero + count)
                rect = QRectF(x - 30, _LINE_Y + 5, 60, 16)
                set_words(painter, rect, words, theme.quiet, size="small", anchor="centre")

    def _paint_lost(self, painter: QPainter, ticks: Ticks) -> None:
        """Hatch the stretches whose pictures can't be shown."""
        for first, last in ticks.lost:
            left, right = self.x_of(first - 0.5), self.x_of(last + 0.5)
            rect = QRectF(left, _LINE_Y - 11, max(right - left, 4), 14)
            painter.setPen(QPen(as_qcolor(self.theme.quiet), 1))
            painter.setBrush(QBrush(as_qcolor(self.theme.quiet), Qt.BrushStyle.BDiagPattern))
            painter.drawRect(rect)
            told = f"frames {first} to {last}" if last > first else f"frame {first}"
            tip = f"{told} can't be shown: damaged in the file; step past"
            go = partial(self._desk.playhead.seek, first)
            self.spots.append(Spot(rect.adjusted(0, -4, 0, 4), go, tip))

    def _paint_loop(self, painter: QPainter, ticks: Ticks) -> None:
        """Show what is played over and over: a thick line with its two ends."""
        if ticks.loop is None:
            return
        left, right = (self.x_of(frame) for frame in ticks.loop)
        pen = QPen(as_qcolor(self.theme.drawn.accent), 3)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.drawLine(QPointF(left, _LINE_Y), QPointF(right, _LINE_Y))
        for x in (left, right):
            painter.drawLine(QPointF(x, _LINE_Y - 6), QPointF(x, _LINE_Y + 1.5))

    def _paint_drawn(self, painter: QPainter, ticks: Ticks) -> None:
        """Paint where marks are seen: faint lines, the chosen one's strong, its keys on it."""
        accent = as_qcolor(self.theme.drawn.accent)
        for one in sorted(ticks.drawn, key=lambda one: one.chosen):
            left, right = self.x_of(one.first), self.x_of(one.last)
            short = max(_LEAST_DRAWN_PX - (right - left), 0.0) / 2
            left, right = left - short, right + short
            pen = QPen(accent if one.chosen else as_qcolor(self.theme.drawn.faint))
            pen.setWidthF(2 if one.chosen else 1.2)
            painter.setPen(pen)
            painter.drawLine(QPointF(left, _DRAWN_Y), QPointF(right, _DRAWN_Y))
            if not one.chosen:
                continue
            for x in (left, right):
                painter.drawLine(QPointF(x, _DRAWN_Y - 3.5), QPointF(x, _DRAWN_Y + 3.5))
            for key in one.keys:
                self._paint_key(painter, ticks, one.words, key)

    def _paint_key(self, painter: QPainter, ticks: Ticks, words: str, key: Frame) -> None:
        """Paint a small diamond where the chosen mark was set by hand; a touch goes there."""
        at = QPointF(self.x_of(key), _DRAWN_Y)
        painter.setPen(QPen(as_qcolor(self.theme.ground), 1))
        painter.setBrush(as_qcolor(self.theme.drawn.accent))
        corners = [at + QPointF(*way) for way in ((0, -4.5), (4.5, 0), (0, 4.5), (-4.5, 0))]
        painter.drawPolygon(QPolygonF(corners))
        go = partial(self._desk.playhead.seek, key)
        tip = f"{words}: set by hand at {ticks.count(key)}"
        self.spots.append(Spot(QRectF(at.x() - 5, _DRAWN_Y - 6, 10, 10), go, tip))

    def _paint_moments(self, painter: QPainter, ticks: Ticks) -> None:
        """Paint each moment with its name; names that would overlap step aside."""
        taken = -1e9
        free = float(_SIDE)
        for tick in sorted(ticks.moments, key=lambda one: one.frame):
            x = self.x_of(tick.frame)
            if tick.kind == "snap":
                self._paint_snap(painter, x, tick)
            else:
                self._paint_moment(painter, x, tick)
            painter.setFont(self.font())
            half = painter.fontMetrics().horizontalAdvance(tick.kind) / 2 + 6
            if tick.kind != "snap":
                left = max(x - half, taken)
                rect = QRectF(left, 4, 2 * half, 15)
                set_words(
                    painter, rect, tick.kind, self._text_colour(tick), size="small", weight=500,
                    anchor="centre",
                )  # fmt: skip
                taken = left + 2 * half
                free = taken if left < free + _HINT_PX else free
            go = partial(self._desk.playhead.seek, tick.frame)
            sure = "" if tick.certain else ", not marked by hand on this angle"
            spot = QRectF(x - 8, 0, 16, _HIGH)
            self.spots.append(Spot(spot, go, f"{tick.kind} {ticks.count(tick.frame)}{sure}"))
        if not ticks.counted_from_snap and not self._faulty:
            rect = QRectF(free, 4, _HINT_PX, 15)
            colour = self.theme.drawn.accent_text
            set_words(painter, rect, "no snap marked: find it, press Z", colour, size="small")

    def _colour(self, tick: Tick) -> Colour:
        drawn = self.theme.drawn
        return {"first step": drawn.did, "go": drawn.did}.get(tick.kind, drawn.line)

    def _text_colour(self, tick: Tick) -> Colour:
        drawn = self.theme.drawn
        return {"first step": drawn.did_text, "go": drawn.did_text}.get(tick.kind, self.theme.quiet)

    def _paint_snap(self, painter: QPainter, x: float, tick: Tick) -> None:
        style = Qt.PenStyle.SolidLine if tick.certain else Qt.PenStyle.DotLine
        painter.setPen(QPen(as_qcolor(self.theme.ink), 2, style))
        painter.drawLine(QPointF(x, _LINE_Y - 11), QPointF(x, _LINE_Y + 3))
        rect = QRectF(x - 30, _LINE_Y + 5, 60, 16)
        set_words(painter, rect, "snap", self.theme.ink, size="small", anchor="centre")

    def _paint_moment(self, painter: QPainter, x: float, tick: Tick) -> None:
        """Paint a moment: solid where it was marked here, hollow where it was carried over."""
        colour = as_qcolor(self._colour(tick))
        at = QPointF(x, _LINE_Y)
        ground = as_qcolor(self.theme.ground)
        if tick.kind == "first step":
            reach = self.x_of(tick.frame + 1) - x
            painter.setPen(QPen(colour, 2))
            painter.drawLine(
                QPointF(x - max(reach, 6), _LINE_Y), QPointF(x + max(reach, 6), _LINE_Y)
            )
        painter.setPen(QPen(colour, 2))
        solid = tick.certain and tick.kind != "go"
        painter.setBrush(colour if solid else ground)
        if tick.kind == "contact":
            painter.drawPolygon(
                QPolygonF([at + QPointF(*d) for d in ((0, -5), (5, 0), (0, 5), (-5, 0))])
            )
        elif tick.kind == "whistle":
            painter.drawRect(QRectF(x - 3.5, _LINE_Y - 3.5, 7, 7))
        else:
            painter.drawEllipse(at, 4, 4)

    def _paint_here(self, painter: QPainter) -> None:
        """Point from above to where the film that is seen stands; faintly where it is going to."""
        head = self._desk.playhead
        if head.frame != head.seen:
            painter.setPen(QPen(as_qcolor(self.theme.quiet), 1, Qt.PenStyle.DotLine))
            wished = self.x_of(head.frame)
            painter.drawLine(QPointF(wished, _LINE_Y - 12), QPointF(wished, _LINE_Y + 2))
        x = self.x_of(head.seen)
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(as_qcolor(self.theme.drawn.accent))
        painter.drawPolygon(
            QPolygonF(
                [
                    QPointF(x, _LINE_Y - 3.5),
                    QPointF(x - 5, _LINE_Y - 11),
                    QPointF(x + 5, _LINE_Y - 11),
                ]
            )
        )
        painter.drawRect(QRectF(x - 0.5, _LINE_Y - 5, 1, 8))

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Go to a moment, or to the frame touched."""
        if event is None or self.ticks is None:
            return
        self._pulled = self._end_at(event.position())
        if self._pulled is not None:
            self._desk.playhead.pause()
        elif self.spot_at(event.position()) is not None:
            super().mousePressEvent(event)
        else:
            self._desk.playhead.pause()
            self._desk.playhead.seek(self.frame_at(event.position().x()), hurried=True)

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Run through the film while the button is held."""
        if event is None:
            return
        if event.buttons() & Qt.MouseButton.LeftButton:
            frame = self.frame_at(event.position().x())
            self._desk.playhead.seek(frame, hurried=True)
            if self._pulled is not None:
                self._desk.marks.changes.pull(Frame(frame), first=self._pulled == "first")
        elif self._end_at(event.position()) is not None:
            self.setCursor(Qt.CursorShape.SizeHorCursor)
        else:
            super().mouseMoveEvent(event)

    def mouseReleaseEvent(self, _event: QMouseEvent | None) -> None:
        """Show the true picture of where it was let go; store the frame a mark was pulled to."""
        self._desk.playhead.rest()
        if self._pulled is not None:
            self._pulled = None
            self._desk.marks.changes.end_pull()

    def _end_at(self, at: QPointF) -> Literal["first", "last"] | None:
        """Return which end of the chosen mark's stretch is touched; None for none."""
        chosen = [one for one in self.ticks.drawn if one.chosen] if self.ticks else []
        if not chosen or at.y() < _DRAWN_Y - 7 or self.spot_at(at) is not None:
            return None
        away = {
            "last": abs(self.x_of(chosen[0].last) - at.x()),
            "first": abs(self.x_of(chosen[0].first) - at.x()),
        }
        if min(away.values()) > _END_PX:
            return None
        return "first" if away["first"] < away["last"] else "last"
