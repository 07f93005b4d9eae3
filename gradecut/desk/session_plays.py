"""The sessions of a book and the plays of the one that is shown."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from functools import partial
from threading import Lock

from psygnal import Signal

from gradecut.book import Book
from gradecut.desk.jobs import Post
from gradecut.desk.plays_line import PlayBox, PlaysLine, last_graded, read_boxes, waiting_clips
from gradecut.records import Clip, Session

__all__ = ["SessionPlays"]

_AT_ONCE = 40
"""Up to so many plays a session's boxes are read before anything is shown."""
_A_LOT = 8
"""So many are read at a time beside the window, which then never waits long for the book."""
_AT_ONCE_AGAIN = 8
"""Up to so many are read before the window goes on, where only what is in them has changed."""
_BREATH_S = 0.02
_FIRST_BREATH_S = 0.1
"""So long the play that is shown first has the book, and the window, to itself."""
_SOUGHT = 500
"""In so many plays the next one to grade is sought."""


class SessionPlays:
    """Which session is shown, and how far its plays are.

    Attributes
    ----------
    sessions : list of Session
        The newest first.
    session : Session or None
        The one that is shown.
    line : PlaysLine
        Its plays.

    Signals
    -------
    changed
        The line has changed.
    """

    changed = Signal()

    def __init__(self, book: Book, post: Post) -> None:
        self._book = book
        self._post = post
        self._reader: ThreadPoolExecutor | None = None
        self._ending = Lock()
        self._closed = False
        self._turn = 0
        self._seen: set[str] = set()
        self._newer: set[str] = set()
        self.sessions: list[Session] = []
        self.session: Session | None = None
        self.line = PlaysLine()
        self.find()

    @property
    def many(self) -> bool:
        """Whether they are read beside the window, where only what is in them has changed."""
        return len(self.line.boxes) > _AT_ONCE_AGAIN

    def close(self) -> None:
        """Stop reading."""
        self._turn += 1
        with self._ending:
            self._closed = True
        if self._reader is not None:
            self._reader.shutdown(wait=True, cancel_futures=True)

    def find(self) -> None:
        """Find the book's sessions again; the one shown stays while it is there."""
        found = self._book.find(Session)
        self.sessions = sorted(found, key=lambda one: (one.day, one.id), reverse=True)
        if self.session is not None:
            known = {session.id: session for session in self.sessions}
            self.session = known.get(self.session.id)

    def open(self, session: Session) -> None:
        """Show a session."""
        self.session = session
        self.read()

    def read(self, *, same_plays: bool = False) -> None:
        """Read the session's plays; where they are many, beside the window.

        Parameters
        ----------
        same_plays : bool
            No play came or went since they were read.
        """
        session = self.session
        self._turn += 1
        self._seen.clear()
        self._newer.clear()
        if session is None:
            self.line = PlaysLine()
        elif same_plays and self.many:
            self._read_beside(session)
        elif self._book.count(Clip, session_id=session.id) <= _AT_ONCE:
            self.line = PlaysLine(read_boxes(self._book, session), session.id)
            self._seen.update(box.clip_id for box in self.line.boxes)
        else:
            clips = self._book.find(Clip, session_id=session.id)
            self.line = PlaysLine.unread(clips, session.id)
            self._read_beside(session, _FIRST_BREATH_S)
        self.changed.emit()

    def see(self, clip_id: str) -> None:
        """Read a play that is looked at before its turn came."""
        if clip_id not in self._seen:
            self.read_box(clip_id)

    def read_box(self, clip_id: str) -> None:
        """Read one play again."""
        if self.session is None:
            return
        for box in read_boxes(self._book, self.session, clip_ids=[clip_id]):
            self.line.put(box)
        self._seen.add(clip_id)
        self._newer.add(clip_id)
        self.changed.emit()

    def first_waiting(self) -> str | None:
        """Return the first play that waits for a grade, else the first; None without any.

        In a long session it is sought from where this grader was last.
        """
        if len(self.line.boxes) <= _AT_ONCE:
            return self.line.first_open()
        return self._book.reading(self._first_waiting)

    def _first_waiting(self) -> str:
        ids = [box.clip_id for box in self.line.boxes if box.status != "no play"]
        start = self.line.place_of(last_graded(self._book)) or 0
        for lot in _lots(ids[start : start + _SOUGHT]):
            waiting = waiting_clips(self._book, lot)
            if waiting:
                return waiting[0]
        return self.line.boxes[start].clip_id

    def beside(self, work: Callable[[], None]) -> None:
        """Read something of the plays beside the window, once what is being read has come.

        May be called from any thread; once this is closed nothing is read any more.
        """
        with self._ending:
            if self._closed:
                return
            if self._reader is None:
                self._reader = ThreadPoolExecutor(max_workers=1, thread_name_prefix="plays")
            reading = self._reader.submit(work)
        reading.add_done_callback(self._ended)

    def _read_beside(self, session: Session, first_s: float = 0.0) -> None:
        ids = [box.clip_id for box in self.line.boxes]
        self.beside(partial(self._read_all, self._turn, session, ids, first_s))

    def _read_all(self, turn: int, session: Session, ids: Sequence[str], first_s: float) -> None:
        time.sleep(first_s)
        for lot in _lots(ids):
            if turn != self._turn:
                return
            boxes = read_boxes(self._book, session, clip_ids=lot)
            self._post(partial(self._came, turn, boxes))
            time.sleep(_BREATH_S)

    def _ended(self, reading: Future[None]) -> None:
        """Let an error rise in the window's thread, where it is told."""
        if not reading.cancelled() and reading.exception() is not None:
            self._post(reading.result)

    def _came(self, turn: int, boxes: Sequence[PlayBox]) -> None:
        if turn == self._turn:
            # What was read by itself meanwhile is newer than what comes now.
            for box in [one for one in boxes if one.clip_id not in self._newer]:
                self.line.put(box)
            self._seen.update(box.clip_id for box in boxes)
            self.changed.emit()


def _lots(ids: Sequence[str]) -> Iterator[Sequence[str]]:
    """Part ids into lots that are read at a time."""
    for start in range(0, len(ids), _A_LOT):
        yield ids[start : start + _A_LOT]
