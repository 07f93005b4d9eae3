"""A number key never takes back unasked what was judged before."""

from __future__ import annotations

import pytest

from gradecut.book import Book
from gradecut.desk import Desk
from gradecut.desk.film_desk import FilmDesk
from gradecut.records import Grade
from tests.desk.film_book import press
from tests.desk.test_rounds import desk, flagged, grade, place

__all__ = ["desk", "flagged"]


@pytest.fixture
def missed(film: FilmDesk) -> FilmDesk:
    """Judge Keel of play 1 wrong, with its cause."""
    press(film, "2", "1", "2")
    assert grade(film, 1, "Keel").cause
    return film


def test_the_same_miss_once_more_keeps_its_cause(missed: FilmDesk) -> None:
    """Nothing is said anew, so nothing is stored; why is asked, with the cause that stands."""
    before, count = grade(missed, 1, "Keel"), missed.book.count(Grade)
    press(missed, "2", "1")
    assert grade(missed, 1, "Keel") == before
    assert missed.book.count(Grade) == count
    assert missed.hand.ask is not None
    assert missed.hand.ask.kind == "cause"
    assert [one.words for one in missed.hand.ask.answers if one.chosen] == [before.cause]


def test_the_same_other_fit_once_more_keeps_its_cause(film: FilmDesk) -> None:
    """Also where he touches the gap again."""
    film.hand.choose("Keel")
    film.judging.fit("box A")
    film.judging.cause("eyes")
    film.judging.fit("box A")
    assert (grade(film, 1, "Keel").did_name, grade(film, 1, "Keel").cause) == ("box A", "eyes")


@pytest.mark.parametrize("key", ["2", "R"])
def test_another_answer_says_that_the_cause_is_gone(
    missed: FilmDesk, said: list[str], key: str
) -> None:
    """It was why he missed in the other way; one step back brings both again."""
    before = grade(missed, 1, "Keel")
    press(missed, "2", key)
    assert grade(missed, 1, "Keel").cause == ""
    gone = {
        "2": f"Keel missed it another way now; the cause “{before.cause}” is gone. Ctrl+Z brings "
        "it back.",
        "R": "Keel is right now; his miss and its cause are gone. Ctrl+Z brings them back.",
    }
    assert said[-1] == gone[key]
    missed.book.undo()
    assert grade(missed, 1, "Keel").cause == before.cause


# ---------------------------------------------------------------- in a round


def test_the_first_number_of_a_round_judges_nobody(flagged: FilmDesk) -> None:
    """He was led to the man: a number takes a man in hand, and only the next one judges him."""
    before = flagged.book.find(Grade)
    press(flagged, "Ctrl+F")
    assert place(flagged) == (1, "Keel")
    press(flagged, "2")
    assert place(flagged) == (1, "Keel")
    assert flagged.book.find(Grade) == before
    assert flagged.hand.ask is not None
    assert flagged.hand.ask.kind == "miss"
    press(flagged, "2")
    assert len(flagged.book.find(Grade)) == len(before) + 1


def test_the_round_says_what_number_and_enter_do(flagged: FilmDesk) -> None:
    """The man it is about is named, and what Enter records is what it says."""
    press(flagged, "Ctrl+F")
    ask = flagged.hand.ask
    assert ask is not None
    assert ask.title == "Keep Keel's grade?"
    assert ask.also[0].answer.words == "keep it, next rep"
    assert ask.then == "picks the man; then how he missed, then why"
    flagged.open_clip(flagged.plays.line.boxes[1].clip_id)
    assert flagged.hand.ask is not None
    assert flagged.hand.ask.also[0].answer.words == "back to play 1 Keel Okorie"


def test_an_open_rep_is_said_to_become_right(desk: Desk) -> None:
    """Enter is not said to leave as judged what nobody has judged."""
    film = desk.film
    film.hand.choose("Keel")
    press(film, "F", "Ctrl+F")
    assert film.hand.ask is not None
    assert film.hand.ask.also[0].answer.words == "he was right, next rep"


def test_escape_ends_his_misses_before_it_ends_the_round(flagged: FilmDesk) -> None:
    """A number pressed by mistake is one step back, and he stays in hand."""
    press(flagged, "Ctrl+F", "2")
    assert flagged.rounds.back()
    assert flagged.rounds.on
    assert place(flagged) == (1, "Keel")
    assert flagged.hand.ask is not None
    assert flagged.hand.ask.kind == "men"
    assert flagged.rounds.back()
    assert not flagged.rounds.on


def test_a_rep_shown_from_elsewhere_is_not_judged_by_the_first_number(
    flagged: FilmDesk, film_book: Book
) -> None:
    """As in a round: from the board, from a difference, from his history."""
    before = film_book.find(Grade)
    found = grade(flagged, 1, "Keel")
    flagged.open_rep(flagged.plays.line.boxes[0].clip_id, found.rep_id)
    press(flagged, "1")
    assert film_book.find(Grade) == before
