"""What is in hand and what is shown is worked out once, however often it is looked at."""

from __future__ import annotations

import pytest

from gradecut.book import Book
from gradecut.desk.film_desk import FilmDesk
from tests.desk.film_book import press


@pytest.fixture
def asked(monkeypatch: pytest.MonkeyPatch) -> list[object]:
    """Note every question to the book from now on."""
    found: list[object] = []
    find = Book.find

    def noted(book: Book, kind: type, /, **equal: object) -> list[object]:
        found.append(kind)
        return find(book, kind, **equal)

    monkeypatch.setattr(Book, "find", noted)
    return found


def test_a_list_is_read_when_it_is_opened_and_not_when_it_is_looked_at(
    film: FilmDesk, asked: list[object]
) -> None:
    """Strip, table and page all look at the list of players; the book is asked once."""
    film.hand.choose("Bow")
    film.lining.ask_who()
    first = film.hand.ask
    assert first is not None
    assert first.kind == "players"
    asked.clear()
    assert film.hand.ask is first
    assert not asked


def test_a_list_follows_what_was_answered(film: FilmDesk) -> None:
    """What was chosen stands chosen when the list is opened again."""
    press(film, "2", "O")
    assert film.hand.ask is not None
    chosen = film.hand.ask.answers[1].words
    press(film, "2")
    press(film, "O")
    again = film.hand.ask
    assert again is not None
    assert [one.words for one in again.answers if one.chosen] == [chosen]


def test_the_picture_is_made_once_for_a_man_and_a_play(film: FilmDesk) -> None:
    """Another man in hand, or another play, is another picture; the same ones are the same."""
    first = film.picture()
    assert film.picture() is first
    film.hand.choose("Keel")
    second = film.picture()
    assert second != first
    film.next_clip()
    assert film.picture() is not second
