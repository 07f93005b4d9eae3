"""A second grader grades blind: what others judged is hidden, and guarded all the same."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.desk.clip_state import read_clip
from gradecut.errors import BookError
from gradecut.records import Grade, Rep
from gradecut.workflows.agreeing import agreement_of, graders_of
from gradecut.workflows.judging import judge
from gradecut.workflows.line_ups import take_out
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.moments import timeline_of
from tests.workflows.two_books import INSIDE, OUTSIDE, clip_of, grade_a_bit, make_book, rep_of


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """Give a book the inside coach has graded a bit, in the outside coach's hands."""
    made = make_book(tmp_path / "a.gradecut", INSIDE)
    grade_a_bit(made, "Keel")
    made.author = OUTSIDE
    return made


def test_nothing_others_judged_is_read_while_blind(book: Book) -> None:
    """Grades, flags, events, drawings and a man's moments are hidden; the look is not."""
    book.blind = True
    lines = rep_lines(book)
    assert not any(line.grade or line.flagged or line.events or line.lined_up for line in lines)
    state = read_clip(book, clip_of(book, 1).id)
    assert state.marks == ()
    assert timeline_of(book, clip_of(book, 1).id).moments == []
    assert state.look["back"] == "behind"
    book.blind = False
    lines = rep_lines(book)
    assert any(line.grade for line in lines)
    assert any(line.flagged for line in lines)
    assert len(read_clip(book, clip_of(book, 1).id).marks) == 1


def test_his_own_is_read_while_blind(book: Book) -> None:
    """What he judges himself shows as ever."""
    book.blind = True
    grade_a_bit(book, "Keel")
    shown = [line for line in rep_lines(book) if line.grade]
    assert {line.grade.author for line in shown if line.grade} == {OUTSIDE}
    assert len(shown) == 3


def test_what_is_hidden_is_guarded_all_the_same(book: Book) -> None:
    """A man another coach judged can't be taken out by one who does not see it."""
    book.blind = True
    assert not take_out(book, rep_of(book, 1, "Keel"))
    assert book.count(Rep, id=rep_of(book, 1, "Keel").id) == 1


def test_a_grader_has_his_own_group(book: Book) -> None:
    """The inside coach sees his linebackers, the outside coach the secondary, on one play."""
    clip_id = clip_of(book, 1).id
    assert {man.position for man in read_clip(book, clip_id).men} >= {"Keel", "Bow", "Port"}
    book.group = "secondary"
    assert not {man.position for man in read_clip(book, clip_id).men} & {"Keel", "Bow", "Port"}


def test_agreement_is_hidden_while_blind_and_told_with_n_after(book: Book) -> None:
    """It would tell what he must not know yet; lifted, it counts only what he judged before."""
    book.blind = True
    judge(book, rep_of(book, 2, "Keel"))
    judge(book, rep_of(book, 1, "Keel"))
    with pytest.raises(BookError, match="grade blind"):
        agreement_of(book, OUTSIDE, INSIDE)
    book.blind = False
    lifted = max(grade.at for grade in book.find(Grade))
    later = judge(book, rep_of(book, 3, "Keel"))
    assert graders_of(book) == (INSIDE,)
    told = agreement_of(book, OUTSIDE, INSIDE, blind_until=lifted)
    assert (told.both, told.apart) == (2, 1)
    assert later.at >= lifted
    assert told.not_blind == (1 if later.at > lifted else 0)
    assert told.fit.n == 1
    assert told.fit.words == "Fit: 1 of 1 alike, kappa has no value (n = 1; too few to rest on)."
    assert told.words[0] == "R. Boone and J. Alder both judged 2 reps."


def test_agreement_weighs_wrong_for_right_more_than_half_for_right(tmp_path: Path) -> None:
    """Linearly weighted kappa of a small table worked out by hand.

    Both graded four reps: right/right, right/right, wrong/wrong, wrong/right. Shares of
    disagreement: observed 1/4 x 2 steps; by chance 1/2 x 3/4 x 2 + 1/2 x 1/4 x 2 steps = 1;
    kappa = 1 - 0.5 / 1 = 0.5 (J. Cohen 1968, worked by hand).
    """
    book = make_book(tmp_path / "a.gradecut", INSIDE)
    for grader, wrongs in ((INSIDE, (3, 4)), (OUTSIDE, (3,))):
        book.author = grader
        for play in (1, 2, 3, 4):
            rep = rep_of(book, play, "Keel")
            if play in wrongs:
                judge(book, rep, did="miss", name="ran past it")
            else:
                judge(book, rep)
    told = agreement_of(book, INSIDE, OUTSIDE)
    assert (told.fit.n, told.fit.alike) == (4, 3)
    assert told.fit.kappa == pytest.approx(0.5)
    assert told.fit.words == "Fit: 3 of 4 alike, kappa 0.50 (n = 4; too few to rest on)."
    assert told.effort.n == 0
    elsewhere = agreement_of(book, INSIDE, OUTSIDE, session_id="none")
    assert elsewhere.fit.words == "Fit: no rep graded by both yet (n = 0)."
