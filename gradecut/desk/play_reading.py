"""What is read anew of the Film page, and how much of it, whenever its book has changed."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TYPE_CHECKING

from gradecut.desk.clip_state import read_clip
from gradecut.desk.jobs import BESIDE_WORK, Post
from gradecut.desk.marks_seen import with_marks
from gradecut.errors import GradecutError

if TYPE_CHECKING:
    from gradecut.desk.film_desk import FilmDesk

__all__ = ["PlayReading"]

_OF_PLAYS = frozenset({"clips", "sessions"})
_BESIDE_GRADES = frozenset({"marks", "moments", "acts", "changes"})
_OF_MARKS = frozenset({"marks", "acts", "changes"})


class PlayReading:
    """Does things to the book, and reads again what they changed of what is shown.

    An act of the page changes the play shown, unless it says that it changes others too, or
    that another play is shown next. What another page, another thread or undo changed may be
    anything.

    Parameters
    ----------
    desk : FilmDesk
    post : callable
        Runs what it is given in the window's thread.
    """

    def __init__(self, desk: FilmDesk, post: Post) -> None:
        self._desk = desk
        self._post = post
        self._thread = threading.get_ident()
        self._own = self._wide = self._leaving = self._closed = False
        self._disconnect = desk.book.on_change(self._book_changed)

    def close(self) -> None:
        """Read no more; what is posted still is passed over."""
        self._closed = True
        self._disconnect()

    def do(self, work: Callable[[], object], *, wide: bool = False, leaving: bool = False) -> bool:
        """Do something to the book; what is refused is said. See ``FilmDesk.do``."""
        before = self._own, self._wide, self._leaving
        self._own, self._wide, self._leaving = True, wide, leaving
        try:
            work()
        except GradecutError as error:
            self._desk.say(str(error))
            return False
        finally:
            self._own, self._wide, self._leaving = before
        return True

    def read_play(self) -> None:
        """Read the play shown again."""
        desk = self._desk
        if desk.state is not None:
            desk.show_again(read_clip(desk.book, desk.state.clip.id))

    def read_all(self, *, same_plays: bool = False) -> None:
        """Read sessions, plays and the play shown again.

        Parameters
        ----------
        same_plays : bool
            No play and no session came or went.
        """
        desk, plays = self._desk, self._desk.plays
        if not same_plays:
            plays.find()
        if plays.session is None:
            if plays.sessions:
                desk.open_session(plays.sessions[0])
            return
        plays.read(same_plays=same_plays)
        if desk.clip is None or plays.line.place_of(desk.clip.id) is None:
            desk.open_session(plays.session)
        else:
            self.read_play()
            if same_plays and plays.many:
                plays.read_box(desk.clip.id)

    def _book_changed(self, rows: frozenset[tuple[str, str]]) -> None:
        desk, tables = self._desk, frozenset(table for table, _ in rows)
        if tables <= BESIDE_WORK:
            return
        if threading.get_ident() != self._thread:
            self._post(lambda: None if self._closed else desk.refresh())
        elif tables <= _OF_MARKS and desk.state is not None:
            desk.state = with_marks(desk.book, desk.state)
            desk.marks.renew(desk.state, desk.hand.man)
        elif tables <= _BESIDE_GRADES:
            self.read_play()
        elif self._own and not self._wide:
            if not self._leaving:
                self.read_play()
            if desk.clip is not None:
                desk.plays.read_box(desk.clip.id)
        else:
            same = not tables & _OF_PLAYS
            self.do(lambda: self.read_all(same_plays=same))
