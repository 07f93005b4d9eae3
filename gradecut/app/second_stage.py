"""The stage, and beside it the second angle at the same moment."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, QRectF, QSize, Qt, QTimer
from PyQt6.QtGui import QMouseEvent, QPainter, QPaintEvent, QResizeEvent, QTransform
from PyQt6.QtWidgets import QBoxLayout, QHBoxLayout, QSizePolicy, QVBoxLayout, QWidget

from gradecut.app.film_image import FilmPicture
from gradecut.app.film_tone import Tones
from gradecut.app.film_view import FilmView
from gradecut.app.labels import line_down
from gradecut.app.marks_over import MarksOver
from gradecut.app.stage import Stage
from gradecut.app.theme import Dress, as_qcolor, font
from gradecut.app.touch_area import Spot, TouchArea, key_cap, set_words, words_width
from gradecut.desk.angle_words import view_words
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.film_place import Readout
from gradecut.desk.second_angle import OPENING
from gradecut.drawing import ON_FILM, Shape
from gradecut.records import Angle

__all__ = ["AngleCaption", "SecondStage", "StagePair"]

_CLEARLY = 1.1
"""Films are set above each other only where they are larger by so much."""
_ANY_PX = 16_777_215
"""No limit, as Qt says it (QWIDGETSIZE_MAX)."""
_CAPTION_PX = 30
_SIDE_PX = 14.0
_PATIENCE_MS = 350
"""So long it stays dark before it says that film is being opened."""


class SecondStage(QWidget):
    """Shows the whole picture of the second angle; a touch takes its film in hand.

    Attributes
    ----------
    dark : bool
        What lies around the film is dark in either theme.
    """

    def __init__(self, desk: FilmDesk, dress: Dress, tone: Tones) -> None:
        super().__init__()
        self._desk = desk
        self._dress = dress
        self._tone = tone
        self._pixels: NDArray[np.uint8] | None = None
        self._shapes: tuple[Shape, ...] = ()
        self._film = FilmPicture()
        self._marks = MarksOver()
        self._view = FilmView()
        self.dark = False
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setToolTip("Let keys and marks go to this film (A)")
        self._patience = QTimer(self)
        self._patience.setSingleShot(True)
        self._patience.setInterval(_PATIENCE_MS)
        self._patience.timeout.connect(self.update)
        dress.changed.connect(self.update)

    def sizeHint(self) -> QSize:
        """Ask for the usual shape of film."""
        return QSize(960, 540)

    def show_picture(self) -> None:
        """Take over the newest picture and its marks."""
        second = self._desk.second
        pixels = second.picture
        if pixels is None and (self._pixels is not None or not self.isVisible()):
            self._patience.start()
        self._pixels = pixels
        self._take_shapes()
        name = second.place.angle.name if second.place else ""
        self.setAccessibleName(f"Second angle: {name} film")
        self.setAccessibleDescription(second.words())
        self.update()

    def _take_shapes(self) -> None:
        second = self._desk.second
        self.on_screen()
        size = self._view.mark_size
        self._shapes = self._desk.marks.shapes_beside(second.place, second.shown, size)

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Keep marks readable."""
        super().resizeEvent(event)
        self._take_shapes()

    def on_screen(self) -> QTransform:
        """Return the way from the film's pixels to the widget's."""
        place = self._desk.second.place
        size = (float(place.film.width), float(place.film.height)) if place else (16.0, 9.0)
        room = (float(max(self.width(), 1)), float(max(self.height(), 1)))
        self._view.lay(size, room, self.devicePixelRatioF())
        return self._view.on_screen()

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint the film, or why there is none and what to do."""
        painter = QPainter(self)
        ground = ON_FILM.ground if self.dark else self._dress.theme.sunk
        painter.fillRect(self.rect(), as_qcolor(ground))
        place = self._desk.second.place
        if self._pixels is not None and place is not None:
            self.on_screen()
            self._film.paint(painter, self._pixels, self._view, self._tone.of(place.angle.name))
            self._marks.paint(painter, self._shapes, self._view)
        elif self._desk.second.fault or not self._patience.isActive():
            quiet = ON_FILM.quiet if self.dark else self._dress.theme.quiet
            painter.setPen(as_qcolor(quiet))
            painter.setFont(font("lead"))
            flags = int(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap)
            rect = QRectF(self.rect()).adjusted(40, 0, -40, -30)
            painter.drawText(rect, flags, self._desk.second.fault or OPENING)
        painter.end()

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Take its film in hand."""
        if event is not None and event.button() == Qt.MouseButton.LeftButton:
            self._desk.other_angle()


