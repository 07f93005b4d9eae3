"""The hand on the stage: it draws, takes hold of marks, or moves the film."""

from __future__ import annotations

from typing import Protocol

from PyQt6.QtCore import QPointF, Qt
from PyQt6.QtGui import QCursor, QMouseEvent, QPainter, QPen
from PyQt6.QtWidgets import QLineEdit

from gradecut.app.theme import as_qcolor
from gradecut.desk.film_desk import FilmDesk
from gradecut.drawing import ON_FILM

__all__ = ["StageHand"]

_MOST_HANDLES = 4


class _FilmShown(Protocol):
    """What the hand needs of the stage it lies on."""

    field: QLineEdit

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
        self._marks = desk.marks
        self._pan_from: QPointF | None = None
        self._drawing = False

    def paint(self, painter: QPainter) -> None:
        """Put a small circle on the points of the chosen mark."""
        points = self._marks.chosen_points()
        if not points:
            return
        there = [self._stage.on_screen(point) for point in points]
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        for colour, width in ((ON_FILM.ground, 3.4), (ON_FILM.accent, 1.6)):
            painter.setPen(QPen(as_qcolor(colour), width))
            for at in there if len(there) <= _MOST_HANDLES else (there[0], there[-1]):
                painter.drawEllipse(at, 6, 6)

    def double_click(self) -> None:
        """Show the whole film again."""
        if self._marks.tool is None:
            self._stage.fit()

    def press(self, event: QMouseEvent) -> None:
        """Begin to draw, take hold of a mark, or of the film."""
        if event.button() == Qt.MouseButton.LeftButton:
            tool = self._marks.tool
            self._marks.press(self._stage.film_point(event.position()))
            self._drawing = tool is not None or bool(self._marks.chosen)
        if not self._drawing:
            self._pan_from = event.position()
        self._show_cursor()

    def move(self, event: QMouseEvent) -> None:
        """Draw, move a mark or pan."""
        if self._drawing and event.buttons() & Qt.MouseButton.LeftButton:
            self._marks.drag(self._stage.film_point(event.position()))
        elif self._pan_from is not None and event.buttons():
            self._stage.pan(self._pan_from, event.position())
            self._pan_from = event.position()
        self._show_cursor()

    def release(self, event: QMouseEvent) -> None:
        """Keep what was drawn."""
        if self._drawing and event.button() == Qt.MouseButton.LeftButton:
            self._drawing = False
            if self._stage.field.isHidden():
                self._marks.lift(self._stage.film_point(event.position()))
        self._pan_from = None
        self._show_cursor()

    def _show_cursor(self) -> None:
        if self._marks.tool is not None:
            self._stage.setCursor(Qt.CursorShape.CrossCursor)
        elif self._pan_from is not None and self._stage.zoom > 1:
            self._stage.setCursor(Qt.CursorShape.ClosedHandCursor)
        else:
            self._stage.setCursor(Qt.CursorShape.ArrowCursor)
