"""The edges of a play are moved on the Film page, after it is in the book."""

from __future__ import annotations

from gradecut.desk.film_desk import FilmDesk
from gradecut.records import Angle
from tests.desk.film_book import FRAMES, press


def edges(desk: FilmDesk) -> tuple[int, int]:
    """Return the first and last frame of the play on stage."""
    return desk.playhead.first, desk.playhead.last


def test_the_play_begins_and_ends_where_the_film_stands(film: FilmDesk, said: list[str]) -> None:
    """Two keys, each one step to take back; the other angle keeps its edges."""
    last = FRAMES - 2
    assert edges(film) == (0, last)
    side = film.book.find(Angle, name="side")
    film.playhead.seek(12)
    press(film, "[")
    assert edges(film) == (12, last)
    assert film.playhead.frame == 12
    assert said[-1].startswith("Play 1 begins here now on the end film: 2.5 s.")
    film.playhead.seek(60)
    press(film, "]")
    assert edges(film) == (12, 60)
    assert film.book.find(Angle, name="side") == side
    film.playhead.seek(70)
    assert film.playhead.frame == 60
    assert film.book.undo().verb == "take back “move the end of play 1”"
    assert edges(film) == (12, last)
    film.book.undo()
    assert edges(film) == (0, last)


def test_the_play_is_widened_by_half_a_second(film: FilmDesk, said: list[str]) -> None:
    """Beyond the present edge, as far as the film goes; the film shows what has come in."""
    film.playhead.seek(20)
    press(film, "Shift+Home")
    film.playhead.seek(50)
    press(film, "Shift+End", "Ctrl+Home")
    assert edges(film) == (5, 50)
    assert film.playhead.frame == 5
    press(film, "Ctrl+End")
    assert edges(film) == (5, 65)
    assert film.playhead.frame == 65
    press(film, "Ctrl+Home", "Ctrl+End", "Ctrl+End")
    assert edges(film) == (0, FRAMES - 2)
    press(film, "Ctrl+Home")
    assert said[-1] == "The film begins here; there is nothing before it."
    press(film, "Ctrl+End")
    assert said[-1] == "The film ends here; there is nothing after it."
    film.book.undo()
    assert film.playhead.frame == film.playhead.last == 80


def test_what_is_marked_holds_the_edge(film: FilmDesk, said: list[str]) -> None:
    """A snap before the new beginning is never cut off: one sentence, and nothing moved."""
    film.playhead.seek(10)
    press(film, "Z")
    film.playhead.seek(11)
    press(film, "[")
    assert "The snap of play 1 would fall outside" in said[-1]
    assert edges(film)[0] == 0
    film.playhead.seek(10)
    press(film, "[", "[")
    assert edges(film)[0] == 10
    assert said[-1] == "The play begins here already."
    press(film, "]")
    assert "would end before it begins" in said[-1]
