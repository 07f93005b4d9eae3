"""Letting a play through at speed: the picture is right, and so is every fit left open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from gradecut.book import Book
from gradecut.records import Actual, Clip, Grade, Rep
from gradecut.workflows.booking import graded_group, graded_here
from gradecut.workflows.carried_looks import carried_look, look_to_confirm
from gradecut.workflows.carried_men import carried_men, rep_at
from gradecut.workflows.clip_facts import carried_clip_facts
from gradecut.workflows.kept_grades import rows_of_grade, said_again
from gradecut.workflows.let_through import PASSING
from gradecut.workflows.rep_asked import RepAsked, ask_reps
from gradecut.workflows.staleness import is_stale

__all__ = ["Left", "Passed", "pass_clip", "still_open"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Left:
    """A man who stays open.

    Attributes
    ----------
    man : str
        His position.
    why : str
        One sentence.
    """

    man: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Passed:
    """What letting a clip through came to.

    Attributes
    ----------
    graded : tuple of Grade
        The reps that were let through as right.
    left : tuple of Left
        Those who stay open.
    held : bool
        A fact that matters is open: nothing was stored.
    """

    graded: tuple[Grade, ...] = ()
    left: tuple[Left, ...] = ()
    held: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class _Play:
    """All that Enter goes by, read at one go.

    Attributes
    ----------
    asked : sequence of RepAsked
        Of the men who are graded here, on the look as it is drawn.
    standing, said : mapping of rep id to Grade, Actual
        What this grader judged and said before.
    drawn : sequence
        Rows that say by his word what is drawn and was not said by anybody: men who stay in,
        and facts.
    taken_over : mapping
        What the clip takes over, by its own field names.
    """

    asked: Sequence[RepAsked]
    standing: Mapping[str, Grade]
    said: Mapping[str, Actual]
    drawn: Sequence[object]
    taken_over: Mapping[str, Any]


def pass_clip(book: Book, clip: Clip) -> Passed:
    """Let a clip through, as one act: its picture is right, and who is open did what he owed.

    What is drawn of the look, and what the play takes over from those before it, men, facts
    and the rest, is stored as marked. Reps of graded men only; where there is no run job for a
    man he is kept as "not graded", so that he is done too. A man judged before keeps his grade;
    where the look or the scheme has moved on since, what he was said to have done is judged by
    them anew, as long as it says the same of him still, and else he is left for another look.

    While a fact that matters to somebody is open, nothing is stored. A man the scheme has no
    answer for is left, and the others are let through.
    """
    play = book.reading(lambda: _read(book, clip))
    fresh = [one for one in play.asked if one.rep.id not in play.standing]
    unruled = [one for one in fresh if not one.settled and one.expectation.graded]
    if any(one.expectation.needs for one in unruled):
        return _left(unruled, held=True)
    stale = [one for one in play.asked if _gone_stale(one, play.standing)]
    doubted = [one for one in stale if not _still_said(play.standing[one.rep.id], one)]
    graded = [_as_owed(book, play, one) for one in fresh if one not in unruled]
    graded += [_anew(play, one) for one in stale if one not in doubted]
    rows = [*play.drawn, *(row for pair in graded if pair for row in pair)]
    if rows or play.taken_over:
        with book.act(f"{PASSING} {clip.order}") as act:
            act.put(*rows, *_with_taken_over(book, clip, play.taken_over))
    return _left([*unruled, *doubted], graded=[pair[1] for pair in graded if pair])


def _read(book: Book, clip: Clip) -> _Play:
    there = book.find(Rep, clip_id=clip.id)
    staying = carried_men(book, clip)
    coming = [rep_at(one) for one in staying]
    reps = [*there, *coming]
    ids, author = [rep.id for rep in reps], book.author
    group = graded_group(book)
    carried = carried_look(book, clip)
    return _Play(
        asked=[
            one
            for one in ask_reps(book, clip, reps, carried=carried)
            if graded_here(one.scheme, group, one.rep.position)
        ],
        standing={one.rep_id: one for one in book.find(Grade, rep_id=ids, author=author)},
        said={
            one.rep_id: one for one in book.find(Actual, rep_id=ids, source="marked", author=author)
        },
        drawn=[
            *staying,
            *coming,
            *look_to_confirm(book, clip, carried),
        ],
        taken_over=carried_clip_facts(book, clip),
    )


def _with_taken_over(book: Book, clip: Clip, taken_over: Mapping[str, Any]) -> list[Clip]:
    """Return the clip as it stands now with what it takes over; none where that is nothing."""
    if not taken_over:
        return []
    now = book.get(Clip, clip.id)
    blank = {name: value for name, value in taken_over.items() if not getattr(now, name)}
    return [replace(now, **blank)]


def _as_owed(book: Book, play: _Play, asked: RepAsked) -> tuple[Actual, Grade] | None:
    actual = Actual(rep_id=asked.rep.id, did="as owed", author=book.author)
    said = play.said.get(asked.rep.id)
    return rows_of_grade(asked, actual, previous=None, said=said, how="passed")


def _anew(play: _Play, asked: RepAsked) -> tuple[Actual, Grade] | None:
    """Judge what was said of him by the look and the scheme of today."""
    grade = play.standing[asked.rep.id]
    return rows_of_grade(
        asked,
        said_again(grade),
        previous=grade,
        said=play.said.get(asked.rep.id),
        technique=grade.technique,
        effort=grade.effort,
        cannot=grade.cannot,
        note=grade.note,
        how=grade.how,
    )


def _gone_stale(asked: RepAsked, standing: Mapping[str, Grade]) -> bool:
    grade = standing.get(asked.rep.id)
    return grade is not None and is_stale(grade, asked)


def _still_said(grade: Grade, asked: RepAsked) -> bool:
    """Tell whether what he was said to have done says the same of him on the look of today.

    Right is right whatever he owed; a miss is one of the same fit.
    """
    if not asked.settled and asked.expectation.graded:
        return False
    if grade.did == "as owed":
        return True
    return grade.did == "miss" and grade.expected_fit == asked.owes


def _left(asked: Sequence[RepAsked], *, graded: Sequence[Grade] = (), held: bool = False) -> Passed:
    return Passed(
        graded=tuple(graded),
        left=tuple(Left(man=one.rep.position, why=still_open(one)) for one in asked),
        held=held,
    )


def still_open(asked: RepAsked) -> str:
    """Say why a rep stays open, with the question that would settle it."""
    who, needs = asked.rep.position, asked.expectation.needs
    if asked.settled or not asked.expectation.graded:
        return f"{who} was judged by another look; say again what he did."
    if needs and asked.scheme is not None:
        question = asked.scheme.fact_of(needs[0]).asks or needs[0]
        return f"{who} stays open: {question}"
    return f"{who} stays open: {asked.expectation.reason}"
