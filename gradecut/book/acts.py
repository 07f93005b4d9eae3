"""One act: its changes gathered, written and journaled together."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping
from contextlib import AbstractContextManager
from dataclasses import asdict, dataclass
from typing import Any, TypeVar

from sqlalchemy import Connection, insert
from sqlalchemy.exc import IntegrityError

from gradecut.book.codec import Row, codec_of
from gradecut.book.faults import error_name
from gradecut.book.rows import (
    Key,
    begin,
    commit,
    dangling,
    is_open,
    newest_number,
    roll_back,
    rows_now,
    write_rows,
)
from gradecut.book.schema import REVISIONS, TABLES, is_made_anew, noun_of
from gradecut.book.store_thread import StoreThread
from gradecut.errors import BookError
from gradecut.records import Act, Change, Grade, new_id

__all__ = ["ActDraft", "Doer", "write_act"]

T = TypeVar("T")
_JOURNAL = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"))
_ACTS, _CHANGES, _GRADES = TABLES[Act], TABLES[Change], TABLES[Grade]


@dataclass(frozen=True, slots=True)
class Doer:
    """Who acts, and on which computer."""

    author: str
    computer: str


def write_act(
    connection: Connection,
    act: Act,
    changes: Mapping[Key, tuple[Row | None, Row | None]],
    *,
    taking_back: bool = False,
) -> None:
    """Write an act and its changes into the journal, inside the open transaction."""
    number = newest_number(connection) + 1
    numbered = {**asdict(act), "number": number, "taking_back": taking_back}
    connection.execute(insert(_ACTS), numbered)
    told = [
        {
            "id": new_id(),
            "act_id": act.id,
            "order": order,
            "table": name,
            "row_id": row_id,
            "before": _kept(name, before),
            "after": _kept(name, after),
        }
        for order, ((name, row_id), (before, after)) in enumerate(changes.items(), start=1)
    ]
    connection.execute(insert(_CHANGES), told)


def _kept(table: str, row: Row | None) -> str | None:
    """Write a row down for the journal: whole, or by reference where it is large."""
    if row is None:
        return None
    if is_made_anew(table):
        row = {name: _reference(value) for name, value in row.items()}
    return _JOURNAL.encode(row)


def _reference(value: object) -> object:
    """Name bytes by their digest; everything else stands for itself."""
    if not isinstance(value, bytes):
        return value
    return f"blake2b:{hashlib.blake2b(value, digest_size=16).hexdigest()}"


class ActDraft:
    """What an act is going to change; stored when its ``with`` block ends well.

    Attributes
    ----------
    verb : str
        A few words for the coach: "mark the snap".
    act : Act or None
        The act as stored, once the block has ended; None while it runs, and for good
        when nothing changed.
    """

    def __init__(
        self, verb: str, doer: Doer, store: StoreThread, turn: AbstractContextManager[Any]
    ) -> None:
        self.verb = verb
        self.act: Act | None = None
        self._doer = doer
        self._store = store
        self._turn = turn
        self._pending: dict[Key, Row | None] = {}
        self._before: dict[Key, Row | None] = {}
        self._after: dict[Key, Row | None] = {}
        self._writing = False
        self._stored = False
        self._over = False
        self._broken = False

    def put(self, *records: object) -> None:
        """Put records in, each in the place of the one with its id.

        Raises
        ------
        BookError
            When a record is of no kind a book keeps, or holds what can't be stored.
        """
        self._look_open()
        for record in records:
            codec = codec_of(type(record))
            row = codec.row_of(record)
            self._set(codec.table.name, row["id"], row)

    def drop(self, kind: type, record_id: str) -> None:
        """Take a record out; nothing happens when it is not there.

        Whatever rests on it must be dropped in the same act.

        Raises
        ------
        BookError
            When the kind is none a book keeps.
        """
        self._look_open()
        self._set(codec_of(kind).table.name, record_id, None)

    def drop_all(self, records: Iterable[Any]) -> None:
        """Take several records out."""
        for record in records:
            self.drop(type(record), record.id)

    def settle(self) -> None:
        """Write what is pending, so that reading on this thread sees it.

        From here to the end of the act nobody else writes in the book.
        """
        self._look_open()
        if not self._writing or self._pending or self._broken:
            self._run(self._write_pending)

    def part(self) -> Callable[[], None]:
        """Begin a part that can fail by itself; return what takes the part back."""
        self._look_open()
        name = f"part_{new_id().replace('-', '')}"

        def begin_part(connection: Connection) -> None:
            self._write_pending(connection)
            connection.exec_driver_sql(f"SAVEPOINT {name}")

        self._run(begin_part)
        before, after = dict(self._before), dict(self._after)

        def take_back() -> None:
            self._pending.clear()
            self._before, self._after = before, after
            self._store.call(lambda connection: connection.exec_driver_sql(f"ROLLBACK TO {name}"))
            self._broken = False

        return take_back

    def commit(self) -> frozenset[Key]:
        """Store the act; return the rows that changed.

        Raises
        ------
        BookError
            When the database refuses; nothing of the act is stored then.
        """
        self._look_open()
        if not self._pending and not self._writing:
            return frozenset()
        return self._run(self._commit)

    def end(self) -> None:
        """Leave the book as it was if the act was not committed, and let others write."""
        self._over = True
        if self._writing:
            self._writing = False
            try:
                if not self._stored:
                    self._store.call(roll_back)
            finally:
                self._turn.__exit__(None, None, None)

    def _set(self, table: str, record_id: object, row: Row | None) -> None:
        if table in (_ACTS.name, _CHANGES.name):
            raise BookError(
                "The journal of acts writes itself; nothing can be put in or taken out."
            )
        if not isinstance(record_id, str) or not record_id:
            raise BookError(f"A {noun_of(table)} needs an id; make one with new_id().")
        self._pending[table, record_id] = row

    def _look_open(self) -> None:
        if self._over:
            raise BookError(f"The act “{self.verb}” is over; begin another one.")

    def _run(self, work: Callable[[Connection], T]) -> T:
        """Run work in the act's transaction; the first begins it, once nobody else writes."""
        begun = self._writing
        if not begun:
            self._turn.__enter__()
            self._writing = True

        def run(connection: Connection) -> T:
            if not begun:
                # Where that is refused, and whoever acts goes on, nothing may be written.
                self._broken = True
                begin(connection)
                self._broken = False
            elif not is_open(connection):
                raise BookError(f"“{self.verb}” was taken back by the database; do it again.")
            return work(connection)

        return self._store.call(run)

    def _write_pending(self, connection: Connection) -> None:
        """Write the rows that are pending and differ from what is there."""
        if self._broken:
            raise BookError(f"“{self.verb}” was not done, because a part of it was refused.")
        self._broken = True
        pending, self._pending = self._pending, {}
        unknown = [key for key in pending if key not in self._before]
        found = rows_now(connection, unknown)
        for key, row in found.items():
            self._before[key] = self._after[key] = row
        differing = {key: row for key, row in pending.items() if self._after[key] != row}
        for key, row in differing.items():
            if key[0] == _GRADES.name and row is not None and self._before[key] is not None:
                raise BookError(
                    "A grade that was given is never changed; "
                    "put in a new one that says which it supersedes."
                )
        self._after.update(differing)
        write_rows(connection, differing)
        self._broken = False

    def _commit(self, connection: Connection) -> frozenset[Key]:
        self._write_pending(connection)
        changes = {
            key: (before, self._after[key])
            for key, before in self._before.items()
            if before != self._after[key]
        }
        # What is only made anew from a film is nothing anybody did, and nothing to take back.
        if any(not is_made_anew(name) for name, _ in changes):
            act = Act(
                author=self._doer.author,
                computer=self._doer.computer,
                verb=self.verb,
                schema=REVISIONS[-1],
            )
            write_act(connection, act, changes)
            self._finish(connection)
            self.act = act
        elif changes:
            self._finish(connection)
        return frozenset(changes)

    def _finish(self, connection: Connection) -> None:
        try:
            commit(connection)
        except IntegrityError as error:
            if error_name(error) != "SQLITE_CONSTRAINT_FOREIGNKEY":
                raise
            name, _, goal = dangling(connection)[0]
            raise BookError(
                f"“{self.verb}” was not done: a {noun_of(name)} would be left without "
                f"its {noun_of(goal)}; put that in, or take both out."
            ) from error
        self._stored = True
