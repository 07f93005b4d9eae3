"""Where something was done: the play, and the man, an act of the journal touched."""

from __future__ import annotations

import json
from typing import Any

from gradecut.book import Book, table_of
from gradecut.records import (
    Act,
    Angle,
    Change,
    Clip,
    Rep,
)
from gradecut.workflows.of_a_rep import OF_A_PLAY, SAID_OF_A_REP

__all__ = ["place_of"]

_ON_A_PLAY = frozenset(table_of(kind) for kind in (*SAID_OF_A_REP, *OF_A_PLAY, Angle, Clip, Rep))
"""What is done on the Film page; pieces of a reel lie on plays too, and are seen elsewhere."""
_MOST = 60
"""An act with more changes than this was none of one play."""


def place_of(book: Book, act: Act) -> tuple[str, str] | None:
    """Return the play an act touched, and the rep where it is one.

    Returns
    -------
    (str, str) or None
        The clip's id and the rep's, which is empty where it touched several or the play as a
        whole; None where it touched several plays, none, or one that is not there any more.
    """
    if not 0 < book.count(Change, act_id=act.id) <= _MOST:
        return None
    clips: set[str] = set()
    reps: set[str] = set()
    angles: set[str] = set()
    for change in book.find(Change, act_id=act.id):
        if change.table not in _ON_A_PLAY:
            return None
        told = change.after or change.before
        row: dict[str, Any] = json.loads(told) if told else {}
        if change.table in (table_of(Clip), table_of(Rep)):
            (clips if change.table == table_of(Clip) else reps).add(change.row_id)
        for name, found in (("clip_id", clips), ("rep_id", reps), ("angle_id", angles)):
            if row.get(name):
                found.add(str(row[name]))
    there = book.find(Rep, id=list(reps))
    clips |= {rep.clip_id for rep in there}
    clips |= {angle.clip_id for angle in book.find(Angle, id=list(angles))}
    if len(clips) != 1 or not book.count(Clip, id=list(clips)):
        return None
    one_man = len(reps) == len(there) == 1
    return clips.pop(), there[0].id if one_man else ""
