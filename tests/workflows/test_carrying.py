"""A grade is carried over from what he did; where that can't be told, a person is asked."""

from __future__ import annotations

from pathlib import Path

from gradecut.book import Book
from gradecut.records import Grade, Side, Source
from gradecut.scheme import Scheme
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.carrying import carry_over
from gradecut.workflows.judging import judge
from gradecut.workflows.looks import tell_facts
from gradecut.workflows.rep_asked import ask_rep
from gradecut.workflows.staleness import is_stale
from tests.workflows.small_week import also_on_the_other_side, clip_of, rep_of


def in_force(book: Book) -> Scheme:
    """Give the scheme in force."""
    found = scheme_in_force(book)
    assert found is not None
    return found


def tell(book: Book, *, way: Side, source: Source = "marked") -> None:
    """Tell of play 1 that strength and run were both on one side: Keel fills A there."""
    told = {"strength": way, "run": way}
    tell_facts(book, in_force(book), clip_of(book, 1), told, source=source)


def test_a_side_read_from_a_look_told_otherwise_is_asked_again(book: Book) -> None:
    """He filled A on the right as it was told then; now it is the left: nobody saw which."""
    rep = rep_of(book, 1, "Keel")
    grade = judge(book, rep)
    assert (grade.expected_fit, grade.expected_side) == ("fill A", "right")
    tell(book, way="left")
    asked = ask_rep(book, rep)
    assert (asked.owes, asked.expectation.side) == ("fill A", "left")
    assert is_stale(grade, asked)
    assert carry_over(grade, asked) == (
        "He did fill A on the right, as the look was told then; by the look told now that may "
        "have been the other side."
    )


def test_a_side_read_from_the_look_there_still_is_stands(book: Book, tmp_path: Path) -> None:
    """The rules put fill A on the other side now: he did the right fit on the wrong side."""
    rep = rep_of(book, 1, "Keel")
    grade = judge(book, rep)
    also_on_the_other_side(book, tmp_path)
    asked = ask_rep(book, rep)
    assert (asked.owes, asked.expectation.side) == ("fill A", "left")
    carried = carry_over(grade, asked)
    assert isinstance(carried, Grade)
    assert (carried.did, carried.did_name, carried.did_side) == ("fit", "fill A", "right")
    assert (carried.fit_result, carried.supersedes) == ("wrong", grade.id)


def test_a_look_told_back_needs_nobody(book: Book) -> None:
    """Told left and right again, the look is the one he was graded by."""
    rep = rep_of(book, 1, "Keel")
    grade = judge(book, rep)
    tell(book, way="left")
    tell(book, way="right")
    assert not is_stale(grade, ask_rep(book, rep))


def test_a_changed_look_that_asks_the_same_is_carried_over(book: Book) -> None:
    """Keel's fill A on trap hangs on strength and concept, not on where the back is."""
    rep = rep_of(book, 1, "Keel")
    told = {"concept": "trap"}
    tell_facts(book, in_force(book), clip_of(book, 1), told, source="marked")
    grade = judge(book, rep)
    tell_facts(book, in_force(book), clip_of(book, 1), {"back": "behind"}, source="marked")
    asked = ask_rep(book, rep)
    assert not is_stale(grade, asked)
    assert isinstance(carry_over(grade, asked), Grade)
