"""What will be asked for soon, told to the frame server before it is: no wait at a turn."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction

from gradecut.desk.film_place import FilmPlace, same_time
from gradecut.film import FrameServer
from gradecut.timebase import Frame

__all__ = ["ReadyAhead"]

_TURN_AHEAD_S = Fraction(1, 2)
"""So long before a loop turns, its beginning is made ready."""

_MOST_GOALS = 18
"""Each takes the memory of a picture, and most the decoding of up to a group."""

_STEPS_ON = 6
"""From the snap he steps on at once."""


class ReadyAhead:
    """Keeps ready what lies near the playhead and what one key leads to.

    That is where the next clips begin; the snap and what else is marked in the clip on stage;
    its other angles, where they are entered, at the snap and at the moment on stage; the
    beginning of its loop.
    """

    def __init__(self, server: FrameServer) -> None:
        self._server = server
        self._following: tuple[FilmPlace, ...] = ()
        self._place: FilmPlace | None = None
        self._others: tuple[FilmPlace, ...] = ()
        self._goals: list[tuple[str, Frame]] = []
        self._warmed = False

    def beside(self, others: Iterable[FilmPlace]) -> None:
        """Take in the other angles of the clip on stage whose film is there."""
        self._others = tuple(others)
        self._place = None

    def stay_near(self, place: FilmPlace | None, frame: Frame, *, standing: bool = False) -> None:
        """Have what lies around a frame on stage made ready, and what one key leads to from it."""
        if place is None or place.path is None:
            return
        self._server.stay_near(place.path, place.first, place.last, frame)
        if place is not self._place:
            self._place = place
            self._goals = self._marked(place)
        elif not standing:
            return
        at_rest = list(self._same_moment(place, frame)) if standing else ()
        self._server.keep_ready(self._goals, at_rest=at_rest)

    def _marked(self, place: FilmPlace) -> list[tuple[str, Frame]]:
        """Return the snap, what else is marked, and where other angles and the next clip begin."""
        own = _moments(place)
        found = [*_run_in(place), *own[1:]] if place.snap is not None else own
        for other in self._others:
            found += [(other.path or "", other.entry), *_moments(other)[:1]]
        for later in self._following[1:]:
            found.append((later.path or "", later.entry))
        for following in self._following[:1]:
            found += _moments(following)[:1]
        return found[:_MOST_GOALS]

    def _same_moment(self, place: FilmPlace, frame: Frame) -> Iterator[tuple[str, Frame]]:
        """Yield the frame of each other angle that shows the same moment."""
        for other in self._others:
            at_s = same_time(place.timeline, place.time_of(frame), place.angle, other.angle)
            if at_s is not None and other.path is not None:
                yield other.path, other.inside(other.nearest(at_s))

    def follow_with(self, *following: FilmPlace) -> None:
        """Have the first pictures of the clips that follow made ready, the next one's above all."""
        self._following = following
        self._place = None
        self._prefetch()

    def _prefetch(self) -> None:
        for one in self._following[:1]:
            if one.path is not None:
                self._server.prefetch(one.path, one.entry, one.first, one.last)

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
        if self._warmed:
            self._prefetch()
        self._warmed = False


def _run_in(place: FilmPlace) -> list[tuple[str, Frame]]:
    """Return the frames of the snap and of the steps after it, of an angle whose film is there."""
    snap = place.snap
    if place.path is None or snap is None:
        return []
    last = min(snap + _STEPS_ON, place.last)
    return [(place.path, Frame(frame)) for frame in range(snap, last + 1)]


def _moments(place: FilmPlace) -> list[tuple[str, Frame]]:
    """Return the frames of the snap and of what else is marked on an angle whose film is there."""
    if place.path is None:
        return []
    snap = place.snap
    marked = {
        place.frame_at(one.pts)
        for one in place.timeline.moments
        if one.angle_id == place.angle.id and one.kind != "snap"
    }
    frames = [*([snap] if snap is not None else []), *sorted(marked - {snap})]
    return [(place.path, frame) for frame in frames if place.first <= frame <= place.last]
