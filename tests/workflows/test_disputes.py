"""Two graders tell one fact otherwise: both words are kept, and either may settle it."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import FactValue
from gradecut.workflows.disputes import disputes_of, settle_fact
from gradecut.workflows.handing_off import hand_off_of
from gradecut.workflows.looks import look_of
from gradecut.workflows.taking import take_hand_off
from tests.workflows.two_books import INSIDE, OUTSIDE, clip_of, make_book, state, tell


@pytest.fixture
def book(tmp_path: Path) -> Book:
    """Give a book in which two coaches tell the back of play 1 otherwise, and agree on play 2."""
    made = make_book(tmp_path / "a.gradecut", INSIDE)
    for grader, where in ((INSIDE, "left"), (OUTSIDE, "behind")):
        made.author = grader
        tell(made, 1, back=where)
        tell(made, 2, back="right")
    return made


def test_both_words_are_told_with_who_says_them(book: Book) -> None:
    """It is counted once, and names each coach with his word."""
    (one,) = disputes_of(book)
    assert (one.clip_id, one.reference) == (clip_of(book, 1).id, "back")
    assert one.words == "J. Alder says left, R. Boone says behind"
    assert disputes_of(book, clip_ids=[clip_of(book, 2).id]) == ()
    assert len(disputes_of(book, session_ids=[clip_of(book, 1).session_id])) == 1


def test_a_players_own_word_disputes_nothing(book: Book) -> None:
    """Only the staff tells a look."""
    with book.act("his own") as act:
        act.put(
            FactValue(
                clip_id=clip_of(book, 3).id, reference="back", value="left", author="Tavin Okorie"
            )
        )
    book.author = INSIDE
    tell(book, 3, back="right")
    assert len(disputes_of(book)) == 1


@pytest.mark.parametrize("grader", [INSIDE, OUTSIDE])
@pytest.mark.parametrize("value", ["left", "behind"])
def test_either_may_settle_it_either_way(book: Book, grader: str, value: str) -> None:
    """One act: it reads so for both from then on; undo brings both words back."""
    book.author = grader
    before = state(book)
    settle_fact(book, clip_of(book, 1), "back", value)
    assert disputes_of(book) == ()
    for reader in (INSIDE, OUTSIDE):
        book.author = reader
        assert look_of(book, clip_of(book, 1).id)["back"] == value
    book.author = grader
    assert book.undo().author == grader
    assert state(book) == before


def test_what_nobody_disputes_is_not_settled(book: Book) -> None:
    """It is refused with a sentence, and nothing changes."""
    before = state(book)
    with pytest.raises(BookError, match="otherwise any more"):
        settle_fact(book, clip_of(book, 2), "back", "left")
    assert state(book) == before


def test_a_hand_off_does_not_open_again_what_was_settled(tmp_path: Path) -> None:
    """The file still says otherwise; it is told, and stays out."""
    inside = make_book(tmp_path / "a.gradecut", INSIDE)
    outside = make_book(tmp_path / "b.gradecut", OUTSIDE)
    tell(inside, 1, back="left")
    tell(outside, 1, back="behind")
    told = hand_off_of(inside)
    take_hand_off(outside, told)
    settle_fact(outside, clip_of(outside, 1), "back", "behind")
    assert take_hand_off(outside, told).kept == 1
    assert disputes_of(outside) == ()
