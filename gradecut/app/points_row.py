"""Technique and effort of the man in hand, a row of marks for each item."""

from __future__ import annotations

from functools import partial

from PyQt6.QtCore import QRectF, QSize, Qt
from PyQt6.QtGui import QPainter, QPaintEvent
from PyQt6.QtWidgets import QSizePolicy

from gradecut.app.theme import Dress, as_qcolor
from gradecut.app.touch_area import Spot, TouchArea, set_words
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.judging_desk import EFFORT

__all__ = ["PointsRow"]

_BOX = 21.0
_NOBODY = "Choose a man; then give his technique and effort."


class PointsRow(TouchArea):
    """Shows each item's scale with the mark that was given; a touch gives another."""

    def __init__(self, desk: FilmDesk, dress: Dress) -> None:
        super().__init__(dress)
        self._desk = desk
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setFixedHeight(44)
        self.setAccessibleName("Technique and effort")

    def show_points(self) -> None:
        """Take over the marks of the man in hand."""
        told = [
            f"{item} {given:g}" if given is not None else f"{item} not graded"
            for item, _, given in self._items()
        ]
        man = self._desk.hand.man
        self.setAccessibleName(f"Technique and effort of {man.who}" if man else _NOBODY)
        self.setAccessibleDescription(", ".join(told) if man else "No man in hand.")
        self.update()

    def sizeHint(self) -> QSize:
        """Ask for a line of names over a line of marks."""
        return QSize(300, 44)

    def _items(self) -> list[tuple[str, tuple[float, ...], float | None]]:
        man = self._desk.hand.man
        state = self._desk.state
        if state is None:
            return []
        if man is None and not state.men:
            return []
        rubric = (man or state.men[0]).asked.rubric
        grade = man.grade if man else None
        given = grade.technique if grade else {}
        return [
            *((item, rubric.technique_scale, given.get(item)) for item in rubric.technique),
            (EFFORT, rubric.effort, grade.effort if grade else None),
        ]

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint the items side by side; with nobody in hand, what they wait for."""
        self.spots = []
        painter = self.painter()
        items = self._items()
        if items and self._desk.hand.man is None:
            rect = QRectF(0, 0, self.width(), self.height())
            set_words(painter, rect, _NOBODY, self.theme.quiet, size="small")
            items = []
        step = (self.width() + 8) / max(len(items), 1)
        for place, (item, scale, given) in enumerate(items):
            left = place * step
            name = QRectF(left, 0, step - 8, 18)
            set_words(painter, name, item, self.theme.quiet, size="small")
            box = min(_BOX, (step - 12) / max(len(scale), 1) - 2)
            for number, value in enumerate(scale):
                rect = QRectF(left + number * (box + 2), 20, box, _BOX)
                self._paint_mark(painter, rect, item, value, chosen=given == value)
        painter.end()

    def _paint_mark(
        self, painter: QPainter, rect: QRectF, item: str, value: float, *, chosen: bool
    ) -> None:
        theme = self.theme
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(as_qcolor(theme.pressed if chosen else theme.raised))
        painter.drawRoundedRect(rect, 4, 4)
        if chosen:
            painter.setBrush(as_qcolor(theme.drawn.accent))
            painter.drawRoundedRect(
                QRectF(rect.left() + 4, rect.bottom() - 3, rect.width() - 8, 2), 1, 1
            )
        colour = theme.ink if chosen else theme.quiet
        set_words(
            painter, rect, f"{value:g}", colour, size="small", weight=600 if chosen else 500,
            anchor="centre",
        )  # fmt: skip
        give = partial(self._desk.judging.points, item, value)
        self.spots.append(Spot(rect, give, f"{item}: {value:g}"))
