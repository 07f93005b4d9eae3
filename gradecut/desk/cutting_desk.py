"""The strip on which a long recording is cut to plays: what it holds and does, without Qt."""

from __future__ import annotations

from os import PathLike, fspath
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from psygnal import Signal

from gradecut.book import Book
from gradecut.desk.cutting_corrections import Corrections
from gradecut.desk.cutting_finding import Found, RecordingFacts, Wanted, add_plays
from gradecut.desk.cutting_look import look_through
from gradecut.desk.cutting_pictures import CuttingPictures
from gradecut.desk.cutting_steps import (
    Cut,
    Cuts,
    drop,
    insert,
    join_next,
    kept,
    move_edge,
    place_at,
    split,
    with_found,
)
from gradecut.desk.cutting_view import CuttingView
from gradecut.desk.jobs import JobRunner, Post
from gradecut.progress import CancelToken, Progress
from gradecut.timebase import Frame
from gradecut.workflows.adding import Added

__all__ = ["CuttingDesk", "RecordingFacts", "Wanted"]

_LEAD_S, _RUN_OUT_S = 4.0, 6.0


class CuttingDesk:
    """One long recording, its plays as proposed and corrected, and the frame looked at.

    Attributes
    ----------
    facts : RecordingFacts or None
        None until the film is opened.
    cuts : tuple of Cut
    in_hand : int or None
        Place of the play in hand.
    frame, playing, picture, fault
        What the large picture shows.
    pictures : CuttingPictures
        Small pictures for the strip.
    looking : bool
        Whether plays are still being looked for.
    notes : tuple of str
        How plays were carried from another camera's recording, and what is missing.

    Signals
    -------
    opened
        The film is open.
    changed
        Plays, or the one in hand, are others.
    moved
        Another frame is looked at.
    pictured
        Its picture has come.
    strip_came
        Small pictures have come.
    added : Added
        The plays are in the book.
    refused : str
        Why something was not done.
    """

    opened = Signal()
    changed = Signal()
    moved = Signal()
    pictured = Signal()
    strip_came = Signal()
    added = Signal(object)
    refused = Signal(str)

    def __init__(
        self, book: Book, path: str | PathLike[str], wanted: Wanted, *, jobs: JobRunner, post: Post
    ) -> None:
        self.path = fspath(path)
        self.wanted = wanted
        self.facts: RecordingFacts | None = None
        self.cuts: Cuts = ()
        self.in_hand: int | None = None
        self.frame = Frame(0)
        self.playing = False
        self.looking = True
        self.adding = False
        self.notes: tuple[str, ...] = ()
        self._found = Found(plays=())
        self._book, self._jobs = book, jobs
        self._corrections = Corrections()
        self._closed = False
        self._token: CancelToken | None = None
        self._began: tuple[float, float] | None = None
        self._post = post
        self._view = CuttingView(self.path, post, standing=lambda: not self.playing)
        self._view.pictured.connect(self.pictured.emit)
        self.pictures = CuttingPictures(path, post)
        self.pictures.came.connect(self.strip_came.emit)

    def start(self) -> None:
        """Open the film and look for plays beside the window."""
        self._jobs.start("Looking for plays", self._look, self._proposed, self._not_opened)

    def close(self) -> None:
        """Let go of the film; what is still looked for is given up."""
        self._closed = True
        self.playing = False
        if self._token is not None:
            self._token.cancel()
        self.pictures.close()
        self._view.close()

    # ------------------------------------------------------------------ looking

    def _look(self, progress: Progress, cancel: CancelToken) -> Found:
        """Look through the film, in a thread of its own."""
        self._token = cancel
        if self._closed:
            cancel.cancel()
        return look_through(
            self._book, self.path, self.wanted, self.pictures,
            on_opened=lambda facts: self._post(lambda: self._opened(facts)),
            progress=progress, cancel=cancel,
        )  # fmt: skip

    def _opened(self, facts: RecordingFacts) -> None:
        if self._closed:
            return
        self.facts = facts
        self.opened.emit()
        self._ask()

    def _not_opened(self, sentence: str) -> None:
        if self._closed:
            return
        self.looking = False
        self._view.refuse(sentence)
        self.refused.emit(sentence)

    def _proposed(self, found: Found) -> None:
        """Show what was found; plays set by hand meanwhile stay, and stand first."""
        facts = self.facts
        self.looking = False
        self._found, self.notes = found, found.notes
        if self._closed or facts is None:
            return
        proposed = [facts.cut_of(one) for one in found.plays if one is not None]
        self.cuts = with_found(self.cuts, proposed)
        self._corrections.forget()
        if self.in_hand is None and self.cuts:
            self.in_hand = 0
            self.seek(self.cuts[0].first)
        self.changed.emit()

    # ------------------------------------------------------------------ which play, which frame

    @property
    def cut(self) -> Cut | None:
        """The play in hand."""
        return None if self.in_hand is None else self.cuts[self.in_hand]

    def take(self, place: int) -> None:
        """Take a play in hand, and go to its first frame."""
        if self.cuts:
            self.in_hand = min(max(place, 0), len(self.cuts) - 1)
            self.playing = False
            self.seek(self.cuts[self.in_hand].first)
            self.changed.emit()

    def next_play(self, by: int = 1) -> None:
        """Take the next play in hand, or the one before; from between plays, the nearest."""
        if self.in_hand is None or self.in_hand >= len(self.cuts):
            later = [at for at, cut in enumerate(self.cuts) if cut.first > self.frame]
            self.take(later[0] if later and by > 0 else len(self.cuts) - 1)
        else:
            self.take(self.in_hand + by)

    def seek(self, frame: int) -> None:
        """Look at a frame of the film."""
        if self.facts is None:
            return
        goal = Frame(min(max(frame, 0), self.facts.count - 1))
        self._began = None
        if goal != self.frame:
            self.frame = goal
            self.moved.emit()
        self._ask()

    def go(self, frame: int) -> None:
        """Look at a frame, and take the play it lies in into hand."""
        self.playing = False
        self.seek(frame)
        place = place_at(self.cuts, self.frame)
        if place is not None and place != self.in_hand:
            self.in_hand = place
            self.changed.emit()

    def step(self, frames: int = 0, seconds: float = 0.0) -> None:
        """Step by frames or seconds."""
        if self.facts is not None:
            self.go(self.facts.beyond(self.frame, frames, seconds))

    def time_s(self, frame: int | None = None) -> float:
        """Return when a frame begins, this one when None."""
        if self.facts is None:
            return 0.0
        return self.facts.time_of(self.frame if frame is None else frame)

    # ------------------------------------------------------------------ corrections

    def _correct(self, cuts: Cuts, in_hand: int | None, unchanged: str) -> None:
        if cuts is self.cuts:
            self.refused.emit(unchanged)
            return
        self._corrections.note((self.cuts, self.in_hand))
        self._show(cuts, in_hand)

    def _show(self, cuts: Cuts, in_hand: int | None) -> None:
        self.cuts = cuts
        last = len(cuts) - 1
        self.in_hand = None if in_hand is None or last < 0 else min(max(in_hand, 0), last)
        self.changed.emit()

    def join(self) -> None:
        """Join the play in hand with the next."""
        if self.in_hand is not None:
            joined = join_next(self.cuts, self.in_hand)
            self._correct(joined, self.in_hand, "There is no play after this one to join it with.")

    def split(self) -> None:
        """Split the play the film stands in at this frame."""
        place = place_at(self.cuts, self.frame)
        if place is None:
            self.refused.emit("The film stands between plays; go to where one should be split.")
            return
        parts = split(self.cuts, place, self.frame)
        self._correct(parts, place + 1, "Step into the play first; it is split at this frame.")

    def drop(self) -> None:
        """Drop the play in hand, or bring it back."""
        if self.in_hand is not None:
            self._correct(drop(self.cuts, self.in_hand), self.in_hand, "")

    def insert(self) -> None:
        """Put a play in around this frame."""
        if self.facts is None:
            return
        first = self.facts.beyond(self.frame, seconds=-_LEAD_S)
        last = self.facts.beyond(self.frame, seconds=_RUN_OUT_S)
        made = insert(self.cuts, first, last, at=self.frame, count=self.facts.count)
        self._correct(made, place_at(made, self.frame), "There is a play here already.")

    def move_start(self, frames: int = 0, seconds: float = 0.0) -> None:
        """Move the start of the play in hand; the film goes along."""
        cut = self.cut
        if cut is not None and self.facts is not None:
            self.put_edge(first=self.facts.beyond(cut.first, frames, seconds))
            self.seek(self.cut.first if self.cut else self.frame)

    def move_end(self, frames: int = 0, seconds: float = 0.0) -> None:
        """Move the end of the play in hand; the film goes along."""
        cut = self.cut
        if cut is not None and self.facts is not None:
            self.put_edge(last=self.facts.beyond(cut.last, frames, seconds))
            self.seek(self.cut.last if self.cut else self.frame)

    def put_edge(
        self, *, first: int | None = None, last: int | None = None, going_on: bool = False
    ) -> None:
        """Put an edge of the play in hand on a frame.

        Parameters
        ----------
        going_on : bool
            Part of the correction before it, as while an edge is dragged.
        """
        if self.in_hand is None or self.facts is None:
            return
        moved = move_edge(self.cuts, self.in_hand, first=first, last=last, count=self.facts.count)
        if going_on and self._corrections:
            if moved is not self.cuts:
                self._show(moved, self.in_hand)
            return
        self._correct(moved, self.in_hand, "It can't go further: a play or the film ends there.")

    def undo(self) -> None:
        """Take the last correction back."""
        before = self._corrections.take_back((self.cuts, self.in_hand))
        if before is None:
            self.refused.emit("There is no correction to take back.")
        else:
            self._show(*before)

    def redo(self) -> None:
        """Make it again."""
        after = self._corrections.make_again((self.cuts, self.in_hand))
        if after is None:
            self.refused.emit("There is no correction to make again.")
        else:
            self._show(*after)

    @property
    def corrected(self) -> bool:
        """Whether anything was corrected that is not in the book."""
        return bool(self._corrections)

    # ------------------------------------------------------------------ playing

    def play(self) -> None:
        """Play the play in hand from here, or from its start; stand still when it plays."""
        if self.playing:
            self.playing = False
        elif self.facts is not None:
            cut = self.cut
            if cut is not None and not cut.first <= self.frame < cut.last:
                self.seek(cut.first)
            self.playing, self._began = True, None
        self.changed.emit()

    def tick(self, now_s: float) -> None:
        """Move on to the frame that is due; call often while it plays."""
        if not self.playing or self.facts is None:
            return
        if self._began is None:
            if self._view.shows(self.frame):
                self._began = (now_s, self.time_s())
            return
        cut = self.cut
        end = cut.last if cut is not None and self.frame <= cut.last else self.facts.count - 1
        due = min(self.facts.frame_at(self._began[1] + now_s - self._began[0]), Frame(end))
        if due > self.frame:
            self.frame = due
            self.moved.emit()
            self._ask()
        if self.frame >= end:
            self.playing = False
            self.changed.emit()

    # ------------------------------------------------------------------ the large picture

    @property
    def picture(self) -> NDArray[np.uint8] | None:
        """The newest picture that came, RGB as displayed; None where there is none."""
        return self._view.picture

    @property
    def fault(self) -> str:
        """Why there is no picture; empty when there is nothing wrong."""
        return self._view.fault

    def _ask(self) -> None:
        if self.facts is not None:
            self._view.ask(self.frame, self.cut)

    # ------------------------------------------------------------------ into the book

    def accept(self, *, by_order: bool = False) -> None:
        """Add the plays that are kept to the session.

        Parameters
        ----------
        by_order : bool
            They may go by number, where nothing else tells which is which.
        """
        facts, plays = self.facts, kept(self.cuts)
        if facts is None or not plays or self.adding:
            self.refused.emit("There is no play to add yet; wait, or set one with N.")
            return
        stretches = [facts.stretch_of(cut) for cut in plays]
        book, wanted, beside = self._book, self.wanted, self._found.beside

        def work(progress: Progress, cancel: CancelToken) -> Added:
            return add_plays(
                book, self.path, wanted, stretches, beside, by_order=by_order, progress=progress,
                cancel=cancel,
            )  # fmt: skip

        self.adding = True
        self._jobs.start(f"Adding {Path(self.path).name}", work, self._added, self._not_added)

    def _added(self, added: Added) -> None:
        self.adding = False
        self._corrections.forget()
        self.added.emit(added)

    def _not_added(self, sentence: str) -> None:
        self.adding = False
        self.refused.emit(sentence)
