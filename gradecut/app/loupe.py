"""The loupe: a part of the film three times as large, where the man in hand is."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import hypot

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, QRectF, QSizeF, Qt
from PyQt6.QtGui import QPainter, QPainterPath, QPen

from gradecut.app.film_image import PartPicture
from gradecut.app.film_plates import paint_plate
from gradecut.app.film_tone import Tone
from gradecut.app.film_view import FilmView
from gradecut.app.theme import as_qcolor
from gradecut.desk.film_desk import FilmDesk
from gradecut.drawing import ON_FILM
from gradecut.records import Mark

__all__ = ["Aim", "Look", "Loupe"]

_TIMES, _LEAST_TIMES = 3.0, 1.5
"""Of the whole film on the stage, and of film that is zoomed already."""
_SHARE, _LEAST_PX, _MOST_PX = 0.44, 190.0, 460.0
_WIDE = 1.25
_EDGE_PX = 14.0
_CORNER_PX = 12.0
_APART_PX = 36.0
"""So far from what it shows it likes to lie, that a man's name stays free."""
_FEET_AT = 0.74
"""How far down in it a man's feet are."""


@dataclass(frozen=True, slots=True)
class Aim:
    """What the loupe is on.

    Attributes
    ----------
    at : QPointF
        In film pixels.
    what : str
        As it is told: a man, or "pointer".
    his : bool
        It is on a man's feet.
    """

    at: QPointF
    what: str
    his: bool = False


@dataclass(frozen=True, slots=True)
class Look:
    """What it shows and where.

    Attributes
    ----------
    part : QRectF
        In film pixels.
    shown, place : QRectF
        Where that part lies on the stage, and where the loupe does.
    corner : (bool, bool)
        Whether it lies at the right, and below.
    times : float
        How much larger it shows the film than the stage does.
    """

    aim: Aim
    part: QRectF
    shown: QRectF
    place: QRectF
    corner: tuple[bool, bool]
    times: float

    def meets(self, others: Sequence[QRectF]) -> bool:
        """Tell whether it comes near what it shows, or over anything else."""
        apart = self.shown.adjusted(-_APART_PX, -_APART_PX, _APART_PX, _APART_PX)
        return any(self.place.intersects(other) for other in (apart, *others))


class Loupe:
    """Follows the man in hand by what is drawn around him, else the pointer.

    It lies in a corner of the stage, and goes to another when the man comes under it.

    Attributes
    ----------
    on : bool
        It is shown.

    Parameters
    ----------
    desk : FilmDesk
    show : callable
        Paints anew.
    """

    def __init__(self, desk: FilmDesk, show: Callable[[], object]) -> None:
        self._desk = desk
        self._show = show
        self._picture = PartPicture()
        self._last = (True, False), QSizeF()
        self.on = False

    def turn(self) -> None:
        """Show it, or put it away."""
        self.on = not self.on
        man = self._desk.hand.man
        if self.on and man is not None and self._mark() is None:
            self._desk.say(
                f"The loupe goes with the pointer; put a bracket on {man.who} (M, 1) and it "
                "goes with him."
            )
        self._show()

    def aim(self, pointer: QPointF | None, view: FilmView) -> Aim:
        """Return what it is on: his mark on this frame, the pointer, or the stage's middle.

        While something is drawn it is on the point that is about to be set.

        Parameters
        ----------
        pointer : QPointF or None
            Where it is on the stage; None while it is elsewhere.
        """
        man, mark, marks = self._desk.hand.man, self._mark(), self._desk.marks
        if marks.pointing.at is not None:
            return Aim(QPointF(*marks.pointing.at), "next point")
        drawing = marks.tool is not None and pointer is not None
        if man is not None and mark is not None and not drawing:
            return Aim(_middle(mark), man.who, his=True)
        if pointer is None:
            middle = QPointF(view.room.width() / 2, view.room.height() / 2)
            return Aim(view.film_point(middle), "middle")
        return Aim(view.film_point(pointer), "pointer")

    def words(self) -> str:
        """Say what it is on; empty while it is not shown."""
        if not self.on:
            return ""
        man = self._desk.hand.man
        on = man.who if man is not None and self._mark() is not None else "the pointer"
        return f"Loupe on {on}."

    def place(self, view: FilmView, aim: Aim, avoid: Sequence[QRectF] = ()) -> Look:
        """Return what it shows and where it lies: as it lay, unless that covers something.

        Else it lies farthest from what it shows and from what is drawn of him.

        Parameters
        ----------
        avoid : sequence of QRectF
            What else stands on the stage.
        """
        scale = max(view.scale * _TIMES / view.zoom, view.scale * _LEAST_TIMES)
        looks = [
            Look(aim, part, view.on_screen().mapRect(part), _in_corner(view, size, corner),
                 corner, scale / view.scale)
            for size in _sizes(view)
            for part in (_part(aim, view, size, scale),)
            for corner in self._corners()
        ]  # fmt: skip
        drawn = [view.on_screen().map(QPointF(*at)) for at in self._drawn()]
        around = [QRectF(at.x() - _APART_PX, at.y() - _APART_PX, 2 * _APART_PX, 2 * _APART_PX)
                  for at in drawn]  # fmt: skip
        clear = [look for look in looks if not look.place.intersects(look.shown)]
        free = [look for look in clear if not look.meets((*avoid, *around))]
        same = [look for look in free if (look.corner, look.place.size()) == self._last]
        largest = [look for look in free if look.place.size() == free[0].place.size()]
        far = sorted(largest, key=lambda look: _away(look, drawn), reverse=True)
        chosen = (*same, *far, *clear, *looks)[0]
        self._last = chosen.corner, chosen.place.size()
        return chosen

    def _corners(self) -> list[tuple[bool, bool]]:
        """Return the corners (right, low), the one it lay in last first."""
        right, low = self._last[0]
        sides, ends = (right, not right), (low, not low)
        return [(right, low) for right in sides for low in ends]

    def paint(
        self,
        painter: QPainter,
        pixels: NDArray[np.uint8],
        view: FilmView,
        tone: Tone,
        look: Look,
    ) -> None:
        """Paint it over a view of the film.

        Parameters
        ----------
        pixels : (H, W, 3) uint8 array
            The picture on stage without marks, RGB; stays as it is.
        """
        part, place = look.part, look.place
        image = self._picture.image(pixels, view, part, place.size(), tone)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if not look.aim.his:
            _edge(painter, look.shown, 4, 0.75)
        path = QPainterPath()
        path.addRoundedRect(place, _CORNER_PX, _CORNER_PX)
        painter.setClipPath(path)
        painter.drawImage(place.topLeft(), image)
        painter.setClipping(False)
        _edge(painter, place, _CORNER_PX, 1.0)
        painter.restore()
        told = f"{look.times:.1f}".removesuffix(".0") + "×"
        paint_plate(
            painter, place.bottomLeft() + QPointF(8, -8),
            (look.aim.what, ON_FILM.ink), (told, ON_FILM.quiet),
            most_px=place.width() - 16, rise=True,
        )  # fmt: skip

    def _drawn(self) -> list[tuple[float, float]]:
        """Return the points of what is drawn of the man in hand on this frame."""
        man = self._desk.hand.man
        rep_id = man.rep.id if man and man.rep else None
        seen = self._desk.marks.seen() if rep_id is not None else ()
        return [at for mark in seen if mark.rep_id == rep_id for at in mark.points]

    def _mark(self) -> Mark | None:
        """Return what is drawn around the man in hand on this frame; None for nothing."""
        man = self._desk.hand.man
        rep_id = man.rep.id if man and man.rep else None
        if rep_id is None:
            return None
        his = [mark for mark in self._desk.marks.seen() if mark.rep_id == rep_id]
        brackets = [mark for mark in his if mark.kind == "bracket"]
        following = [mark for mark in his if self._desk.marks.goes_along(mark.id)]
        return next(iter((*brackets, *following)), None)


