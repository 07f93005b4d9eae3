"""The picture of the look by keyboard: arrows go over men, gaps and facts, Enter touches one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QKeyEvent, QPainter, QPen

from gradecut.app.theme import Dress, as_qcolor
from gradecut.desk.on_picture import OnPicture
from gradecut.drawing import Place, Rect

if TYPE_CHECKING:
    from gradecut.app.look_widget import LookWidget

__all__ = ["LookKeys", "next_place"]

_WAYS: dict[int, tuple[int, int]] = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_PLAIN = (Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.KeypadModifier)
_ASIDE = 2.5
"""A place straight ahead comes before one as near that lies aside."""
_WIDEST = 2.0
"""What lies farther aside than so many times ahead is not in that direction."""


class LookKeys:
    """Stands on one place of the picture, goes on to others, and touches them.

    Attributes
    ----------
    on : bool
        Whether the keyboard is in the picture.
    here : Place or None
        Where it stands.
    """

    def __init__(self, widget: LookWidget, desk: OnPicture, dress: Dress) -> None:
        self._widget = widget
        self._desk = desk
        self._dress = dress
        self.on = False
        self.here: Place | None = None

    def turn(self) -> None:
        """Go into the picture, or leave it."""
        if self.on:
            self.leave()
            return
        places = self._places()
        if not places:
            self._desk.say_empty()
            return
        self.on = True
        if self.here not in places:
            self.here = self._first(places)
        self._widget.setFocus(Qt.FocusReason.ShortcutFocusReason)
        self._tell()

    def leave(self, *, give_back: bool = True) -> None:
        """Let the page have its keys again."""
        if not self.on:
            return
        self.on = False
        self._widget.update()
        self._widget.say_look()
        page = self._widget.parentWidget()
        while page is not None and page.focusPolicy() != Qt.FocusPolicy.StrongFocus:
            page = page.parentWidget()
        if give_back and page is not None:
            page.setFocus()

    def takes(self, event: QKeyEvent) -> bool:
        """Tell whether a key is the picture's now, and not an action's of the page."""
        if not self.on or event.modifiers() not in _PLAIN:
            return False
        return event.key() in (*_WAYS, *_ENTER, Qt.Key.Key_Escape)

    def press(self, event: QKeyEvent) -> bool:
        """Do what a key says; tell whether it was one of the picture's."""
        if not self.takes(event):
            return False
        places = self._places()
        if event.key() == Qt.Key.Key_Escape or not places:
            self.leave()
        elif event.key() in _ENTER:
            if self.here in places and self.here is not None:
                self._widget.do(self.here)
                self._tell()
        else:
            known = self.here is not None and self.here in places
            here = self.here if known and self.here is not None else self._first(places)
            self.here = next_place(places, here, _WAYS[event.key()]) if known else here
            self._tell()
        return True

    def words(self) -> str:
        """Say where the keyboard stands and what Enter does there; empty while it is elsewhere."""
        return self._desk.words_of(self.here) if self.on and self.here is not None else ""

    def paint(self, painter: QPainter) -> None:
        """Ring the place stood on, in the accent between two lines of ground."""
        rect = self._places().get(self.here) if self.here else None
        if rect is None:
            return
        theme = self._dress.theme
        box = QRectF(*rect).adjusted(1.5, 1.5, -1.5, -1.5)
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for colour, width in ((theme.ground, 5.0), (theme.accent, 2.4)):
            painter.setPen(QPen(as_qcolor(colour), width))
            painter.drawRoundedRect(box, 5, 5)

    def _places(self) -> Mapping[Place, Rect]:
        drawn = self._widget.ready()
        return drawn.places if drawn is not None else {}

    def _first(self, places: Mapping[Place, Rect]) -> Place:
        """Return where to begin: the gap the man in hand owes, else the man, else the first."""
        for wanted in self._desk.first_places():
            if wanted in places:
                return wanted
        return next(iter(places))

    def _tell(self) -> None:
        self._widget.update()
        self._widget.say_look()
        self._desk.say_words(self.words())


def next_place(places: Mapping[Place, Rect], here: Place, way: tuple[int, int]) -> Place:
    """Return the nearest place in a direction; the same one where none lies there.

    Parameters
    ----------
    way : (across, down)
        One of them 1 or -1, the other 0.
    """
    start = QRectF(*places[here]).center()
    found: list[tuple[float, Place]] = []
    for place, rect in places.items():
        ahead, aside = _ahead(start, QRectF(*rect).center(), way)
        if ahead > 1 and aside <= _WIDEST * ahead:
            found.append((ahead + _ASIDE * aside, place))
    return min(found, key=lambda one: one[0])[1] if found else here


def _ahead(start: QPointF, goal: QPointF, way: tuple[int, int]) -> tuple[float, float]:
    """Return how far a point lies ahead, and how far aside."""
    dx, dy = goal.x() - start.x(), goal.y() - start.y()
    return dx * way[0] + dy * way[1], abs(dx * way[1]) + abs(dy * way[0])
