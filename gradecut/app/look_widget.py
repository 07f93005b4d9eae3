"""The picture of the look, where he grades by touching a man and a gap."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import QEvent, QPointF, QSize, Qt
from PyQt6.QtGui import QFocusEvent, QHelpEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent
from PyQt6.QtWidgets import QToolTip

from gradecut.app.look_keys import LookKeys
from gradecut.app.painted import PaintedList
from gradecut.app.theme import Dress
from gradecut.desk.film_desk import FilmDesk
from gradecut.drawing import DrawnLook, Place, Shape, look_shapes, look_words
from gradecut.records.picture import LookPicture

__all__ = ["LookWidget"]


class LookWidget(PaintedList):
    """Shows the look from above; a man, a gap and a fact each take a touch.

    A touch on a man takes him in hand, on a gap says he fitted it, on a fact turns it over.

    Attributes
    ----------
    drawn : DrawnLook or None
        What was painted last, with its places; None without a play.
    title_px : int
        Height of the title that stands over its top.
    keys : LookKeys
        The same by keyboard, while the picture has the focus.
    """

    def __init__(self, desk: FilmDesk, dress: Dress) -> None:
        super().__init__(self._draw_look)
        self._desk = desk
        self._dress = dress
        self.drawn: DrawnLook | None = None
        self._painted: LookPicture | None = None
        self.title_px = 0
        self.keys = LookKeys(self, desk.on_picture, dress)
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.setAccessibleName("Picture of the look")
        dress.changed.connect(self.renew)

    def show_look(self) -> None:
        """Paint anew where the picture is another one, and say the same in words."""
        if self._painted is None or self._painted != self._desk.picture():
            self.renew()
        self.say_look()

    def say_look(self) -> None:
        """Say what the picture shows, after the place the keyboard stands on."""
        picture = self._desk.picture()
        told = look_words(picture) if picture else "No play yet."
        here = self.keys.words()
        self.setAccessibleDescription(f"{here}. {told}" if here else told)

    def minimumSizeHint(self) -> QSize:
        """Stay readable in a low window."""
        return QSize(300, 190)

    def sizeHint(self) -> QSize:
        """Ask for no more than it can be read at: it is given all room that others leave."""
        return self.minimumSizeHint()

    def ready(self) -> DrawnLook | None:
        """Return the places as they are now, drawing them where something changed."""
        self._ready_image()
        return self.drawn

    def do(self, place: Place) -> None:
        """Do what a touch on a place does."""
        on = self._desk.on_picture
        if place.kind == "man":
            on.take(place.name)
        elif place.kind == "fact":
            on.turn_over(place.name)
        elif place.side is not None:
            on.fit(place.name, place.side)

    def _draw_look(self, width: float, height: float) -> Sequence[Shape]:
        picture = self._painted = self._desk.picture()
        if picture is None:
            self.drawn = None
            return ()
        palette = self._dress.theme.drawn
        self.drawn = look_shapes(
            picture, size_px=(width, height), palette=palette, title_px=self.title_px
        )
        return self.drawn.shapes

    def paintEvent(self, event: QPaintEvent | None) -> None:
        """Show the picture, with a ring around the place the keyboard stands on."""
        super().paintEvent(event)
        if self.keys.on:
            painter = QPainter(self)
            painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            self.keys.paint(painter)
            painter.end()

    # ------------------------------------------------------------------ by pointing

    def _place_at(self, at: QPointF) -> Place | None:
        return self.drawn.place_at((at.x(), at.y())) if self.drawn else None

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Do what a place does, or ask for the facts where they are told in words."""
        if event is None or self.drawn is None or event.button() != Qt.MouseButton.LeftButton:
            return
        self.keys.leave()
        place = self._place_at(event.position())
        if place is not None:
            self.do(place)
        elif self.drawn.in_key((event.position().x(), event.position().y())):
            self._desk.hand.open_facts()

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Show what can be touched."""
        if event is None or self.drawn is None:
            return
        at = event.position()
        place = self._place_at(at)
        if place is None:
            there = self.drawn.in_key((at.x(), at.y()))
        else:
            there = place.kind != "gap" or bool(self._desk.hand.position)
        shape = Qt.CursorShape.PointingHandCursor if there else Qt.CursorShape.ArrowCursor
        self.setCursor(shape)

    # ------------------------------------------------------------------ by keyboard

    def event(self, event: QEvent | None) -> bool:
        """Keep the keys of the picture while it is gone over by them; say what a fact is."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.ShortcutOverride:
            if self.keys.takes(event):
                event.accept()
                return True
        elif isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            place = self._place_at(QPointF(event.pos()))
            told = self._desk.on_picture.tip_of(place) if place else ""
            QToolTip.showText(event.globalPos(), told, self)
            return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Go over the places, or do what the one stood on does."""
        if event is None or not self.keys.press(event):
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent | None) -> None:
        """Let the keys go with the focus."""
        super().focusOutEvent(event)
        self.keys.leave(give_back=False)
