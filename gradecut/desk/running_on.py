"""A play runs by itself: one angle, then the next, then it rests."""

from __future__ import annotations

from typing import TYPE_CHECKING

from psygnal import Signal

from gradecut.desk.clip_state import ClipState
from gradecut.desk.jobs import Post
from gradecut.records import Angle

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk

__all__ = ["RunningOn"]


class RunningOn:
    """Runs the angles of a play that was opened by going on, one after the other.

    The first begins where a clip is entered, a second before the snap; the next as soon as it
    has come to its end; after the last it rests, and Space runs all of it once more. Whatever
    stops the film ends it. Where both angles are shown at once, and where the film goes over
    and over, one angle is all.

    Attributes
    ----------
    on : bool
        Plays run by themselves when they are gone on to.

    Signals
    -------
    turned : bool
        It was turned on or off.

    Parameters
    ----------
    post : callable
        Runs what it is given in the window's thread, once what was shown could be painted.
    """

    turned = Signal(bool)

    def __init__(self, desk: FilmDesk, post: Post, *, on: bool = False) -> None:
        self._desk = desk
        self._post = post
        self._left: list[Angle] = []
        self._first: Angle | None = None
        self._due = False
        self.on = on
        head = desk.playhead
        head.ended.connect(self._ended)
        head.pictured.connect(self._pictured)
        head.play_changed.connect(self._play_changed)

    def turn(self) -> None:
        """Let plays run by themselves from now on, and this one at once; or let them stand."""
        self.on = not self.on
        self.turned.emit(self.on)
        if self.on:
            self._desk.say("Plays run by themselves, angle after angle.")
            self.begin()
        else:
            self._desk.playhead.pause()
            self._desk.say("Plays stand until Space runs them.")

    def begin(self) -> None:
        """Run the play shown, from the angle on stage on, where plays run by themselves."""
        state, head = self._desk.state, self._desk.playhead
        if not self.on or state is None or head.angle is None:
            return
        self._first = head.angle
        self._left = self._following(state, head.angle)
        head.play()

    def again(self) -> bool:
        """Run all of it once more where it rests after its last angle; tell whether it did."""
        state, head, first = self._desk.state, self._desk.playhead, self._first
        rests = not head.playing and not self._left and head.frame == head.last
        if not self.on or state is None or first is None or not rests:
            return False
        if first.clip_id != state.clip.id or self._desk.second.on:
            return False
        self._left = self._following(state, first)
        self._desk.run_angle(first)
        return True

    def _following(self, state: ClipState, first: Angle) -> list[Angle]:
        """Return the angles that run after one, of those whose film is there."""
        if self._desk.second.on:
            return []
        angles = state.timeline.angles
        here = [one.id for one in angles].index(first.id)
        return [one for one in (*angles[here + 1 :], *angles[:here]) if one.film_id in state.paths]

    def skip(self, angle: Angle) -> None:
        """Show no more by itself what he has gone to himself."""
        self._left = [one for one in self._left if one.id != angle.id]

    @property
    def left(self) -> tuple[Angle, ...]:
        """The angles that are still to run."""
        return tuple(self._left)

    def _play_changed(self) -> None:
        head = self._desk.playhead
        if not head.playing and head.frame != head.last:
            self._left, self._first, self._due = [], None, False

    def _ended(self) -> None:
        self._due = bool(self._left)
        self._pictured()

    def _pictured(self) -> None:
        """Go on once the last picture has come and could be painted, so that none is missed."""
        if self._at_end():
            self._due = False
            self._post(self._go_on)

    def _at_end(self) -> bool:
        head = self._desk.playhead
        there = not head.playing and head.frame == head.last
        self._due = self._due and there
        return self._due and (head.shown == head.frame or bool(head.fault))

    def _go_on(self) -> None:
        head = self._desk.playhead
        if self._left and not head.playing and head.frame == head.last:
            self._desk.run_angle(self._left.pop(0))
