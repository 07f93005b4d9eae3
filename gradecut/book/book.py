"""The book: what a staff knows of a season, in one file."""

from __future__ import annotations

import platform
from collections.abc import Callable, Collection, Iterator
from contextlib import contextmanager
from os import PathLike
from pathlib import Path
from threading import Lock, RLock, local
from types import TracebackType
from typing import Any, TypeVar

from sqlalchemy import Connection, select

from gradecut.book.acts import ActDraft, Doer
from gradecut.book.codec import codec_of
from gradecut.book.journal import read_journal
from gradecut.book.migrating import copy_file
from gradecut.book.questions import Reading, stored_values
from gradecut.book.rows import (
    Key,
    count_rows,
    distinct_values,
    find_rows,
    newest_number,
    standing_still,
)
from gradecut.book.schema import TABLES
from gradecut.book.store_thread import StoreThread
from gradecut.book.undoing import newest_standing, newest_undo, redo_newest, undo_newest
from gradecut.errors import BookError
from gradecut.outfile import whole_file
from gradecut.records import Act, Change

__all__ = ["Book"]

R = TypeVar("R")
T = TypeVar("T")
Callback = Callable[[frozenset[Key]], object]


class Book:
    """An open book; made by ``open_book``. Every method may be called from any thread.

    Attributes
    ----------
    author : str
        Who writes in it from now on.
    computer : str
        This computer's name; paths of films are kept for each.
    group : str or None
        The group of men the author grades; None: the one the book is for.
    blind : bool
        What others judged is not shown to the author; nothing in the book changes by it.
    """

    def __init__(self, store: StoreThread, *, author: str = "") -> None:
        self.author = author
        self.computer = platform.node() or "this computer"
        self.group: str | None = None
        self.blind = False
        self._store = store
        self._turn = RLock()
        self._here = local()
        self._callbacks: dict[object, Callback] = {}
        self._telling = Lock()
        self._version = store.call(_data_version)

    @property
    def path(self) -> Path:
        """The book's file."""
        return self._store.path

    def __enter__(self) -> Book:
        """Keep the book open for a block."""
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        """Close it."""
        self.close()

    def close(self) -> None:
        """Close the file; closing twice does nothing."""
        with self._turn:
            self._store.close()

    def get(self, kind: type[R], record_id: str, /) -> R:
        """Read one record.

        Raises
        ------
        BookError
            When it is not in the book.
        """
        found = self.find(kind, id=record_id)
        if not found:
            noun = codec_of(kind).table.info["noun"]
            raise BookError(f"{self.path}: there is no {noun} “{record_id}” in this book.")
        return found[0]

    def find(self, kind: type[R], /, **equal: object) -> list[R]:
        """Read the records whose fields equal the values given.

        Parameters
        ----------
        kind : type
            Which records: ``Clip``, ``Rep`` …
        **equal
            Field and value; a list, tuple or set means any of its values, None that
            the field is empty.

        Returns
        -------
        list
            By ``order`` where the kind has one, then by id, which is the order they
            were made in. Inside an act, with what the act has put in so far.

        Raises
        ------
        BookError
            When the kind has no such field, or the book can't be read.
        """
        codec = codec_of(kind)
        asked = stored_values(codec, equal)
        return list(self._read(lambda connection: find_rows(connection, codec, asked), kind, asked))

    def count(self, kind: type[R], /, **equal: object) -> int:
        """Count the records that ``find`` would return."""
        codec = codec_of(kind)
        asked = stored_values(codec, equal)
        return self._read(lambda connection: count_rows(connection, codec, asked))

    def ids(self, kind: type[Any], /) -> list[str]:
        """Return the ids of all records of one kind, in the order they were made in.

        Whoever goes through many reads them a few at a time, and keeps nobody else waiting.
        """
        codec = codec_of(kind)
        return self._read(lambda connection: distinct_values(connection, codec, "id"))

    def authors(self, kind: type[Any], /) -> tuple[str, ...]:
        """Return everybody who has a record of one kind in the book, by name.

        Whoever only asks for names need not read every record.

        Raises
        ------
        BookError
            When records of the kind are nobody's own.
        """
        codec = codec_of(kind)
        if "author" not in codec.names:
            raise BookError(f"A {codec.table.info['noun']} has no author; ask for another kind.")
        return tuple(self._read(lambda connection: distinct_values(connection, codec, "author")))

    def newest_act(self) -> int:
        """Return the number of the newest act, 0 before the first.

        While it stays the same, nobody has changed the book.
        """
        return self._read(newest_number)

    def reading(self, work: Callable[[], T]) -> T:
        """Do work that only reads at one go, and return what it returns.

        It runs on the store's thread, so that it does not wait for its turn at each question,
        sees the book as it is at one moment, and the same question is put once.

        Raises
        ------
        BookError
            When the work tries to change the book.
        """
        if getattr(self._here, "reading", None) is not None:
            return work()

        def read(connection: Connection) -> T:
            self._here.reading = Reading(connection)
            try:
                with standing_still(connection):
                    return work()
            finally:
                self._here.reading = None

        return self._read(read)

    @contextmanager
    def act(self, verb: str) -> Iterator[ActDraft]:
        """Change the book: all that the block puts and drops, or nothing.

        An act inside another one of the same thread becomes part of that one; when it
        raises, only its own part is taken back, unless the error goes on.

        Parameters
        ----------
        verb : str
            A few words for the coach: "mark the snap".

        Raises
        ------
        BookError
            When the database refuses what the act would do.
        """
        self._look_up(verb)
        outer: ActDraft | None = getattr(self._here, "draft", None)
        if outer is not None:
            yield from _part_of(outer)
            return
        draft = ActDraft(verb, Doer(self.author, self.computer), self._store, self._turn)
        self._here.draft = draft
        try:
            yield draft
            changed = draft.commit()
        finally:
            self._here.draft = None
            draft.end()
        self._tell(changed)

    def undo(self, *, past: Collection[str] = ()) -> Act:
        """Take back the author's newest act that still stands, and return the new act.

        Parameters
        ----------
        past : collection of str
            Ids of acts to leave alone, as they were refused before.

        Raises
        ------
        UndoRefused
            When somebody has changed a row of it since; says who, and what he did.
        BookError
            When there is nothing to take back.
        """
        return self._reverse(lambda connection, doer: undo_newest(connection, doer, past))

    def redo(self) -> Act:
        """Do again what the author's newest undo took back, if he did nothing since.

        Raises
        ------
        UndoRefused
            When somebody has changed a row of it since; says who, and what he did.
        BookError
            When there is nothing to do again.
        """
        return self._reverse(redo_newest)

    def can_undo(self, *, past: Collection[str] = ()) -> Act | None:
        """Return the act that ``undo`` would take back; None when there is none."""
        doer = Doer(self.author, self.computer)
        return self._read(lambda connection: newest_standing(connection, doer, past))

    def can_redo(self) -> Act | None:
        """Return the undo that ``redo`` would take back; None when there is none."""
        doer = Doer(self.author, self.computer)
        return self._read(lambda connection: newest_undo(connection, doer))

    def history(self, limit: int = 100) -> list[Act]:
        """Return everybody's newest acts, the newest first."""
        codec, table = codec_of(Act), TABLES[Act]
        asked = (
            select(*(table.c[name] for name in codec.names))
            .order_by(table.c.number.desc())
            .limit(limit)
        )
        rows = self._read(lambda connection: connection.execute(asked).all())
        return [codec.record_of(row) for row in rows]

    def journal(
        self, rows: Collection[Key], *, about: Collection[str] = ()
    ) -> list[tuple[Act, tuple[Change, ...]]]:
        """Return the acts that changed some rows, each with those changes, the oldest first.

        Parameters
        ----------
        rows : collection of (table, id)
            As ``on_change`` tells them.
        about : collection of str
            Ids; rows that were taken out and spoke of one of them count too.
        """
        return self._read(lambda connection: read_journal(connection, rows, about))

    def on_change(self, callback: Callback) -> Callable[[], None]:
        """Call ``callback(rows)`` after each act, with the (table, id) of every changed row.

        It is called on the thread that acted. Returns a function that ends this.
        """
        token = object()
        with self._telling:
            self._callbacks[token] = callback

        def disconnect() -> None:
            with self._telling:
                self._callbacks.pop(token, None)

        return disconnect

    def changed_elsewhere(self) -> bool:
        """Tell whether another program has stored something since this was asked, or it was opened.

        By SQLite's own count of the file's changes by others (PRAGMA data_version). While the
        book is at work it is not waited for: the next time tells.
        """
        if not self._turn.acquire(blocking=False):
            return False
        try:
            now = self._read(_data_version)
        finally:
            self._turn.release()
        before, self._version = self._version, now
        return now != before

    def backup(self, path: str | PathLike[str]) -> Path:
        """Copy the book, as it stands, into another file and return its path.

        Raises
        ------
        BookError
            When the goal is the book itself.
        OutputError
            When the copy can't be written.
        """
        goal = Path(path).expanduser().absolute()
        if goal.exists() and goal.samefile(self.path):
            raise BookError(f"{goal}: a book can't be its own backup; choose another name.")
        self._look_free("back the book up")
        with whole_file(goal) as draft, self._turn:
            self._store.call(lambda connection: copy_file(connection, draft))
        return goal

    def _read(
        self, work: Callable[[Connection], T], kind: type | None = None, asked: object = None
    ) -> T:
        """Read on the store's thread; a question of ``reading`` that was put before is known."""
        reading: Reading | None = getattr(self._here, "reading", None)
        if reading is not None:
            return reading.answer(work, kind, asked)
        draft: ActDraft | None = getattr(self._here, "draft", None)
        if draft is not None:
            draft.settle()
        with self._turn:
            return self._store.call(work)

    def _reverse(self, work: Callable[[Connection, Doer], tuple[Act, frozenset[Key]]]) -> Act:
        self._look_free("take anything back")
        doer = Doer(self.author, self.computer)
        with self._turn:
            act, changed = self._store.call(lambda connection: work(connection, doer))
        self._tell(changed)
        return act

    def _look_up(self, verb: str) -> None:
        if getattr(self._here, "reading", None) is not None:
            raise BookError(f"{self.path}: “{verb}” would change the book while it is only read.")

    def _look_free(self, what: str) -> None:
        self._look_up(what)
        draft: ActDraft | None = getattr(self._here, "draft", None)
        if draft is not None:
            raise BookError(f"Finish “{draft.verb}” before you {what}.")

    def _tell(self, changed: frozenset[Key]) -> None:
        with self._telling:
            callbacks = tuple(self._callbacks.values())
        for callback in callbacks if changed else ():
            callback(changed)


def _data_version(connection: Connection) -> object:
    return connection.exec_driver_sql("PRAGMA data_version").scalar()


def _part_of(outer: ActDraft) -> Iterator[ActDraft]:
    """Run an act inside another one."""
    take_back = outer.part()
    whole = False
    try:
        yield outer
        outer.settle()
        whole = True
    finally:
        if not whole:
            take_back()
