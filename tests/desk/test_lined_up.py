"""Saying how a man lined up, from the Film page: one key, then a number."""

from __future__ import annotations

from gradecut.desk.film_desk import FilmDesk
from gradecut.records import Grade, LinedUp
from tests.desk.film_book import press


def test_a_key_asks_and_a_number_answers(film: FilmDesk) -> None:
    """Bow in hand: where he should line up is told, "too deep" kept at once and undone."""
    press(film, "1", "Shift+L")
    ask = film.hand.ask
    assert ask is not None
    assert ask.kind == "lined up"
    assert "yd deep, outside the" in ask.title
    assert [shown.answer.words for shown in ask.shown()] == [
        "right",
        "too deep",
        "too shallow",
        "too wide",
        "too tight",
        "wrong side",
        "can't tell",
    ]
    press(film, "2")
    (told,) = film.book.find(LinedUp)
    assert (told.verdict, told.off) == ("off", ("too deep",))
    assert film.book.find(Grade) == []
    film.book.undo()
    assert film.book.find(LinedUp) == []
