"""Grades as they stand, and how another one is kept beside them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import cast

from gradecut.book import Book
from gradecut.errors import GradeError
from gradecut.grading import grade_rep
from gradecut.hints import nearest
from gradecut.records import Actual, Grade, How, Side
from gradecut.workflows.expecting import also_sides, fit_side
from gradecut.workflows.looks import look_digest
from gradecut.workflows.rep_asked import RepAsked

__all__ = ["current_grade", "judge_asked", "rows_of_grade", "said_again"]


def current_grade(book: Book, rep_id: str, author: str | None = None) -> Grade | None:
    """Return a grader's standing judgement of a rep; None while there is none.

    Parameters
    ----------
    author : str or None
        None: the book's author.
    """
    grades = book.find(Grade, rep_id=rep_id, author=book.author if author is None else author)
    return grades[-1] if grades else None


def said_again(grade: Grade) -> Actual:
    """Return what a judgement says that the man did, as its author's word; not stored yet."""
    return Actual(
        rep_id=grade.rep_id,
        did=grade.did,
        name=grade.did_name,
        side=grade.did_side,
        cause=grade.cause,
        author=grade.author,
    )


def judge_asked(
    book: Book,
    asked: RepAsked,
    actual: Actual,
    *,
    technique: Mapping[str, float] | None = None,
    effort: float | None = None,
    cannot: Mapping[str, str] | None = None,
    note: str = "",
    how: How,
) -> Grade:
    """Grade a rep by what it is asked, and store what was done and the grade in one act.

    Parameters
    ----------
    technique, effort, cannot, note, how
        As in a Grade.

    Returns
    -------
    Grade
        The one before where it says the same.

    Raises
    ------
    GradeError
        When the scheme or its rubric does not know what is said.
    """
    rep = asked.rep
    previous = current_grade(book, rep.id, actual.author)
    old = book.find(Actual, rep_id=rep.id, source="marked", author=actual.author)
    rows = rows_of_grade(
        asked,
        actual,
        previous=previous,
        said=old[0] if old else None,
        technique=technique,
        effort=effort,
        cannot=cannot,
        note=note,
        how=how,
    )
    if rows is None:
        return cast("Grade", previous)
    with book.act(f"grade {rep.position} on play {asked.clip.order}") as act:
        act.put(*rows)
    return rows[1]


def rows_of_grade(
    asked: RepAsked,
    actual: Actual,
    *,
    previous: Grade | None,
    said: Actual | None,
    technique: Mapping[str, float] | None = None,
    effort: float | None = None,
    cannot: Mapping[str, str] | None = None,
    note: str = "",
    how: How,
) -> tuple[Actual, Grade] | None:
    """Grade a rep, and return the rows to store; None where the grade before says the same.

    Parameters
    ----------
    previous : Grade or None
        This grader's standing judgement, which is superseded.
    said : Actual or None
        What he said before that the man did; its row is written over.

    Raises
    ------
    GradeError
        When the scheme or its rubric does not know what is said.
    """
    if actual.did == "fit" and actual.name:
        actual = replace(actual, side=_side_of_fit(asked, actual))
    grade = grade_rep(
        rep_id=asked.rep.id,
        author=actual.author,
        expectation=asked.expectation,
        actual=actual,
        rubric=asked.rubric,
        also_sides=also_sides(asked.scheme, asked.expectation, asked.look, asked.own_side),
        owed=asked.owed,
        owed_misses=asked.misses if asked.owed else (),
        technique=technique,
        effort=effort,
        cannot=cannot,
        note=note,
        how=how,
        scheme_id=asked.scheme_id,
        look_digest=look_digest(asked.look),
        previous=previous,
    )
    if previous is not None and _says_the_same(previous, grade):
        return None
    return (replace(actual, id=said.id) if said else actual, grade)


def _side_of_fit(asked: RepAsked, actual: Actual) -> Side | None:
    """Return the side of the other fit he played: as told, else as the scheme places it."""
    if asked.scheme is None:
        return actual.side
    if actual.name not in asked.scheme.fits:
        near = nearest(actual.name, asked.scheme.fits)
        raise GradeError(f"“{actual.name}” is no fit of this scheme; {near}", rep_id=asked.rep.id)
    if actual.side is not None:
        return actual.side
    return fit_side(asked.scheme, actual.name, asked.look, asked.own_side)


def _says_the_same(old: Grade, new: Grade) -> bool:
    return replace(new, id=old.id, at=old.at, supersedes=old.supersedes) == old
