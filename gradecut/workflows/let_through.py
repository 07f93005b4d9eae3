"""What stands in the book because a play was let through at speed, and for no other reason."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from gradecut.book import Book
from gradecut.book.schema import table_of
from gradecut.records import Actual, FactValue, Grade, Rep

__all__ = ["PASSING", "facts_let_through", "words_let_through"]

PASSING = "all right on play"
"""How the verb of an act that lets a play through begins."""
_AS_BEFORE = "pass play"
"""How it began in books of before."""


def facts_let_through(book: Book, clip_ids: Collection[str]) -> list[FactValue]:
    """Return the marked facts of some clips that Enter confirmed as drawn, told by nobody since."""
    facts = book.find(FactValue, clip_id=list(clip_ids), source="marked")
    others = _said_otherwise(book, table_of(FactValue), [fact.id for fact in facts])
    return [fact for fact in facts if fact.id not in others]


def words_let_through(book: Book, reps: Sequence[Rep]) -> dict[str, list[Grade | Actual]]:
    """Return what was said by letting them through of the reps that were never judged otherwise.

    Returns
    -------
    dict of rep id to list of Grade or Actual
    """
    ids = [rep.id for rep in reps]
    grades, actuals = book.find(Grade, rep_id=ids), book.find(Actual, rep_id=ids)
    others = {
        *_said_otherwise(book, table_of(Grade), [one.id for one in grades]),
        *_said_otherwise(book, table_of(Actual), [one.id for one in actuals]),
    }
    said: dict[str, list[Grade | Actual]] = {}
    judged: set[str] = set()
    rows: list[Grade | Actual] = [*grades, *actuals]
    for row in rows:
        said.setdefault(row.rep_id, []).append(row)
        if row.id in others:
            judged.add(row.rep_id)
    return {rep_id: rows for rep_id, rows in said.items() if rep_id not in judged}


def _said_otherwise(book: Book, table: str, row_ids: Sequence[str]) -> set[str]:
    """Return the rows that another act than letting through has made or changed."""
    return {
        change.row_id
        for act, changes in book.journal([(table, row_id) for row_id in row_ids])
        if not any(verb in act.verb for verb in (PASSING, _AS_BEFORE))
        for change in changes
    }
