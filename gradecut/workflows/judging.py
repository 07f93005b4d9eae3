"""Judging reps: by exception at speed, or looked at closely."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gradecut.book import Book
from gradecut.records import Actual, Did, Grade, How, Rep, Side
from gradecut.workflows.kept_grades import current_grade, judge_asked
from gradecut.workflows.rep_asked import ask_rep

__all__ = ["change_grade", "judge"]


def judge(
    book: Book,
    rep: Rep,
    *,
    did: Did = "as owed",
    name: str = "",
    side: Side | None = None,
    cause: str = "",
    technique: Mapping[str, float] | None = None,
    effort: float | None = None,
    cannot: Mapping[str, str] | None = None,
    note: str = "",
    how: How = "examined",
    author: str | None = None,
) -> Grade:
    """Record what a man did and grade it; the judgement before is superseded, not lost.

    Parameters
    ----------
    did, name : str
        "as owed"; "fit" with the other fit's name; "miss" with the miss; "cannot grade"
        with the reason.
    side : "left", "right" or None
        Of another fit, where it was not on the side the scheme gives it.
    technique, effort, cannot, note, how
        As in a Grade.
    author : str or None
        Whose judgement it is; None: the book's author.

    Raises
    ------
    GradeError
        When the scheme or its rubric does not know what is said.
    """
    asked = ask_rep(book, rep)
    by = book.author if author is None else author
    actual = Actual(rep_id=rep.id, did=did, name=name, side=side, cause=cause, author=by)
    return judge_asked(
        book, asked, actual, technique=technique, effort=effort, cannot=cannot, note=note, how=how
    )


def change_grade(book: Book, rep: Rep, **changes: Any) -> Grade:
    """Judge again with what the standing judgement says, changed as given.

    Parameters
    ----------
    **changes
        Any arguments of ``judge``. A rep nobody has judged starts as "as owed".
    """
    old = current_grade(book, rep.id)
    said: dict[str, Any] = {"how": "examined"}
    if old is not None:
        said |= {
            "did": old.did,
            "name": old.did_name,
            "side": old.did_side,
            "cause": old.cause,
            "technique": dict(old.technique),
            "effort": old.effort,
            "cannot": {part: why for part, why in old.cannot.items() if part != "fit"},
            "note": old.note,
        }
    if changes.keys() & {"did", "name"}:
        said |= {"side": None}  # it was worked out for what he was said to have done before
    if changes.get("did") in ("as owed", "cannot grade"):
        said |= {"cause": ""}
    if changes.get("did") == "as owed":
        said |= {"name": ""}
    return judge(book, rep, **(said | changes))
