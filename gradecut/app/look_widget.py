"""The picture of the look, where he grades by touching a man and a gap."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QMouseEvent

from gradecut.app.painted import PaintedList
from gradecut.app.theme import Dress
from gradecut.desk.film_desk import FilmDesk
from gradecut.drawing import DrawnLook, Shape, look_shapes, look_words

__all__ = ["LookWidget"]


class LookWidget(PaintedList):
    """Shows the look from above; a touch on a man takes him in hand, on a gap says he fitted it.

    Attributes
    ----------
    drawn : DrawnLook or None
        What was painted last, with its places; None without a play.
    title_px : int
        Height of the title that stands over its top.
    """

    def __init__(self, desk: FilmDesk, dress: Dress) -> None:
        super().__init__(self._draw_look)
        self._desk = desk
        self._dress = dress
        self.drawn: DrawnLook | None = None
        self.title_px = 0
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        self.setAccessibleName("Picture of the look")
        dress.changed.connect(self.renew)

    def show_look(self) -> None:
        """Paint anew, and say the same in words."""
        picture = self._desk.picture(in_full=True)
        self.setAccessibleDescription(look_words(picture) if picture else "No play yet.")
        self.renew()

    def minimumSizeHint(self) -> QSize:
        """Stay readable in a low window."""
        return QSize(300, 200)

    def _draw_look(self, width: float, height: float) -> Sequence[Shape]:
        picture = self._desk.picture()
        if picture is None:
            self.drawn = None
            return ()
        palette = self._dress.theme.drawn
        self.drawn = look_shapes(
            picture, size_px=(width, height), palette=palette, title_px=self.title_px
        )
        return self.drawn.shapes

    def _man_at(self, at: QPointF) -> str:
        men = self.drawn.men if self.drawn else {}
        return next((name for name, rect in men.items() if QRectF(*rect).contains(at)), "")

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Take a man in hand, record a gap, or ask for the facts told at the bottom."""
        if event is None or self.drawn is None or event.button() != Qt.MouseButton.LeftButton:
            return
        at = event.position()
        position = self._man_at(at)
        if position:
            self._desk.hand.choose(position)
            return
        for (gap, side), rect in self.drawn.gaps.items():
            if QRectF(*rect).contains(at):
                self._desk.hand.touch_gap(gap, side)
                return
        if at.y() > self.height() - self.drawn.key_px:
            self._desk.hand.open_facts()

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Show what can be touched."""
        if event is None or self.drawn is None:
            return
        at = event.position()
        gaps = self.drawn.gaps.values() if self._desk.hand.position else ()
        there = (
            bool(self._man_at(at))
            or any(QRectF(*rect).contains(at) for rect in gaps)
            or at.y() > self.height() - self.drawn.key_px
        )
        shape = Qt.CursorShape.PointingHandCursor if there else Qt.CursorShape.ArrowCursor
        self.setCursor(shape)
