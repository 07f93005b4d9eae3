"""Rows on a connection: read, written, and a transaction around them.

Everything here runs on the store thread.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any, TypeVar

from sqlalchemy import Connection, Table, delete, insert, or_, select
from sqlalchemy import func as sql

from gradecut.book.codec import Codec, Row
from gradecut.book.schema import METADATA

__all__ = [
    "Key",
    "begin",
    "commit",
    "count_rows",
    "dangling",
    "find_rows",
    "roll_back",
    "rows_now",
    "write_rows",
    "writing",
]

Key = tuple[str, str]
"""A row's table and id."""
R = TypeVar("R")

_CHUNK = 10_000  # SQLite takes 32,766 values in one statement


def begin(connection: Connection) -> None:
    """Begin a transaction that nobody else can write beside."""
    connection.exec_driver_sql("BEGIN IMMEDIATE")


def roll_back(connection: Connection) -> None:
    """Take back the open transaction, unless the database has done so itself."""
    if connection.connection.dbapi_connection.in_transaction:  # type: ignore[union-attr]  # SQLite's own
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


def find_rows(connection: Connection, codec: Codec[R], equal: Mapping[str, Any]) -> list[R]:
    """Read the records whose fields equal the stored values given; a list means any of them."""
    table = codec.table
    columns = [table.c[name] for name in codec.names]
    sorting = [table.c[name] for name in ("order", "id") if name in table.c]
    asked = select(*columns).order_by(*sorting)
    parts = _split(equal)
    rows = [row for part in parts for row in connection.execute(asked.where(*_same(table, part)))]
    if len(parts) > 1:
        places = [codec.names.index(column.name) for column in sorting]
        rows.sort(key=lambda row: [row[place] for place in places])
    return [codec.record_of(row) for row in rows]


def count_rows(connection: Connection, codec: Codec[R], equal: Mapping[str, Any]) -> int:
    """Count the records that ``find_rows`` would return."""
    asked = select(sql.count()).select_from(codec.table)
    return sum(
        int(connection.execute(asked.where(*_same(codec.table, part))).scalar_one())
        for part in _split(equal)
    )


def dangling(connection: Connection) -> list[tuple[str, str, str]]:
    """List the rows that rest on a row that is not there: table, row id, table it rests on."""
    found = []
    for name, number, goal, _ in connection.exec_driver_sql("PRAGMA foreign_key_check"):
        row_id = connection.exec_driver_sql(
            f'SELECT id FROM "{name}" WHERE rowid = ?', (number,)
        ).scalar()
        found.append((str(name), str(row_id), str(goal)))
    return found


def _same(table: Table, equal: Mapping[str, Any]) -> list[Any]:
    """Turn equal values into conditions."""
    conditions = []
    for name, value in equal.items():
        column = table.c[name]
        if not isinstance(value, list):
            conditions.append(column.is_(None) if value is None else column == value)
            continue
        some = [item for item in value if item is not None]
        any_of = column.in_(some)
        conditions.append(or_(any_of, column.is_(None)) if len(some) < len(value) else any_of)
    return conditions


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
