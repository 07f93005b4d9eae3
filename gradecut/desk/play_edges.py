"""Where the play shown begins and ends on the film on stage, moved after it was cut."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from gradecut.timebase import Frame

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk
    from gradecut.desk.film_place import FilmPlace

__all__ = ["PlayEdges"]

_WIDER_S = Fraction(1, 2)


class PlayEdges:
    """Moves the edges of the play shown, on the angle on stage; other angles keep theirs."""

    def __init__(self, desk: FilmDesk) -> None:
        self._desk = desk

    def begin_here(self) -> None:
        """Let the play begin at the frame that is seen."""
        self._move(first=self._desk.playhead.seen)

    def end_here(self) -> None:
        """Let the play end at the frame that is seen."""
        self._move(last=self._desk.playhead.seen)

    def begin_earlier(self) -> None:
        """Let the play begin half a second earlier, and show its first frame."""
        place = self._desk.playhead.place
        if place is None:
            self._move()
        elif place.first == 0:
            self._desk.say("The film begins here; there is nothing before it.")
        else:
            goal_s = max(place.time_of(place.first) - _WIDER_S, Fraction(0))
            self._move(first=min(place.nearest(goal_s), Frame(place.first - 1)))

    def end_later(self) -> None:
        """Let the play end half a second later, and show its last frame."""
        place = self._desk.playhead.place
        if place is None:
            self._move()
        elif place.last >= place.film.frame_count - 1:
            self._desk.say("The film ends here; there is nothing after it.")
        else:
            goal = max(place.nearest(place.time_of(place.last) + _WIDER_S), Frame(place.last + 1))
            self._move(last=min(goal, Frame(place.film.frame_count - 1)))

    def _move(self, *, first: Frame | None = None, last: Frame | None = None) -> None:
        """Move edges to frames of the film, and go to the one that was moved."""
        from gradecut.workflows.cutting_edges import move_edge

        head, state = self._desk.playhead, self._desk.state
        place = head.place
        if place is None or state is None:
            self._desk.say("There is no film on the stage.")
            return
        if first in (None, place.first) and last in (None, place.last):
            which = "begins" if last is None else "ends"
            self._desk.say(f"The play {which} here already.")
            return
        start, stop = (
            None if frame is None else place.film.pts_of(place.time_of(frame))
            for frame in (first, last)
        )
        head.pause()
        if not self._desk.do(
            lambda: move_edge(self._desk.book, place.angle, start_pts=start, stop_pts=stop)
        ):
            return
        goal = last if first is None else first
        if goal is not None:
            head.seek(goal)
        self._desk.say(_told(head.place, state.clip.order, begins=first is not None))


def _told(place: FilmPlace | None, order: int, *, begins: bool) -> str:
    if place is None:
        return ""
    length_s = place.time_of(place.last) - place.time_of(place.first)
    which = "begins" if begins else "ends"
    return f"Play {order} {which} here now on the {place.angle.name} film: {float(length_s):.1f} s."
