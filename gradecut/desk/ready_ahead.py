"""What will be asked for soon, told to the frame server before it is: no wait at a turn."""

from __future__ import annotations

from fractions import Fraction

from gradecut.desk.film_place import FilmPlace
from gradecut.film import FrameServer
from gradecut.timebase import Frame

__all__ = ["ReadyAhead"]

_TURN_AHEAD_S = Fraction(1, 2)
"""So long before a loop turns, its beginning is made ready."""


class ReadyAhead:
    """Keeps the clip on stage, the beginning of its loop and the next clip ready."""

    def __init__(self, server: FrameServer) -> None:
        self._server = server
        self._following: FilmPlace | None = None
        self._warmed = False

    def stay_near(self, place: FilmPlace | None, frame: Frame) -> None:
        """Have what lies around a frame on stage made ready."""
        if place is not None and place.path is not None:
            self._server.stay_near(place.path, place.first, place.last, frame)

    def follow_with(self, following: FilmPlace) -> None:
        """Have the first picture of the next clip made ready."""
        self._following = following
        if following.path is not None:
            self._server.prefetch(following.path, following.entry, following.first, following.last)

    def begin(self) -> None:
        """Forget how near the turn of a loop was."""
        self._warmed = False

    def near_turn(self, place: FilmPlace, due: Frame, speed: Fraction) -> None:
        """Have a loop's beginning made ready shortly before it is due."""
        first, last = place.looped
        left_s = (place.time_of(last) - place.time_of(due)) / speed
        if not self._warmed and place.path is not None and left_s < _TURN_AHEAD_S:
            self._warmed = True
            self._server.prefetch(place.path, first, first, last)

    def turned(self) -> None:
        """Have the next clip made ready again, once the loop has turned."""
        if self._warmed and self._following is not None:
            self.follow_with(self._following)
        self._warmed = False
