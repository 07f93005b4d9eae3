"""A path drawn while the film steps: the pointer follows him, frame by frame."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from gradecut.desk.mark_keys import few_keys, with_keys
from gradecut.desk.mark_shape import Point, thinned
from gradecut.drawing import moved_by_px
from gradecut.records import Mark, MarkKey
from gradecut.timebase import Pts

if TYPE_CHECKING:
    from gradecut.desk.film_marks import FilmMarks

__all__ = ["PathDrawing"]

_SPEED = Fraction(1, 4)
"""As fast as a hand can follow; slower where the film is set to go slower."""
_FULL = 720.0
_WAY_PX, _KEYS_PX = 1.5, 2.5
"""How far a path, and a mark set frame by frame, may be from the hand once points are left out."""


class PathDrawing:
    """While a key is held the film steps, and where the pointer is on each frame is kept.

    It draws the path of the man in hand; with a mark chosen that goes along with a man it sets
    that mark's keys instead.

    Attributes
    ----------
    on : bool
        Whether it is drawing.
    """

    def __init__(self, marks: FilmMarks) -> None:
        self._marks = marks
        self.on = False
        self._way: list[tuple[Pts, Point]] = []
        self._along: Mark | None = None

    @property
    def step_s(self) -> float:
        """How long each frame stays, in seconds."""
        place, head = self._marks.playhead.place, self._marks.playhead
        length = place.length_of(head.frame) if place else Fraction(1, 30)
        return float(length / min(head.speed, _SPEED))

    def begin(self) -> None:
        """Begin where the pointer is, on the frame on stage."""
        marks, head = self._marks, self._marks.playhead
        if self.on or head.place is None or head.picture is None:
            return
        if marks.pointer is None:
            marks.say("Put the pointer on his feet first; then hold ; and follow him.")
            return
        marks.pointing.settle()
        head.pause()
        head.stand()
        if head.frame >= head.last:
            marks.say("The film stands at its end: go back to where his path begins.")
            return
        mark = marks.held
        goes_along = mark is not None and mark.keys and mark.angle_id == head.place.angle.id
        self._along = mark if goes_along else None
        if self._along is None:
            marks.take("path")
        self.on, self._way = True, []
        self._keep_point()

    def follow(self, at: Point) -> None:
        """Take note that the pointer is elsewhere."""
        self._marks.pointer = at
        if self.on and self._way:
            self._way[-1] = (self._way[-1][0], at)
            self._show()

    def step(self) -> None:
        """Go on to the next frame, once this one's picture has come; at the end, end."""
        head = self._marks.playhead
        if not self.on or head.shown != head.frame:
            return
        if head.frame >= head.last:
            self.end()
            return
        head.step(1)
        self._keep_point()

    def _keep_point(self) -> None:
        marks = self._marks
        if marks.pointer is not None:
            self._way.append((marks.playhead.pts(), marks.pointer))
            self._show()

    def _show(self) -> None:
        marks = self._marks
        if self._along is None:
            marks.draft = [at for _, at in self._way]
        else:
            marks.pending = with_keys(self._along, self._keys(self._along))
        marks.changed.emit()

    def _keys(self, mark: Mark) -> list[MarkKey]:
        """Return a key for each frame: as far from the first as the pointer went."""
        first_pts, (x0, y0) = self._way[0]
        dx, dy = moved_by_px(mark.keys, first_pts)
        return [MarkKey(pts=pts, by=(dx + x - x0, dy + y - y0)) for pts, (x, y) in self._way]

    def end(self) -> None:
        """Store what was drawn: a path from its first frame to half a second after its last."""
        if not self.on:
            return
        self.on = False
        marks, way, along = self._marks, self._way, self._along
        unit = marks.height_px / _FULL
        marks.playhead.rest()
        marks.pending, self._way, self._along = None, [], None
        if along is not None and len(way) > 1:
            self._way = way
            keys = few_keys(self._keys(along), _KEYS_PX * unit)
            self._way = []
            marks.store(with_keys(along, keys), doing="go along with the")
        elif along is None:
            self._store_path(way, unit)
        marks.changed.emit()

    def _store_path(self, way: list[tuple[Pts, Point]], unit: float) -> None:
        marks = self._marks
        points = thinned([at for _, at in way], _WAY_PX * unit)
        made = marks.made("path", points) if len(set(points)) > 1 else None
        meaning = marks.means
        marks.tool, marks.draft, marks.meaning, marks.colour = None, [], None, ""
        if made is None:
            marks.say("Hold ; while the film steps, and follow him with the pointer.")
            return
        stored = marks.store_drawn(replace(made, from_pts=way[0][0], meaning=meaning))
        marks.chosen, marks.handle = stored.id if stored else "", None

    def give_up(self) -> None:
        """Draw no further; nothing is stored."""
        self.on, self._way, self._along = False, [], None
