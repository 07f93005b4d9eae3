"""What is done to the chosen mark: its colour, its frames, its keys, its copies."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING

from gradecut.counting_words import counted
from gradecut.desk.mark_keys import with_key, without_key
from gradecut.desk.mark_shape import handles
from gradecut.desk.saying import says
from gradecut.drawing import MARK_COLOURS
from gradecut.errors import BookError
from gradecut.records import Clip, Mark
from gradecut.timebase import Frame, Pts
from gradecut.workflows.marking import FilmMoment, add_mark, copy_mark, drop_mark, set_over

if TYPE_CHECKING:
    from gradecut.desk.film_marks import FilmMarks

__all__ = ["MarkChanges"]

_COLOURS = ("", *MARK_COLOURS)
_CHOOSE = "Choose a mark first: touch it, or press Alt+J."


class MarkChanges:
    """Acts on the chosen mark, one to a key.

    Parameters
    ----------
    following : callable
        Returns the next play; None after the last.
    """

    def __init__(self, marks: FilmMarks, following: Callable[[], Clip | None]) -> None:
        self._marks = marks
        self._following = following
        self._copied: tuple[Mark, FilmMoment] | None = None
        self._pulled = ""

    def say(self, sentence: str) -> None:
        """Show a sentence to the coach."""
        self._marks.say(sentence)

    def words(self) -> str:
        """Say what is chosen, where it is seen and how it goes; empty with nothing chosen."""
        marks = self._marks
        mark = marks.held
        if mark is None:
            return ""
        parts = [f"Chosen: {marks.on_film.words(mark)}"]
        if marks.handle is not None:
            parts.append(f"its point {marks.handle + 1} of {len(handles(mark, marks.height_px))}")
        at = marks.playhead.frame_at
        parts.append(f"seen from frame {at(mark.from_pts)} to {at(mark.to_pts)}")
        if mark.keys:
            count = len(mark.keys)
            here = any(at(key.pts) == marks.playhead.seen for key in mark.keys)
            keys = counted(count, "key")
            parts.append(f"goes along by {keys}{', one of them here' if here else ''}")
        return f"{', '.join(parts)}."

    # ------------------------------------------------------------------ choosing

    def next_mark(self) -> None:
        """Choose the next mark of this frame; with none on it, the angle's nearest."""
        marks = self._marks
        marks.pointing.settle()
        ids = [mark.id for mark in marks.seen()]
        if not ids:
            self._go_to_nearest()
            return
        place = ids.index(marks.chosen) + 1 if marks.chosen in ids else 0
        marks.tool = None
        marks.choose(marks.on_film.mark(ids[place % len(ids)]))
        marks.changed.emit()

    def next_point(self) -> None:
        """Choose the chosen mark's next point, then all of it again."""
        marks = self._marks
        marks.pointing.settle()
        mark = marks.held
        if mark is None:
            self.next_mark()
            return
        count = len(handles(mark, marks.height_px))
        following = 0 if marks.handle is None else marks.handle + 1
        marks.handle = following if following < count else None
        if not count:
            self.say("It has one point only: it is moved as a whole.")
        marks.changed.emit()

    def _go_to_nearest(self) -> None:
        marks, head = self._marks, self._marks.playhead
        now = marks.pts
        away = [
            (max(mark.from_pts - now, now - mark.to_pts), mark)
            for mark in marks.on_film.of_angle(head.angle)
        ]
        if not away:
            self.say("Nothing is drawn on this view yet; M takes a tool.")
            return
        _, mark = min(away, key=lambda one: one[0])
        head.pause()
        head.seek(head.frame_at(mark.from_pts if now < mark.from_pts else mark.to_pts))
        marks.tool = None
        marks.choose(mark)
        marks.changed.emit()

    # ------------------------------------------------------------------ changing

    def turn_colour(self) -> None:
        """Go on to the next safe colour, of the chosen mark or of the next one drawn."""
        marks = self._marks
        mark = marks.held
        now = mark.colour if mark is not None else marks.colour
        place = _COLOURS.index(now) if now in _COLOURS else 0
        following = _COLOURS[(place + 1) % len(_COLOURS)]
        if mark is not None:
            marks.store(replace(mark, colour=following), doing="colour the")
        elif marks.tool is not None:
            marks.colour = following
        else:
            self.say(_CHOOSE)
        marks.changed.emit()

    def turn_key(self) -> None:
        """Set the chosen mark by hand on this frame, so that it goes along; or take that back."""
        mark = self._held()
        if mark is None:
            return
        marks = self._marks
        head = marks.playhead
        head.pause()
        head.stand()
        here = next((key for key in mark.keys if head.frame_at(key.pts) == head.seen), None)
        if here is None:
            marks.store(with_key(mark, marks.pts), doing="set a key of the")
            if not mark.keys:
                self.say(
                    "It goes along from here: step the film and move it to where he is, or hold ;"
                    " and follow him."
                )
        else:
            marks.store(without_key(mark, here.pts), doing="take a key away from the")
            if len(mark.keys) == 1:
                self.say("It stands still again.")
        marks.changed.emit()

    def from_here(self) -> None:
        """Let the chosen mark be seen from this frame on."""
        mark = self._held()
        if mark is not None:
            pts = self._marks.pts
            later = replace(mark, from_pts=pts, to_pts=max(mark.to_pts, pts))
            self._marks.store(later, doing="set the first frame of the")

    def to_here(self) -> None:
        """Let the chosen mark be seen up to this frame."""
        mark = self._held()
        if mark is not None:
            pts = self._marks.pts
            sooner = replace(mark, to_pts=pts, from_pts=min(mark.from_pts, pts))
            self._marks.store(sooner, doing="set the last frame of the")

    def pull(self, frame: Frame, *, first: bool) -> None:
        """Let the chosen mark's first or last frame be another, until it is let go.

        One end never passes the other.
        """
        marks = self._marks
        mark = marks.held
        if mark is None or marks.playhead.place is None:
            return
        pts = marks.playhead.pts(marks.playhead.place.inside(frame))
        if first:
            marks.pending = replace(mark, from_pts=min(pts, mark.to_pts))
        else:
            marks.pending = replace(mark, to_pts=max(pts, mark.from_pts))
        self._pulled = "first" if first else "last"
        marks.changed.emit()

    def end_pull(self) -> None:
        """Store where the first or last frame was pulled to."""
        marks = self._marks
        if marks.pending is not None and self._pulled:
            marks.store(marks.pending, doing=f"set the {self._pulled} frame of the")
        self._pulled = ""
        marks.changed.emit()

    @says
    def drop(self) -> None:
        """Take the chosen mark away."""
        marks = self._marks
        mark = marks.held
        if mark is None:
            self.say("Touch a mark on the film first; then it can be taken away.")
            return
        marks.pending, marks.chosen, marks.handle = None, "", None
        drop_mark(marks.book, mark)

    def _held(self) -> Mark | None:
        """Return the chosen mark, what was changed of it stored; None, said, without one."""
        marks = self._marks
        marks.pointing.settle()
        mark, angle = marks.held, marks.playhead.angle
        if mark is None or angle is None:
            self.say(_CHOOSE)
            return None
        if mark.angle_id != angle.id:
            self.say("The chosen mark is on the other view; A shows it.")
            return None
        return mark

    # ------------------------------------------------------------------ copies

    @says
    def copy_on(self) -> None:
        """Copy the chosen mark to the next play: the same place, counted from its snap."""
        mark = self._held()
        if mark is None:
            return
        clip = self._following()
        if clip is None:
            self.say("That was the last play: there is none to copy it to.")
            return
        copy_mark(self._marks.book, mark, clip)
        self.say(f"Copied to play {clip.order}, by its snap.")

    def take_copy(self) -> None:
        """Take a copy of the chosen mark, to be put on any frame."""
        mark = self._held()
        moment = self._moment()
        if mark is not None and moment is not None:
            self._copied = mark, moment
            words = self._marks.on_film.words(mark)
            self.say(f"Copy of the {words} taken; Ctrl+V puts it on the frame you see.")

    @says
    def put_copy(self) -> None:
        """Put the copy taken on the frame on stage, where it was on the frame it was taken on."""
        marks = self._marks
        angle, moment = marks.playhead.angle, self._moment()
        if self._copied is None:
            raise BookError("No copy of a mark is taken yet: choose one and press Ctrl+C.")
        if angle is None or moment is None:
            raise BookError("There is no film on the stage to put the copy on.")
        mark, taken = self._copied
        man = marks.on_film.man
        rep = man.rep if man is not None and mark.rep_id is not None else None
        copied = set_over(mark, angle, taken, moment, rep_id=rep.id if rep else None)
        marks.choose(None)
        marks.tool = None
        marks.chosen = add_mark(marks.book, copied, doing="put a copy of the").id
        marks.changed.emit()

    def _moment(self) -> FilmMoment | None:
        head = self._marks.playhead
        if head.place is None:
            return None
        film = head.place.film
        times = head.place.timeline.times.get(film.id, ())
        return FilmMoment(film=film, pts=Pts(self._marks.pts), times=times)