def _sizes(view: FilmView) -> list[tuple[float, float]]:
    """Return how large it may be, the largest first; smaller where there is little room."""
    high = min(max(view.room.height() * _SHARE, _LEAST_PX), _MOST_PX)
    wide = min(high * _WIDE, view.room.width() * 0.46)
    high = min(high, wide / _WIDE * 1.15)
    return [(wide * share, high * share) for share in (1.0, 0.8, 0.64)]


def _away(look: Look, drawn: Sequence[QPointF]) -> float:
    """Return how far a look's place is from the nearest of what it shows and what is drawn."""
    x, y = look.place.center().x(), look.place.center().y()
    return min(hypot(at.x() - x, at.y() - y) for at in (look.shown.center(), *drawn))


def _middle(mark: Mark) -> QPointF:
    xs, ys = [x for x, _ in mark.points], [y for _, y in mark.points]
    return QPointF((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def _part(aim: Aim, view: FilmView, size: tuple[float, float], scale: float) -> QRectF:
    """Return the part of the film it shows, inside the film where that is large enough."""
    wide, high = size[0] / scale, size[1] / scale
    down = _FEET_AT if aim.his else 0.5
    left, top = aim.at.x() - wide / 2, aim.at.y() - high * down
    return QRectF(
        _kept(left, wide, view.film.width()), _kept(top, high, view.film.height()), wide, high
    )


def _kept(begin: float, length: float, whole: float) -> float:
    """Return where a stretch begins when it is kept inside a whole, or in its middle."""
    if length >= whole:
        return (whole - length) / 2
    return min(max(begin, 0.0), whole - length)


def _in_corner(view: FilmView, size: tuple[float, float], corner: tuple[bool, bool]) -> QRectF:
    right, low = corner
    left = view.room.width() - size[0] - _EDGE_PX if right else _EDGE_PX
    top = view.room.height() - size[1] - _EDGE_PX if low else _EDGE_PX
    return QRectF(round(left), round(top), round(size[0]), round(size[1]))


def _edge(painter: QPainter, rect: QRectF, corner: float, opacity: float) -> None:
    """Paint an edge, light inside dark, so that it stands out from any film."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setOpacity(opacity)
    for colour, width in ((ON_FILM.ground, 4.0), (ON_FILM.ink, 1.5)):
        painter.setPen(QPen(as_qcolor(colour), width))
        painter.drawRoundedRect(rect, corner, corner)
    painter.setOpacity(1.0)
