from __future__ import annotations

from dataclasses import replace
from datetime import timedelta, timezone

from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.rep_history import local_words, read_history
from tests.desk.film_book import press


def test_times_are_this_computers() -> None:
    """Kept in UTC, told by the clock on the wall: a quarter to ten in the evening is not two."""
    there = timezone(timedelta(hours=-5))
    assert local_words("2026-10-07T02:43:07.120+00:00", there) == ("Tue 6 Oct", "21:43:07")


def test_the_sheet_says_how_much_by_whom(film: FilmDesk) -> None:
    """Title with position, number and play; the acts counted, both graders named."""
    press(film, "2", "1", "2")
    film.book.author = "Coach Birch"
    film.refresh()
    press(film, "2", "2", "1")
    man = film.hand.man
    assert man is not None
    assert man.rep is not None
    history = read_history(film.book, man.rep.id)
    assert history.title == f"{man.who} {man.player.short_name if man.player else ''}, play 1"
    assert history.told.startswith("Tuesday · ")
    assert history.told.endswith(" by Coach Alder and Coach Birch")
    newest = history.rows[0]
    assert (newest.who, newest.title) == ("Coach Birch", "grade Keel on play 1")
    assert [what for what, _, _ in newest.lines] == ["cause"]


def test_what_touched_the_play_only_can_be_left_out(film: FilmDesk) -> None:
    """The snap belongs to the play; his first step to him."""
    press(film, "2", "Z", "Right", "X")
    man = film.hand.man
    assert man is not None
    assert man.rep is not None
    history = read_history(film.book, man.rep.id)
    assert [row.title for row in history.rows[:2]] == ["mark the first step", "mark the snap"]
    alone = history.shown(with_play=False)
    assert "mark the snap" not in [row.title for row in alone]
    assert alone[0].title == "mark the first step"


def test_another_computer_is_named(film: FilmDesk) -> None:
    """What was done elsewhere says where."""
    press(film, "2", "1")
    film.book.computer = "the office"
    man = film.hand.man
    assert man is not None
    assert man.rep is not None
    newest = read_history(film.book, man.rep.id).rows[0]
    assert newest.who.startswith("Coach Alder, on ")


def test_he_is_called_as_on_the_stage(film: FilmDesk) -> None:
    """A man with a game number only wears it in practice too."""
    press(film, "2", "1")
    man = film.hand.man
    assert man is not None
    assert man.rep is not None
    assert man.player is not None
    with film.book.act("number him") as act:
        act.put(replace(man.player, game_number="44", practice_number=""))
    film.refresh()
    assert film.hand.man is not None
    assert film.hand.man.who == "Keel 44"
    history = read_history(film.book, man.rep.id)
    assert history.title == f"Keel 44 {man.player.short_name}, play 1"
