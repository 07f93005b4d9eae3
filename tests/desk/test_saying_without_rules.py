from __future__ import annotations

import pytest

from gradecut.book import Book
from gradecut.desk import Desk
from gradecut.desk.film_desk import FilmDesk
from gradecut.records import FactValue, SchemeVersion
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.learning import said_in
from gradecut.workflows.scheme_changes import keep_scheme
from tests.desk.test_scheme_learning import without_rules


@pytest.fixture
def film(book: Book, desk: Desk) -> FilmDesk:
    """Sit down at film of which nothing is told, with a scheme without rules."""
    before = scheme_in_force(book)
    assert before is not None
    with book.act("begin anew") as act:
        act.drop_all(book.find(FactValue))
    keep_scheme(book, without_rules(before.text), "no rules")
    desk.film.refresh()
    return desk.film


def answer_look(film: FilmDesk) -> list[str]:
    """Answer every open question with its first answer; what was asked."""
    asked = []
    while film.state is not None and film.state.question is not None:
        asked.append(film.state.question.reference)
        ask = film.hand.ask
        assert ask is not None
        assert film.hand.answer(ask.shown()[0].key)
    return asked


def test_every_fact_is_asked_in_the_order_of_a_play(film: FilmDesk) -> None:
    """Where no rule speaks for a man, the look is told whole, for his rules to be learned from."""
    assert film.state is not None
    assert film.state.scheme is not None
    asked = answer_look(film)
    order = film.state.scheme.play_order
    assert asked == sorted(asked, key=order.index)
    assert set(asked) == set(film.state.look)
    assert "concept" in asked


def test_two_keys_say_what_a_man_owed_and_one_that_he_was_right(film: FilmDesk, book: Book) -> None:
    """His number, the fit's number, R: said and graded, and the look goes with it."""
    answer_look(film)
    assert film.hand.answer("1")
    ask = film.hand.ask
    assert ask is not None
    assert ask.kind == "owed"
    first = ask.shown()[0].answer.words
    assert film.hand.answer("1")
    man = film.hand.man
    assert man is not None
    assert man.owes == first
    assert film.judging.right()
    (said,) = said_in(book)
    assert said.fit == first
    assert said.look == film.state.look  # type: ignore[union-attr]


def test_what_he_said_before_is_listed_first(film: FilmDesk) -> None:
    """A fit he has said of a man once is under 1 the next time."""
    answer_look(film)
    film.hand.choose("Keel")
    ask = film.hand.ask
    assert ask is not None
    fifth = ask.shown()[4].answer.words
    assert film.hand.answer("5")
    film.next_clip()
    answer_look(film)
    film.hand.choose("Keel")
    ask = film.hand.ask
    assert ask is not None
    assert ask.shown()[0].answer.words == fifth


def test_a_fit_typed_anew_is_kept_and_listed(film: FilmDesk, book: Book) -> None:
    """It joins the scheme in force as its next version; one step back takes both."""
    answer_look(film)
    film.hand.choose("Keel")
    assert film.judging.owed_anew("wall B", "B")
    man = film.hand.man
    assert man is not None
    assert man.owes == "wall B"
    scheme = scheme_in_force(book)
    assert scheme is not None
    assert scheme.fits["wall B"].gap == "B"
    assert scheme.version == "2"
    assert not film.judging.owed_anew("  ")
    book.undo()
    back = scheme_in_force(book)
    assert back is not None
    assert "wall B" not in back.fits
    assert said_in(book) == ()
    assert book.count(SchemeVersion) == 2


def test_with_rules_nothing_more_is_asked(desk: Desk) -> None:
    """A scheme with rules asks what can change an answer, and no more."""
    assert desk.film.state is not None
    assert desk.film.state.question is None
