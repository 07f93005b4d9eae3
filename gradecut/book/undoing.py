"""Taking acts back, and taking that back: always a new act, never a rewritten past.

Undo reverses an author's newest act on this computer that still stands; redo reverses
the newest undo, as long as nothing was done since. Acts of an older schema are
history: their rows had other columns.
"""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator

from sqlalchemy import Connection, select
from sqlalchemy.exc import IntegrityError

from gradecut.book.acts import Doer, write_act
from gradecut.book.codec import Row, codec_of
from gradecut.book.faults import clashing_table, error_name
from gradecut.book.rows import Key, commit, dangling, rows_now, write_rows, writing
from gradecut.book.schema import REVISIONS, TABLES, is_made_anew, noun_of
from gradecut.errors import BookError, UndoRefused
from gradecut.records import Act, Change

__all__ = ["newest_standing", "newest_undo", "redo_newest", "undo_newest"]

_ACTS, _CHANGES = TABLES[Act], TABLES[Change]
_ACT = codec_of(Act)
_ACT_COLUMNS = [_ACTS.c[name] for name in _ACT.names]
_PAGE = 200

Reversal = dict[Key, tuple[Row | None, Row | None]]


def newest_standing(connection: Connection, doer: Doer, past: Collection[str] = ()) -> Act | None:
    """Find the doer's newest act that undo would take back; those in ``past`` are left alone."""
    taken: set[str] = set(past)
    for act, taking_back in _own_acts(connection, doer):
        if act.id in taken:
            continue
        if not taking_back:
            return act
        taken.add(str(act.undoes))
    return None


def newest_undo(connection: Connection, doer: Doer) -> Act | None:
    """Find the doer's newest undo that redo would take back."""
    taken: set[str] = set()
    for act, taking_back in _own_acts(connection, doer):
        if act.id in taken:
            continue
        if taking_back:
            return act
        if act.undoes is None:
            return None
        taken.add(act.undoes)
    return None


def undo_newest(
    connection: Connection, doer: Doer, past: Collection[str] = ()
) -> tuple[Act, frozenset[Key]]:
    """Take the doer's newest standing act back; return the new act and the rows it changed.

    Raises
    ------
    UndoRefused
        When a row has moved on since, or another one now stands in the way.
    BookError
        When there is nothing to take back.
    """
    with writing(connection):
        act = newest_standing(connection, doer, past)
        if act is None:
            raise BookError("There is nothing of yours to take back in this book.")
        return _reverse(connection, act, doer, f"take back “{act.verb}”", taking_back=True)


def redo_newest(connection: Connection, doer: Doer) -> tuple[Act, frozenset[Key]]:
    """Do again what the doer's newest undo took back.

    Raises
    ------
    UndoRefused
        When a row has moved on since, or another one now stands in the way.
    BookError
        When there is nothing to do again.
    """
    with writing(connection):
        undo = newest_undo(connection, doer)
        if undo is None:
            raise BookError("There is nothing to do again: the last thing done was no undo.")
        verb = str(
            connection.execute(select(_ACTS.c.verb).where(_ACTS.c.id == undo.undoes)).scalar_one()
        )
        return _reverse(connection, undo, doer, verb, taking_back=False)


def _own_acts(connection: Connection, doer: Doer) -> Iterator[tuple[Act, bool]]:
    """Go through the doer's acts of this schema, newest first, each with whether it is an undo."""
    asked = (
        select(_ACTS.c.number, _ACTS.c.taking_back, *_ACT_COLUMNS)
        .where(_ACTS.c.author == doer.author, _ACTS.c.computer == doer.computer)
        .where(_ACTS.c.schema == REVISIONS[-1])
        .order_by(_ACTS.c.number.desc())
        .limit(_PAGE)
    )
    page = connection.execute(asked).all()
    while page:
        for row in page:
            yield _ACT.record_of(row[2:]), bool(row[1])
        page = connection.execute(asked.where(_ACTS.c.number < page[-1][0])).all()


def _reverse(
    connection: Connection, act: Act, doer: Doer, verb: str, *, taking_back: bool
) -> tuple[Act, frozenset[Key]]:
    """Put every row an act changed back to how it was before, as a new act."""
    done = _changes(connection, act)
    now = rows_now(connection, done)
    for key, (_, after) in done.items():
        if now[key] != after:
            raise _refused(connection, act, key)
    reversal: Reversal = {
        key: (after, before) for key, (before, after) in reversed(list(done.items()))
    }
    new = Act(
        author=doer.author,
        computer=doer.computer,
        verb=verb,
        schema=REVISIONS[-1],
        undoes=act.id,
    )
    try:
        write_rows(connection, {key: row for key, (_, row) in reversal.items()})
        write_act(connection, new, reversal, taking_back=taking_back)
        commit(connection)
    except IntegrityError as error:
        raise _refused(connection, act, _in_the_way(connection, error)) from error
    return new, frozenset(reversal)


def _changes(connection: Connection, act: Act) -> Reversal:
    """Read what an act changed: before and after, by row; what is made anew stays as it is."""
    asked = (
        select(_CHANGES.c.table, _CHANGES.c.row_id, _CHANGES.c.before, _CHANGES.c.after)
        .where(_CHANGES.c.act_id == act.id)
        .order_by(_CHANGES.c.order)
    )
    return {
        (name, row_id): (_row(before), _row(after))
        for name, row_id, before, after in connection.execute(asked)
        if not is_made_anew(name)
    }


def _row(kept: str | None) -> Row | None:
    """Read a row as the journal keeps it."""
    return None if kept is None else dict(json.loads(kept))


def _in_the_way(connection: Connection, error: IntegrityError) -> Key:
    """Name the row (or, with an empty id, the table) that made the database refuse."""
    if error_name(error) == "SQLITE_CONSTRAINT_FOREIGNKEY":
        name, row_id, _ = dangling(connection)[0]
        return name, row_id
    return clashing_table(error), ""


def _refused(connection: Connection, act: Act, key: Key) -> UndoRefused:
    """Say who did what to a row since an act."""
    name, row_id = key
    asked = (
        select(_ACTS.c.author, _ACTS.c.computer, _ACTS.c.verb)
        .join(_CHANGES, _CHANGES.c.act_id == _ACTS.c.id)
        .where(_CHANGES.c.table == name)
        .where(
            _ACTS.c.number > select(_ACTS.c.number).where(_ACTS.c.id == act.id).scalar_subquery()
        )
        .order_by(_ACTS.c.number.desc())
        .limit(1)
    )
    latest = connection.execute(
        asked.where(_CHANGES.c.row_id == row_id) if row_id else asked
    ).first()
    if latest is None:
        said = f"a {noun_of(name)} of it is not as it was left"
    else:
        who = latest.author or "somebody"
        if latest.computer != act.computer:
            who += f" on {latest.computer}"
        said = f"{who} has since done “{latest.verb}” to the same {noun_of(name)}"
    return UndoRefused(f"“{act.verb}” can't be taken back: {said}; change it by hand instead.")
