"""Judging reps: by exception at speed, or looked at closely."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from gradecut.book import Book
from gradecut.errors import GradeError
from gradecut.grading import grade_rep
from gradecut.hints import nearest
from gradecut.records import Actual, Clip, Did, Grade, How, Rep, Side
from gradecut.workflows.booking import book_info
from gradecut.workflows.counting import add_event, drop_event, toggle_flag
from gradecut.workflows.expecting import also_sides, fit_side
from gradecut.workflows.line_ups import put_in
from gradecut.workflows.looks import look_digest
from gradecut.workflows.rep_asked import RepAsked, ask_rep, ask_reps, own_side

__all__ = [
    "Passed",
    "RepAsked",
    "add_event",
    "ask_rep",
    "change_grade",
    "current_grade",
    "drop_event",
    "judge",
    "own_side",
    "pass_clip",
    "put_in",
    "toggle_flag",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Passed:
    """What letting a clip through came to.

    Attributes
    ----------
    graded : tuple of Grade
        The reps that were let through as right.
    left : tuple of str
        One sentence for each rep that stays open.
    """

    graded: tuple[Grade, ...]
    left: tuple[str, ...]


def current_grade(book: Book, rep_id: str, author: str | None = None) -> Grade | None:
    """Return a grader's standing judgement of a rep; None while there is none.

    Parameters
    ----------
    author : str or None
        None: the book's author.
    """
    grades = book.find(Grade, rep_id=rep_id, author=book.author if author is None else author)
    return grades[-1] if grades else None


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
    return _keep(
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


def pass_clip(book: Book, clip: Clip) -> Passed:
    """Let a clip through: every rep that waits for a grade did what he owed.

    Reps of graded men only; a rep with an open question stays open, and is told. Where
    the scheme has no run job for him he is kept as "not graded", so that he is done too.
    """
    info = book_info(book)
    reps = book.find(Rep, clip_id=clip.id)
    graded_by_me = {
        grade.rep_id
        for grade in book.find(Grade, rep_id=[rep.id for rep in reps], author=book.author)
    }
    waiting = [rep for rep in reps if rep.id not in graded_by_me]
    graded: list[Grade] = []
    left: list[str] = []
    with book.act(f"pass play {clip.order}"):
        for asked in ask_reps(book, clip, waiting):
            if not _is_graded_here(asked, info.graded_group):
                continue
            if not asked.settled and asked.expectation.graded:
                left.append(_still_open(asked))
                continue
            actual = Actual(rep_id=asked.rep.id, did="as owed", author=book.author)
            graded.append(_keep(book, asked, actual, how="passed"))
    return Passed(graded=tuple(graded), left=tuple(left))


def _keep(
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
    """Grade a rep and store what was done and the grade in one act."""
    rep = asked.rep
    if actual.did == "fit" and actual.name:
        actual = replace(actual, side=_side_of_fit(asked, actual))
    previous = current_grade(book, rep.id, actual.author)
    grade = grade_rep(
        rep_id=rep.id,
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
        return previous
    old = book.find(Actual, rep_id=rep.id, source="marked", author=actual.author)
    with book.act(f"grade {rep.position} on play {asked.clip.order}") as act:
        act.put(replace(actual, id=old[0].id) if old else actual, grade)
    return grade


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


def _is_graded_here(asked: RepAsked, group: str) -> bool:
    if asked.scheme is None:
        return True
    man = asked.scheme.positions.get(asked.rep.position)
    return man is not None and man.graded and (not group or man.group == group)


def _still_open(asked: RepAsked) -> str:
    needs = asked.expectation.needs
    if needs and asked.scheme is not None:
        question = asked.scheme.fact_of(needs[0]).asks or needs[0]
        return f"{asked.rep.position} stays open: {question}"
    return f"{asked.rep.position} stays open: {asked.expectation.reason}"