class AngleCaption(TouchArea):
    """Names one of two angles; that keys go to is told apart, the other tells its own frame."""

    def __init__(self, desk: FilmDesk, dress: Dress, *, in_hand: bool) -> None:
        super().__init__(dress)
        self._desk = desk
        self._in_hand = in_hand
        self.setFixedHeight(_CAPTION_PX)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)

    def show_place(self) -> None:
        """Take over where its film stands."""
        angle, told, rough = self._told()
        if angle is not None:
            hand = "keys and marks go here" if self._in_hand else "A lets keys and marks go here"
            self.setAccessibleName(f"{view_words(angle.name)}, {hand}")
        words = told.words if told is not None else "no picture"
        self.setAccessibleDescription(f"{words}{', quick copy' if rough else ''}")
        self.update()

    def _told(self) -> tuple[Angle | None, Readout | None, bool]:
        head, second = self._desk.playhead, self._desk.second
        if self._in_hand:
            return head.angle, head.readout(), head.rough
        return second.place.angle if second.place else None, second.readout(), second.rough

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Paint the name at the left, the other film's readout at the right.

        Where the film in hand stands is told below it, at the left.
        """
        self.spots = []
        painter = self.painter()
        theme = self.theme
        painter.fillRect(self.rect(), as_qcolor(theme.sunk))
        angle, told, rough = self._told()
        x = _SIDE_PX
        if self._in_hand:
            painter.fillRect(QRectF(0, 0, self.width(), 2), as_qcolor(theme.drawn.accent))
        if angle is not None:
            ink = theme.ink if self._in_hand else theme.quiet
            rect = QRectF(x, 0, 150, _CAPTION_PX)
            x += set_words(painter, rect, view_words(angle.name), ink, weight=600) + 10
        if self._in_hand:
            rect = QRectF(x, 0, 90, _CAPTION_PX)
            x += set_words(painter, rect, "keys go here", theme.drawn.accent_text, size="small")
        elif angle is not None:
            x += key_cap(painter, QPointF(x, _CAPTION_PX / 2), "A", theme)
        if told is not None and not self._in_hand:
            words = f"rough · {told.words}" if rough else told.words
            rect = QRectF(x + 10, 0, max(self.width() - x - 10 - _SIDE_PX, 1), _CAPTION_PX)
            shorter = (words, told.words, *_shorter(told.words))
            fits = (
                one for one in shorter if words_width(painter, one, size="small") <= rect.width()
            )
            set_words(painter, rect, next(fits, shorter[-1]), theme.quiet, size="small",
                      anchor="right")  # fmt: skip
        if not self._in_hand:
            tip = "let keys and marks go to this film (A)"
            self.spots.append(Spot(QRectF(self.rect()), self._desk.other_angle, tip))
        painter.end()


def _shorter(words: str) -> tuple[str, ...]:
    """Return where the film stands without its doubt, then without the time, then the frame."""
    plain = words.partition(" ± ")[0]
    parts = plain.split(" · ")
    return (plain, " · ".join(parts[:2]), parts[0])


class StagePair(QWidget):
    """The stage alone, or with the second angle beside it or below, each camera in its place."""

    def __init__(self, desk: FilmDesk, dress: Dress, stage: Stage) -> None:
        super().__init__()
        self._desk = desk
        self.stage = stage
        self.second = SecondStage(desk, dress, stage.tone)
        self.captions = (
            AngleCaption(desk, dress, in_hand=True),
            AngleCaption(desk, dress, in_hand=False),
        )
        self._line = line_down()
        self._columns = (_column(self.captions[0], stage), _column(self.captions[1], self.second))
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(0)
        for part in (self._columns[0], self._line, self._columns[1]):
            self._row.addWidget(part)
        self._row.setStretch(0, 1)
        self._row.setStretch(2, 1)
        desk.second.changed.connect(self.show_second)
        desk.marks.changed.connect(self._show_marks)
        desk.playhead.moved.connect(self._show_place)
        desk.playhead.pictured.connect(self._show_place)
        self.show_second()

    def show_second(self) -> None:
        """Show one angle or two, and the newest picture of the second."""
        on = self._desk.second.on
        if self._columns[1].isHidden() == on:
            for part in (self._line, self._columns[1], self.captions[0]):
                part.setVisible(on)
        if on:
            self._set_direction()
            self._keep_places()
            self.second.show_picture()
            self._show_place()

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Set the films above each other where that shows them clearly larger."""
        super().resizeEvent(event)
        self._set_direction()

    def _set_direction(self) -> None:
        film = self._desk.playhead.film
        if film is None:
            return
        wide, high = float(self.width()), float(self.height())
        beside = min(wide / 2 / film.width, (high - _CAPTION_PX) / film.height)
        above = min(wide / film.width, (high / 2 - _CAPTION_PX) / film.height)
        ways = QBoxLayout.Direction
        way = ways.TopToBottom if above > _CLEARLY * beside else ways.LeftToRight
        if way != self._row.direction():
            self._row.setDirection(way)
            across = way == ways.TopToBottom
            self._line.setMaximumSize(*((_ANY_PX, 1) if across else (1, _ANY_PX)))
            self._line.setMinimumSize(*((0, 1) if across else (1, 0)))

    def _show_marks(self) -> None:
        if self._desk.second.on:
            self.second.show_picture()

    def _show_place(self) -> None:
        if self._desk.second.on:
            for caption in self.captions:
                caption.show_place()

    def _keep_places(self) -> None:
        """Leave each camera on its side, whichever of the two is in hand."""
        state, angle, place = self._desk.state, self._desk.playhead.angle, self._desk.second.place
        if state is None or angle is None or place is None:
            return
        order = [one.id for one in state.timeline.angles]
        first, second = self._columns
        if order.index(angle.id) > order.index(place.angle.id):
            first, second = second, first
        if self._row.indexOf(first) != 0:
            for part in (first, self._line, second):
                self._row.removeWidget(part)
            for part in (first, self._line, second):
                self._row.addWidget(part, 0 if part is self._line else 1)
            self._row.setStretch(0, 1)
            self._row.setStretch(1, 0)
            self._row.setStretch(2, 1)


def _column(caption: AngleCaption, stage: QWidget) -> QWidget:
    made = QWidget()
    column = QVBoxLayout(made)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    column.addWidget(caption)
    column.addWidget(stage, 1)
    return made
