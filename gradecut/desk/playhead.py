"""Which frame of which angle is on the stage, stepped, sought and played."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path

from psygnal import Signal

from gradecut.desk.film_place import FilmPlace
from gradecut.desk.on_stage import OnStage
from gradecut.desk.playing import Playing
from gradecut.desk.ready_ahead import ReadyAhead
from gradecut.errors import FilmError
from gradecut.film import FrameServer
from gradecut.records import Angle
from gradecut.timebase import Frame
from gradecut.workflows.moments import Timeline

__all__ = ["Playhead", "away_words"]


class Playhead(OnStage):
    """The film on the stage; asks for frames and never waits for one.

    Attributes
    ----------
    place, frame
        As of what is on stage.
    hurried : bool
        A key is held or the ticks are dragged: quick copies do until ``rest``.
    running : Playing
        Its clock, speed and loop, and what was dropped.
    counts_painted : bool
        A frame counts as shown when ``painted`` is called, not when its picture comes.

    Signals
    -------
    moved
        Another frame is wished for, or another film.
    pictured
        A picture has come, or its fault.
    play_changed
        Playing began or ended, its speed or its loop changed.
    ran : Fraction
        The film begins to run from a time of its own, in seconds.
    wished : Frame
        This frame is asked for.
    ended
        It has played to the clip's end and stands there.
    counted
        Frames were found not to have been shown.
    """

    moved = Signal()
    pictured = Signal()
    play_changed = Signal()
    ran = Signal(object)
    wished = Signal(object)
    ended = Signal()
    counted = Signal()

    def __init__(self, server: FrameServer) -> None:
        super().__init__(server)
        self._lane.came.connect(self._came)
        self._lane.failed.connect(self._failed)
        self._ahead = ReadyAhead(server)
        self.hurried = False
        self.counts_painted = False
        self.running = Playing(self.ran.emit)

    def close(self) -> None:
        """Stop."""
        self.running.stop()
        self._lane.forget()

    # ------------------------------------------------------------------ what is on stage

    def show(self, timeline: Timeline, angle: Angle | None, path: str | None, at: Frame) -> None:
        """Put an angle on the stage.

        Parameters
        ----------
        path : str or None
            Its film; None when it was not found on this computer.
        at : Frame
            Where to enter it.
        """
        self.place = FilmPlace(timeline=timeline, angle=angle, path=path) if angle else None
        self._lane.load(path)
        self.hurried = False
        self.frame = self.place.inside(at) if self.place else at
        if self.place is None:
            self._lane.refuse(None, "No film of this play yet.")
        elif path is None:
            self._lane.refuse(None, away_words(self.place.film.name))
        if self.running.on:
            self.running.go_on_from(self.frame)
        else:
            self.running.forget_dropped()
        self.moved.emit()
        self._ask(at_once=True)
        self._ahead.beside(())
        self._ahead.stay_near(self.place, self.frame)

    def show_entry(self, timeline: Timeline, angle: Angle, path: str | None) -> None:
        """Put an angle on the stage where its clip is entered."""
        place = FilmPlace(timeline=timeline, angle=angle, path=path)
        self.show(timeline, angle, path, place.entry)

    def renew(self, timeline: Timeline, path: str | None) -> None:
        """Take over what was marked since; the frame stays."""
        if self.angle is None:
            return
        angle = next((one for one in timeline.angles if one.id == self.angle.id), None)
        if path != self._lane.path or angle is None:
            self.show(timeline, angle, path, self.frame)
        else:
            self.place = FilmPlace(timeline=timeline, angle=angle, path=path)
            if self.place.inside(self.frame) != self.frame:
                # An edge was moved over the frame on stage.
                self.seek(self.frame)
                return
            self.moved.emit()

    def stand_beside(self, paths: Mapping[str, str]) -> None:
        """Tell where the films of the play's angles lie, by their ids: one key leads there."""
        if self.place is not None:
            line, here = self.place.timeline, self.place.angle
            self._ahead.beside(
                FilmPlace(timeline=line, angle=one, path=paths[one.film_id])
                for one in line.angles
                if one.id != here.id and one.film_id in paths
            )

    def look_ahead(self, following: Sequence[FilmPlace]) -> None:
        """Make the first pictures of the next clips ready while nothing else is asked for."""
        self._ahead.follow_with(*following)
        self._ahead.stay_near(self.place, self.frame)

    def refuse(self, why: str) -> None:
        """Show this film no more, and say why; its folder can be shown anew."""
        self.pause()
        self._lane.load(None)
        self._lane.refuse(None, why)
        self.pictured.emit()

    # ------------------------------------------------------------------ moving

    def seek(self, frame: int, *, hurried: bool = False) -> None:
        """Go to a frame of the clip; playing goes on from there.

        Parameters
        ----------
        hurried : bool
            Others will follow at once: a quick copy does until ``rest``.
        """
        if self.place is None:
            return
        goal = self.place.inside(frame)
        if self.running.on:
            self.running.go_on_from(goal)
        elif goal != self.frame:
            self.running.forget_dropped()
        self.hurried = hurried and not self.running.on
        if goal != self.frame:
            self.frame = goal
            self.moved.emit()
        self._ask(at_once=not hurried)

    def step(self, by: int) -> None:
        """Stop and step so many frames; a quick copy does until ``rest``."""
        self.pause()
        self.seek(self.frame + by, hurried=True)

    def rest(self) -> None:
        """Ask for the true picture: no key is held any more."""
        if self.hurried:
            self.hurried = False
            self._ask()

    def play(self) -> None:
        """Play from here; from the beginning when it is at its end."""
        if self.place is None or not self.found:
            return
        first, last = self.place.looped if self.looping else (self.place.entry, self.last)
        self.running.begin(first if self.frame >= last else self.frame)
        self._ahead.begin()
        self.seek(first if self.frame >= last else self.frame)
        self.play_changed.emit()

    def pause(self) -> None:
        """Stand still at the frame that is seen."""
        if not self.playing:
            return
        self.running.stop()
        if self.picture is not None and self.shown is not None:
            self._lane.forget()
            self.frame = self.shown
            self.hurried = self.rough
        self.play_changed.emit()
        self.moved.emit()
        self.rest()
        self.wished.emit(self.frame)

    def stand(self) -> None:
        """Wish for the frame that is seen, where a held key leads it: what is marked is on it.

        A jump, and a key that was let go, have a frame of their own, and keep it.
        """
        if not self.hurried or self.picture is None or self.shown in (None, self.frame):
            return
        self._lane.forget()
        self.frame = self.seen
        self.moved.emit()
        self.wished.emit(self.frame)

    def set_speed(self, speed: Fraction) -> None:
        """Play at another speed; 1 is the speed of life."""
        if self.playing:
            self._lane.forget()
        self.running.set_speed(speed, self.seen)
        self.play_changed.emit()

    def turn_loop(self) -> None:
        """Play over and over, or once."""
        self.running.looping = not self.running.looping
        self._ahead.begin()
        self.play_changed.emit()

    @property
    def playing(self) -> bool:
        """Whether it plays."""
        return self.running.on

    @property
    def speed(self) -> Fraction:
        """How fast it plays; 1 is the speed of life."""
        return self.running.speed

    @property
    def looping(self) -> bool:
        """Whether it plays over and over."""
        return self.running.looping

    @property
    def dropped(self) -> int:
        """Frames that were due while it played last, and were not shown."""
        return self.running.dropped

    def tick(self, now_s: float) -> None:
        """Move on to the frame that is due; call often while it plays.

        Parameters
        ----------
        now_s : float
            Of a clock that only goes forward, in seconds.
        """
        if not self.playing or self.place is None:
            return
        due = self.running.next_due(now_s, self.place, self.shown)
        if due is None:
            return
        if due.ended:
            self._end_at(due.frame)
        elif due.turned or due.frame not in self.lost:
            self._wish(due.frame, rough=self.running.late, at_once=due.turned)
        if due.turned:
            self._ahead.turned()
        elif self.looping:
            self._ahead.near_turn(self.place, due.frame, self.speed)

    def _end_at(self, last: Frame) -> None:
        """Stop at the clip's last frame; where that is lost, at the last one that was shown."""
        if last in self.lost:
            self.pause()
        else:
            self.running.stop(at_end=True)
            self.frame = last
            self._ask()
            self.play_changed.emit()
            self.moved.emit()
        self.ended.emit()

    # ------------------------------------------------------------------ pictures

    def _ask(self, *, at_once: bool = False) -> None:
        """Ask for the wished frame; a quick copy does until the true picture is there."""
        there = self._lane.shown == self.frame
        if not self.found or there:
            self.pictured.emit()
        self._wish(self.frame, rough=self.hurried or not there, at_once=at_once)

    def _wish(self, frame: Frame, *, rough: bool = False, at_once: bool = False) -> None:
        self._lane.ask(frame, rough=rough, at_once=at_once)
        self.wished.emit(frame)

    def painted(self) -> None:
        """Take note that the picture on stage was painted."""
        before = self.dropped
        if self.shown is not None and self.picture is not None:
            self.running.showed(self.shown)
        if self.dropped != before:
            self.counted.emit()

    def _came(self, frame: Frame) -> None:
        if not self.counts_painted:
            self.running.showed(frame)
        if self.playing and frame != self.frame:
            self.frame = frame
            self.moved.emit()
        self.pictured.emit()
        if self.rough and frame == self.frame and not self.hurried and not self.playing:
            self._wish(frame)
        self._ahead.stay_near(self.place, self.frame, standing=not self.playing)

    def _failed(self, frame: Frame, fault: FilmError) -> None:
        """Show why there is no picture; a lost frame that comes by in playing is passed over."""
        path = self._lane.path
        gone = path is not None and not Path(path).is_file()
        if gone and self.place is not None:
            self.refuse(away_words(self.place.film.name))
            return
        if self.playing and frame in self.lost and frame < self.last:
            self._pass_over(frame)
            return
        self.running.stop()
        self._lane.show_fault(frame, fault)
        self.play_changed.emit()
        self.pictured.emit()

    def _pass_over(self, lost: Frame) -> None:
        """Play on past a frame that is lost: what is due next is asked for when it is due."""
        if self.running.waits_for(lost):
            self.running.go_on_from(Frame(lost + 1), dropped=1)
            self._wish(Frame(lost + 1))


def away_words(name: str) -> str:
    """Say that a film is gone, and what to do."""
    return f"The film “{name}” is not where it was; show the folder it lies in now."
