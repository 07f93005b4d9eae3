"""The desk: an open book, its four pages, and what is said about them."""

from __future__ import annotations

import sys
import threading
import time
from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING

from psygnal import Signal

from gradecut.book import Book
from gradecut.counting_words import counted
from gradecut.desk.grader_ways import GraderWays, take_up_ways
from gradecut.desk.jobs import BESIDE_WORK, JobRunner, Post
from gradecut.desk.saying import Refusal, says
from gradecut.errors import GradecutError, UndoRefused
from gradecut.progress import CancelToken, Progress
from gradecut.records import Act
from gradecut.workflows.booking import STARTING, book_info

if TYPE_CHECKING:
    from gradecut.desk.board_desk import BoardDesk
    from gradecut.desk.film_desk import FilmDesk
    from gradecut.desk.scheme_desk import SchemeDesk
    from gradecut.desk.snap_pictures import SnapPictures
    from gradecut.desk.teach_desk import TeachDesk
    from gradecut.desk.walking_out import WalkingOut

__all__ = ["Desk"]

_AT_A_TIME = 25
"""Films whose indexes are put into the book by one commit."""
_BREATH_S = 0.02
"""Between those, so that whoever works with the book waits for none of it."""


class Desk:
    """All that the window holds while a book is open, without a window.

    Pages are made when they are first asked for.

    Attributes
    ----------
    book : Book
    jobs : JobRunner
        Long work.

    Signals
    -------
    said : str
        One sentence to show: what was done, or why it was refused.
    acted
        Something was done to the book, told before what is said of it; in the window's thread.
    book_changed : frozenset of str
        Names of the tables a commit changed; in the window's thread.
    undo_changed
        Undo would take back something else, though nothing was done to the book.

    Parameters
    ----------
    book : Book
        Closed by ``close``.
    post : callable
        Runs what it is given in the window's thread.
    """

    said = Signal(str)
    acted = Signal()
    book_changed = Signal(object)
    undo_changed = Signal()

    def __init__(self, book: Book, *, post: Post) -> None:
        self.book = book
        self._post = post
        self.jobs = JobRunner(post, self.say)
        self._closed = False
        self._thread = threading.get_ident()
        self._refused: set[str] = set()
        self._taking_back = False
        self._disconnect = book.on_change(self._tell_change)

    @property
    def author(self) -> str:
        """Who grades."""
        return self.book.author

    @property
    def name(self) -> str:
        """What the book is called."""
        return book_info(self.book).name

    def say(self, sentence: str) -> None:
        """Show one sentence; what is said while an error is handled is a refusal."""
        refused = isinstance(sys.exception(), GradecutError)
        self.said.emit(Refusal(sentence) if refused else sentence)

    def grade_as(self, name: str, ways: GraderWays | None = None) -> None:
        """Let another man grade from now on, and show every page as he is to see it.

        How he works here is set together with his name, so that no page shows him what he is
        not to see. None: as one of whom nothing is remembered.
        """
        self.book.author = name
        take_up_ways(self.book, ways or GraderWays())
        if "film" in self.__dict__:
            self.film.refresh()
        if "board" in self.__dict__:
            self.board.count()
        if "teach" in self.__dict__:
            self.teach.refresh()

    def post(self, work: Callable[[], None]) -> None:
        """Run work in the window's thread."""
        self._post(work)

    @cached_property
    def pictures(self) -> SnapPictures:
        """Small pictures of plays, shared by the pages."""
        from gradecut.desk.snap_pictures import SnapPictures

        return SnapPictures(self.book, self._post)

    @cached_property
    def film(self) -> FilmDesk:
        """The Film page's desk."""
        from gradecut.desk.film_desk import FilmDesk

        return FilmDesk(self.book, self._post, self.say)

    @cached_property
    def scheme(self) -> SchemeDesk:
        """The Scheme page's desk."""
        from gradecut.desk.scheme_desk import SchemeDesk

        return SchemeDesk(self.book, self.jobs, self.say)

    @cached_property
    def board(self) -> BoardDesk:
        """The Board page's desk."""
        from gradecut.desk.board_desk import BoardDesk

        return BoardDesk(self.book, self.jobs, self.say, self.pictures)

    @cached_property
    def teach(self) -> TeachDesk:
        """The Teach page's desk."""
        from gradecut.desk.teach_desk import TeachDesk

        return TeachDesk(self.book, self.jobs, self._post, self.say, self.pictures)

    @cached_property
    def walking_out(self) -> WalkingOut:
        """The page and the reel made of what is graded now."""
        from gradecut.desk.walking_out import WalkingOut

        return WalkingOut(self)

    @says
    def undo(self) -> None:
        """Take back the newest thing this grader did; on the Scheme page an edit not kept yet.

        What others have built on can't be taken back; done again, this goes on to what he did
        before that. The play it was done to is shown.
        """
        if self._scheme_in_hand and self.scheme.undo():
            return
        if not self.undo_hint():
            self.say(Refusal("There is nothing of yours to take back."))
            return
        goal = self.book.can_undo(past=self._refused)
        try:
            act = self._turned_back(lambda: self.book.undo(past=self._refused))
        except UndoRefused as error:
            if goal is not None:
                self._refused.add(goal.id)
            self.undo_changed.emit()
            if (rest := self.undo_hint()) and goal is not None:
                raise UndoRefused(f"{error} Ctrl+Z now takes back “{rest}”.") from error
            raise
        self._show_where(act)
        self.say(f"Done: {act.verb}.")

    @says
    def redo(self) -> None:
        """Do again what was taken back last."""
        if self._scheme_in_hand and self.scheme.redo():
            return
        act = self._turned_back(self.book.redo)
        self._show_where(act)
        self.say(f"Done again: {act.verb}.")

    @says
    def bring_in_roster(self, path: str) -> None:
        """Bring a roster sheet in; men already there are brought up to date."""
        from gradecut.workflows.roster import add_roster

        count = len(add_roster(self.book, path))
        self.say(f"The roster has {count} men." if count != 1 else "The roster has one man.")

    def find_moved(self, folder: str) -> None:
        """Look for films that were moved, by what is in them, while the window stays usable."""
        book = self.book

        def work(progress: Progress, cancel: CancelToken) -> int:
            from gradecut.workflows.films import find_moved_films

            return find_moved_films(book, folder, progress=progress, cancel=cancel)

        self.jobs.start("Looking for films", work, self._found_moved)

    def keep_indexes(self) -> None:
        """Put into the book, beside the work, what films read here before say of their frames.

        A book made before indexes were kept with it then opens its films at once elsewhere.
        """
        book = self.book

        def work(_progress: Progress, cancel: CancelToken) -> None:
            from gradecut.records import StoredFilm
            from gradecut.workflows.films import keep_indexes

            ids = book.ids(StoredFilm)
            for start in range(0, len(ids), _AT_A_TIME):
                cancel.check("Keeping where frames lie")
                keep_indexes(book, ids[start : start + _AT_A_TIME])
                time.sleep(_BREATH_S)

        self.jobs.start("Keeping where frames lie", work, lambda _: None, on_stopped=lambda _: None)

    def _found_moved(self, found: int) -> None:
        told = (
            f"{counted(found, 'film')} of this book {'was' if found == 1 else 'were'} found there."
            if found
            else "No film that this book misses lies in that folder or below it."
        )
        self.say(told)
        if "film" in self.__dict__:
            self.film.refresh()

    def look_on_film(self) -> dict[str, str | int | bool]:
        """Return the look of the play on the Film page; empty where there is none."""
        from gradecut.workflows.looks import look_of

        state = self.film.state
        return look_of(self.book, state.clip.id) if state is not None else {}

    def look_around(self) -> None:
        """Show what another program has stored in the book meanwhile."""
        try:
            elsewhere = self.book.changed_elsewhere()
        except GradecutError:
            return  # whoever works next with the book is told why
        if elsewhere:
            if "film" in self.__dict__:
                self.film.refresh()
            self.undo_changed.emit()

    @property
    def _scheme_in_hand(self) -> bool:
        return "scheme" in self.__dict__ and self.scheme.in_hand

    def undo_hint(self) -> str:
        """Say what undo would take back; empty when there is nothing.

        The act that started the book is none: without it the book could not be opened again.
        """
        if self._scheme_in_hand and self.scheme.undoes:
            return self.scheme.undoes
        act = self.book.can_undo(past=self._refused)
        return act.verb if act and act.verb != STARTING else ""

    def close(self) -> None:
        """Stop work, let the pages go and close the book."""
        self._closed = True
        self._disconnect()
        self.jobs.close()
        for page in ("film", "teach", "pictures"):
            if page in self.__dict__ and hasattr(self.__dict__[page], "close"):
                self.__dict__[page].close()
        self.book.close()

    def _turned_back(self, work: Callable[[], Act]) -> Act:
        """Take an act back or do it again; what was refused before stays left alone."""
        self._taking_back = True
        try:
            return work()
        finally:
            self._taking_back = False

    def _show_where(self, act: Act) -> None:
        """Show the play that an act was done to, where it is one and film is looked at."""
        if "film" not in self.__dict__:
            return
        from gradecut.workflows.act_places import place_of

        place = place_of(self.book, act)
        if place is not None:
            self.film.show_where(*place)

    def _tell_change(self, changed: frozenset[tuple[str, str]]) -> None:
        tables = frozenset(table for table, _ in changed)
        if tables <= BESIDE_WORK:
            return
        if not self._taking_back:
            self._refused.clear()
        if threading.get_ident() == self._thread:
            self.acted.emit()
        else:
            self._post(lambda: None if self._closed else self.acted.emit())
        self._post(lambda: None if self._closed else self.book_changed.emit(tables))
