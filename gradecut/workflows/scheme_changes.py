"""Changing the scheme: told before it is kept, kept as one act, and taken back to before."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from gradecut.book import Book
from gradecut.records import Act, Change, Grade, SchemeVersion
from gradecut.scheme import parse_scheme
from gradecut.workflows.booking import book_info, put_in_force, scheme_of
from gradecut.workflows.regrading import Regraded, ToJudge, regrade
from gradecut.workflows.scheme_effects import Effects, Turned, change_effects
from gradecut.workflows.unread_looks import Unread

__all__ = [
    "Effects",
    "KeptVersion",
    "Regraded",
    "ToJudge",
    "Turned",
    "Unread",
    "back_to",
    "change_effects",
    "keep_scheme",
    "regrade",
    "versions",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptVersion:
    """One version of the scheme that the book keeps.

    Attributes
    ----------
    number : int
        Its place among the book's versions, from 1, the oldest first.
    scheme_id, name, version : str
        As in SchemeVersion.
    added_at : str
        When it came, in UTC.
    by : str
        Who brought it; empty where the book can't tell.
    grades : int
        How many grades name it, those that are superseded too.
    standing : int
        How many of them stand.
    in_force : bool
    """

    number: int
    scheme_id: str
    name: str
    version: str
    added_at: str
    by: str
    grades: int
    standing: int
    in_force: bool


def keep_scheme(book: Book, text: str, name: str) -> SchemeVersion:
    """Store the text of a scheme and put it in force, as one act.

    The same text again is the same version; where it is in force already, nothing is done.
    No grade changes: those it turns are stale until they are judged again, see ``regrade``.

    Parameters
    ----------
    text : str
        A whole scheme file.
    name : str
        How a fault names it: the file's name, or "the draft".

    Raises
    ------
    SchemeError
        With every fault; the book then stays as it was.
    """
    return put_in_force(book, parse_scheme(text, name))


def back_to(book: Book, scheme_id: str) -> SchemeVersion:
    """Put a version of the book in force again, as one act.

    Raises
    ------
    BookError
        When the book has no such version.
    """
    return put_in_force(book, scheme_of(book, scheme_id))


def versions(book: Book) -> tuple[KeptVersion, ...]:
    """Return every version of the scheme the book keeps, the oldest first."""
    kept = book.find(SchemeVersion)
    grades = book.find(Grade)
    superseded = {grade.supersedes for grade in grades}
    named = Counter(grade.scheme_id for grade in grades)
    standing = Counter(grade.scheme_id for grade in grades if grade.id not in superseded)
    came_by = _came_by(book, [one.id for one in kept])
    in_force = book_info(book).scheme_id
    return tuple(
        KeptVersion(
            number=number,
            scheme_id=one.id,
            name=one.name,
            version=one.version,
            added_at=one.added_at,
            by=came_by.get(one.id, ""),
            grades=named[one.id],
            standing=standing[one.id],
            in_force=one.id == in_force,
        )
        for number, one in enumerate(kept, 1)
    )


def _came_by(book: Book, ids: list[str]) -> dict[str, str]:
    """Say who brought each version: the author of the first act that put it in."""
    changes = book.find(Change, table="scheme_versions", row_id=ids)
    came = {one.row_id: one.act_id for one in reversed(changes) if one.before is None}
    authors = {act.id: act.author for act in book.find(Act, id=list(came.values()))}
    return {scheme_id: authors.get(act_id, "") for scheme_id, act_id in came.items()}
