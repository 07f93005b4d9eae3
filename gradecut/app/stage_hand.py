"""The hand on the stage: it draws, takes hold of marks, follows a man, or moves the film."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import Protocol

from PyQt6.QtCore import QPointF, QRectF, Qt, QTimer
from PyQt6.QtGui import QColor, QCursor, QMouseEvent, QPainter, QPen, QPolygonF
from PyQt6.QtWidgets import QLineEdit

from gradecut.app.film_view import FilmView
from gradecut.app.theme import as_qcolor
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.film_marks import Grip
from gradecut.drawing import ON_FILM, Words, mark_at
from gradecut.records import Mark
from gradecut.timebase import Pts

__all__ = ["StageHand"]

_REACH_PX = 11.0
"""How near the pointer must come to a point of the chosen mark, in pixels of the window."""
_POINT_PX, _HELD_PX, _MIDDLE_PX = 4.5, 6.0, 3.5
_MANY = 8
"""A mark with more points than this shows those between its ends small."""
_CROSS_PX, _GAP_PX = 13.0, 4.0
_CORNER_PX, _AROUND_PX = 8.0, 5.0
"""Corners around a mark that has no points of its own: how long, and how far from it."""
_KEY_PX = 3.6
_TRAIL_STEPS = 6
"""Points of the way painted between two keys."""


class _FilmShown(Protocol):
    """What the hand needs of the stage it lies on."""

    field: QLineEdit
    view: FilmView

    @property
    def zoom(self) -> float: ...
    def fit(self) -> None: ...
    def pan(self, before: QPointF, after: QPointF) -> None: ...
    def film_point(self, at: QPointF) -> tuple[float, float]: ...
    def on_screen(self, point: tuple[float, float]) -> QPointF: ...
    def setCursor(self, a0: QCursor | Qt.CursorShape) -> None: ...


class StageHand:
    """Turns what the mouse does on the stage into acts on the film's marks.

    Parameters
    ----------
    stage : Stage
        Where it lies; its widget sends it the mouse.
    desk : FilmDesk
    """

    def __init__(self, stage: _FilmShown, desk: FilmDesk) -> None:
        self._stage = stage
        self._playhead = desk.playhead
        self._marks = desk.marks
        self._pan_from: QPointF | None = None
        self._drawing = False
        self._steps = QTimer()
        self._steps.setTimerType(Qt.TimerType.PreciseTimer)
        self._steps.timeout.connect(self._step)

    # ------------------------------------------------------------------ painted on the film

    def paint(self, painter: QPainter) -> None:
        """Paint what the chosen mark is held by, the way it goes, and the keyboard's point."""
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        mark = self._marks.held
        if mark is not None and mark.keys and self._marks.there is not None:
            self._paint_way(painter, mark)
        there = self._marks.there
        if there is not None and not self._marks.chosen_points():
            self._paint_corners(painter, there)
        self._paint_points(painter)
        if self._marks.pointing.at is not None:
            self._paint_cross(painter, self._stage.on_screen(self._marks.pointing.at))

    def _paint_points(self, painter: QPainter) -> None:
        """Put a small circle on each point of the chosen mark; the one in hand is filled."""
        points = [self._stage.on_screen(point) for point in self._marks.chosen_points()]
        many = len(points) > _MANY
        for place, at in enumerate(points):
            held = place == self._marks.handle
            between = many and 0 < place < len(points) - 1
            reach = _HELD_PX if held else _MIDDLE_PX if between else _POINT_PX
            fill = as_qcolor(ON_FILM.accent) if held else as_qcolor(ON_FILM.ground)
            fill.setAlphaF(1.0 if held else 0.3)
            self._circle(painter, at, reach, fill)

    def _paint_corners(self, painter: QPainter, mark: Mark) -> None:
        """Put four corners around a chosen mark that is only moved as a whole."""
        film = self._playhead.film
        if film is None:
            return
        shapes = self._marks.on_film.shapes((mark,), film, self._stage.view.mark_size)
        held = QRectF()
        for shape in shapes:
            if not isinstance(shape, Words):
                left, top, wide, high = shape.bounds_px
                at = self._stage.on_screen((left, top))
                held |= QRectF(at, self._stage.on_screen((left + wide, top + high)))
        held.adjust(-_AROUND_PX, -_AROUND_PX, _AROUND_PX, _AROUND_PX)
        arm = min(_CORNER_PX, held.width() / 3, held.height() / 3)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for colour, width in ((ON_FILM.ground, 3.4), (ON_FILM.accent, 1.6)):
            painter.setPen(QPen(as_qcolor(colour), width))
            for corner, across, down in (
                (held.topLeft(), arm, arm), (held.topRight(), -arm, arm),
                (held.bottomLeft(), arm, -arm), (held.bottomRight(), -arm, -arm),
            ):  # fmt: skip
                ends = (corner + QPointF(across, 0), corner, corner + QPointF(0, down))
                painter.drawPolyline(QPolygonF(ends))

    def _circle(self, painter: QPainter, at: QPointF, reach: float, fill: QColor) -> None:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.setPen(QPen(as_qcolor(ON_FILM.ground), 3.4))
        painter.drawEllipse(at, reach, reach)
        painter.setBrush(fill)
        painter.setPen(QPen(as_qcolor(ON_FILM.accent), 1.6))
        painter.drawEllipse(at, reach, reach)

    def _paint_way(self, painter: QPainter, mark: Mark) -> None:
        """Paint the way of a mark that goes along, a diamond where it was set by hand."""
        keys = mark.keys
        times = [
            Pts(round(one.pts + (two.pts - one.pts) * step / _TRAIL_STEPS))
            for one, two in pairwise(keys)
            for step in range(_TRAIL_STEPS)
        ]
        way = self._places(mark, [*times, keys[-1].pts])
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for colour, width in ((ON_FILM.ground, 3.0), (ON_FILM.accent, 1.2)):
            painter.setPen(QPen(as_qcolor(colour), width))
            painter.drawPolyline(QPolygonF(way))
        painter.setPen(QPen(as_qcolor(ON_FILM.ground), 1.2))
        painter.setBrush(as_qcolor(ON_FILM.accent))
        for at in self._places(mark, [key.pts for key in keys]):
            ways = ((0, -_KEY_PX), (_KEY_PX, 0), (0, _KEY_PX), (-_KEY_PX, 0))
            painter.drawPolygon(QPolygonF([at + QPointF(*way) for way in ways]))

    def _places(self, mark: Mark, times: Sequence[Pts]) -> list[QPointF]:
        """Return where a mark's first point is on the screen at timestamps."""
        return [self._stage.on_screen(mark_at(mark, pts).points[0]) for pts in times]

    def _paint_cross(self, painter: QPainter, at: QPointF) -> None:
        """Paint the point that keys move: a cross that leaves its middle free."""
        for colour, width in ((ON_FILM.ground, 4.0), (ON_FILM.accent, 1.8)):
            painter.setPen(QPen(as_qcolor(colour), width))
            for way in (QPointF(1, 0), QPointF(-1, 0), QPointF(0, 1), QPointF(0, -1)):
                painter.drawLine(at + way * _GAP_PX, at + way * _CROSS_PX)

    # ------------------------------------------------------------------ the mouse

    def double_click(self, event: QMouseEvent) -> None:
        """Write on the mark under the pointer; elsewhere show the whole film again."""
        if self._marks.tool is not None:
            return
        if self._grip(event) is not None and self._marks.held is not None:
            self._drawing = False
            self._marks.ask_words()
        else:
            self._stage.fit()

    def press(self, event: QMouseEvent) -> None:
        """Begin to draw, take hold of a mark, or of the film."""
        if event.button() == Qt.MouseButton.LeftButton and not self._marks.path.on:
            tool = self._marks.tool
            at = self._stage.film_point(event.position())
            self._marks.press(at, reach_px=self._reach(event.position()))
            self._drawing = tool is not None or bool(self._marks.chosen)
        if not self._drawing:
            self._pan_from = event.position()
        self._show_cursor(None)

    def move(self, event: QMouseEvent) -> None:
        """Draw, move a mark, follow a man, or pan."""
        at = self._stage.film_point(event.position())
        self._marks.pointer = at
        if self._marks.path.on:
            self._marks.path.follow(at)
        elif self._drawing and event.buttons() & Qt.MouseButton.LeftButton:
            self._marks.drag(at)
        elif self._pan_from is not None and event.buttons():
            self._stage.pan(self._pan_from, event.position())
            self._pan_from = event.position()
        self._show_cursor(event)

    def release(self, event: QMouseEvent) -> None:
        """Keep what was drawn."""
        if self._drawing and event.button() == Qt.MouseButton.LeftButton:
            self._drawing = False
            if self._stage.field.isHidden():
                self._marks.lift(self._stage.film_point(event.position()))
        self._pan_from = None
        self._show_cursor(event)

    def leave(self) -> None:
        """Take note that the pointer is no longer on the film."""
        if not self._marks.path.on:
            self._marks.pointer = None

    def _reach(self, at: QPointF) -> float:
        """Return how far a touch reaches, in film pixels."""
        x, _ = self._stage.film_point(at)
        beside, _ = self._stage.film_point(at + QPointF(_REACH_PX, 0))
        return beside - x

    def _grip(self, event: QMouseEvent) -> Grip | None:
        at = self._stage.film_point(event.position())
        return self._marks.under(at, reach_px=self._reach(event.position()))

    def _show_cursor(self, event: QMouseEvent | None) -> None:
        self._stage.setCursor(self._cursor(event))

    def _cursor(self, event: QMouseEvent | None) -> Qt.CursorShape:
        if self._marks.tool is not None or self._marks.path.on:
            return Qt.CursorShape.CrossCursor
        if self._pan_from is not None and self._stage.zoom > 1:
            return Qt.CursorShape.ClosedHandCursor
        grip = self._grip(event) if event is not None and not event.buttons() else None
        if grip is None:
            held = self._drawing and bool(self._marks.chosen)
            return Qt.CursorShape.SizeAllCursor if held else Qt.CursorShape.ArrowCursor
        if grip.handle is not None:
            return Qt.CursorShape.PointingHandCursor
        return Qt.CursorShape.SizeAllCursor

    # ------------------------------------------------------------------ a path while film steps

    def follow(self) -> None:
        """Begin to step the film and keep where the pointer is; it ends with ``end_path``."""
        self._marks.path.begin()
        if self._marks.path.on:
            self._steps.start(max(round(1000 * self._marks.path.step_s), 1))
            self._show_cursor(None)

    def _step(self) -> None:
        self._marks.path.step()
        if not self._marks.path.on:
            self._steps.stop()
            self._show_cursor(None)

    def end_path(self) -> None:
        """Store what was followed; nothing where nobody follows."""
        if not self._marks.path.on:
            return
        self._steps.stop()
        self._marks.path.end()
        self._show_cursor(None)
