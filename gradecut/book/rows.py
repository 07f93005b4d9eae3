"""Rows on a connection: read, written, and a transaction around them.

Everything here runs on the store thread.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import cache
from typing import Any, Literal, TypeVar

from sqlalchemy import (
    Column,
    ColumnElement,
    Connection,
    Select,
    Table,
    bindparam,
    delete,
    insert,
    or_,
    select,
)
from sqlalchemy import func as sql

from gradecut.book.codec import Codec, Row
from gradecut.book.schema import METADATA, TABLES
from gradecut.records import Act

__all__ = [
    "Key",
    "begin",
    "commit",
    "count_rows",
    "dangling",
    "distinct_values",
    "find_rows",
    "is_open",
    "newest_number",
    "roll_back",
    "rows_now",
    "standing_still",
    "write_rows",
    "writing",
]

Key = tuple[str, str]
"""A row's table and id."""
R = TypeVar("R")
_Sort = Literal["none", "one", "some", "some or none"]
"""What a field is to be: empty, a value, one of some, or one of some or empty."""

_CHUNK = 10_000  # SQLite takes 32,766 values in one statement


def begin(connection: Connection) -> None:
    """Begin a transaction that nobody else can write beside."""
    connection.exec_driver_sql("BEGIN IMMEDIATE")


def is_open(connection: Connection) -> bool:
    """Whether a transaction is open: the database ends one itself when its disk is full."""
    return bool(connection.connection.dbapi_connection.in_transaction)  # type: ignore[union-attr]  # SQLite's own


def roll_back(connection: Connection) -> None:
    """Take back the open transaction, unless the database has done so itself."""
    if is_open(connection):
        connection.exec_driver_sql("ROLLBACK")


def commit(connection: Connection) -> None:
    """Make the open transaction last; it stays open when the database refuses."""
    connection.exec_driver_sql("COMMIT")


@contextmanager
def writing(connection: Connection) -> Iterator[None]:
    """Begin a transaction; what the block has not committed at its end is taken back."""
    begin(connection)
    try:
        yield
    finally:
        roll_back(connection)


def rows_now(connection: Connection, keys: Iterable[Key]) -> dict[Key, Row | None]:
    """Read rows by table and id; None stands for a row that is not there."""
    found: dict[Key, Row | None] = dict.fromkeys(keys)
    by_table: dict[str, list[str]] = defaultdict(list)
    for name, row_id in found:
        by_table[name].append(row_id)
    for name, ids in by_table.items():
        table = METADATA.tables[name]
        for some in _chunks(ids):
            for row in connection.execute(select(table).where(table.c.id.in_(some))).mappings():
                found[name, row["id"]] = dict(row)
    return found


def write_rows(connection: Connection, rows: Mapping[Key, Row | None]) -> None:
    """Make each row as given; None takes it away.

    All of them leave before any is put in, so that rows may trade what must be unique.
    """
    leaving: dict[str, list[str]] = defaultdict(list)
    coming: dict[str, list[Row]] = defaultdict(list)
    for (name, row_id), row in rows.items():
        leaving[name].append(row_id)
        if row is not None:
            coming[name].append(row)
    for name, ids in leaving.items():
        table = METADATA.tables[name]
        for some in _chunks(ids):
            connection.execute(delete(table).where(table.c.id.in_(some)))
    for name, new in coming.items():
        connection.execute(insert(METADATA.tables[name]), new)


@contextmanager
def standing_still(connection: Connection) -> Iterator[None]:
    """Let nothing change meanwhile what is read; the file is locked once, not for each question.

    Inside an act its own transaction does that.
    """
    raw = connection.connection.dbapi_connection
    if raw is None or raw.in_transaction:
        yield
        return
    connection.exec_driver_sql("BEGIN")
    try:
        yield
    finally:
        connection.exec_driver_sql("COMMIT")


