"""Reading the journal: who did what to some rows, also to those that are gone."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from sqlalchemy import Connection, and_, or_, select
from sqlalchemy import func as sql

from gradecut.book.codec import codec_of
from gradecut.book.rows import Key
from gradecut.book.schema import TABLES
from gradecut.records import Act, Change

__all__ = ["read_journal"]

_ACTS, _CHANGES = TABLES[Act], TABLES[Change]
_ACT, _CHANGE = codec_of(Act), codec_of(Change)
_AT_ONCE = 200
"""Rows asked for in one statement."""

_Told = tuple[int, Act, list[Change]]
"""An act's number, the act, and those of its changes that were asked for."""


def read_journal(
    connection: Connection, rows: Collection[Key], about: Collection[str]
) -> list[tuple[Act, tuple[Change, ...]]]:
    """Read the acts that changed some rows, each with those changes, the oldest first.

    Parameters
    ----------
    rows : collection of (table, id)
    about : collection of str
        Ids; a row that was taken out, and spoke of one of them, counts too, where it was
        taken out after the first of the other acts.
    """
    found: dict[str, _Told] = {}
    _read(connection, sorted(set(rows)), found)
    first = min((number for number, _, _ in found.values()), default=0)
    _read(connection, sorted(_gone(connection, about, first) - set(rows)), found)
    in_order = sorted(found.values(), key=lambda one: one[0])
    return [
        (act, tuple(sorted(changes, key=lambda change: change.order)))
        for _, act, changes in in_order
    ]


def _read(connection: Connection, keys: Sequence[Key], found: dict[str, _Told]) -> None:
    """Read what was done to some rows into what was found before."""
    columns = [
        *(_ACTS.c[name] for name in _ACT.names),
        *(_CHANGES.c[name] for name in _CHANGE.names),
    ]
    asked = select(_ACTS.c.number, *columns).join(_CHANGES, _CHANGES.c.act_id == _ACTS.c.id)
    split = 1 + len(_ACT.names)
    for start in range(0, len(keys), _AT_ONCE):
        one_of = or_(
            *(
                and_(_CHANGES.c.table == name, _CHANGES.c.row_id == row_id)
                for name, row_id in keys[start : start + _AT_ONCE]
            )
        )
        for row in connection.execute(asked.where(one_of)):
            act = _ACT.record_of(row[1:split])
            found.setdefault(act.id, (row[0], act, []))[2].append(_CHANGE.record_of(row[split:]))


def _gone(connection: Connection, about: Collection[str], first: int) -> set[Key]:
    """Find rows that were taken out since an act and spoke of one of these ids."""
    if not about:
        return set()
    # No index tells of what a row spoke: only acts since the first are looked through.
    since = select(_ACTS.c.id).where(_ACTS.c.number >= first)
    spoke = or_(*(sql.instr(_CHANGES.c.before, one) > 0 for one in about))
    asked = select(_CHANGES.c.table, _CHANGES.c.row_id).where(
        _CHANGES.c.act_id.in_(since), _CHANGES.c.after.is_(None), spoke
    )
    return {(str(name), str(row_id)) for name, row_id in connection.execute(asked)}