def find_rows(connection: Connection, codec: Codec[R], equal: Mapping[str, Any]) -> list[R]:
    """Read the records whose fields equal the stored values given; a list means any of them."""
    parts = _split(equal)
    rows = [row for part in parts for row in connection.execute(*_asked(codec, part))]
    if len(parts) > 1:
        places = [codec.names.index(column.name) for column in _sorting(codec.table)]
        rows.sort(key=lambda row: [row[place] for place in places])
    return [codec.record_of(row) for row in rows]


def count_rows(connection: Connection, codec: Codec[R], equal: Mapping[str, Any]) -> int:
    """Count the records that ``find_rows`` would return."""
    parts = (_asked(codec, part, counting=True) for part in _split(equal))
    return sum(int(connection.execute(*asked).scalar_one()) for asked in parts)


def distinct_values(connection: Connection, codec: Codec[Any], name: str) -> list[Any]:
    """Read the stored values a field has anywhere, each once, in order."""
    column = codec.table.c[name]
    return list(connection.execute(select(column).distinct().order_by(column)).scalars())


def newest_number(connection: Connection) -> int:
    """Read the number of the newest act; 0 before the first."""
    return int(connection.execute(select(sql.max(TABLES[Act].c.number))).scalar() or 0)


def dangling(connection: Connection) -> list[tuple[str, str, str]]:
    """List the rows that rest on a row that is not there: table, row id, table it rests on."""
    found = []
    for name, number, goal, _ in connection.exec_driver_sql("PRAGMA foreign_key_check"):
        row_id = connection.exec_driver_sql(
            f'SELECT id FROM "{name}" WHERE rowid = ?', (number,)
        ).scalar()
        found.append((str(name), str(row_id), str(goal)))
    return found


def _asked(
    codec: Codec[Any], equal: Mapping[str, Any], *, counting: bool = False
) -> tuple[Select[Any], dict[str, Any]]:
    """Return a question and the values to put into it.

    Questions of one shape are one statement, built once: building it takes longer than SQLite
    needs to answer.
    """
    # Any of one is that one: a list in a statement has to be written into it each time.
    asked = {name: value[0] if _is_one(value) else value for name, value in equal.items()}
    shape = tuple((name, _sort_of(value)) for name, value in asked.items())
    values = {
        name: [item for item in value if item is not None] if isinstance(value, list) else value
        for name, value in asked.items()
        if value is not None
    }
    return _statement(codec, shape, counting), values


def _is_one(value: Any) -> bool:
    return isinstance(value, list) and len(value) == 1


def _sort_of(value: Any) -> _Sort:
    if not isinstance(value, list):
        return "none" if value is None else "one"
    return "some or none" if None in value else "some"


@cache
def _statement(
    codec: Codec[Any], shape: tuple[tuple[str, _Sort], ...], counting: bool
) -> Select[Any]:
    table = codec.table
    asked: Select[Any] = (
        select(sql.count()).select_from(table)
        if counting
        else select(*(table.c[name] for name in codec.names)).order_by(*_sorting(table))
    )
    return asked.where(*(_condition(table.c[name], name, sort) for name, sort in shape))


def _condition(column: Column[Any], name: str, sort: _Sort) -> ColumnElement[bool]:
    if sort == "none":
        return column.is_(None)
    if sort == "one":
        return column == bindparam(name)
    any_of = column.in_(bindparam(name, expanding=True))
    return or_(any_of, column.is_(None)) if sort == "some or none" else any_of


def _sorting(table: Table) -> list[Column[Any]]:
    return [table.c[name] for name in ("order", "id") if name in table.c]


def _split(equal: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Cut the longest list into parts that fit a statement; no part when a list is empty."""
    lists = {name: value for name, value in equal.items() if isinstance(value, list)}
    if not all(lists.values()):
        return []
    if not lists:
        return [dict(equal)]
    longest = max(lists, key=lambda name: len(lists[name]))
    return [{**equal, longest: some} for some in _chunks(lists[longest])]


def _chunks(values: Sequence[Any]) -> list[list[Any]]:
    """Cut a list into parts that fit a statement."""
    return [list(values[at : at + _CHUNK]) for at in range(0, len(values), _CHUNK)]
