"""The next plays' first pictures are made ready while this one is graded."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.film_place import FilmPlace
from tests.desk.film_book import press


@pytest.fixture
def told(film: FilmDesk, monkeypatch: pytest.MonkeyPatch) -> list[list[tuple[str, str]]]:
    """Note which plays are made ready, by id and angle."""
    found: list[list[tuple[str, str]]] = []

    def look_ahead(following: Sequence[FilmPlace]) -> None:
        found.append([(one.angle.clip_id, one.angle.name) for one in following])

    monkeypatch.setattr(film.playhead, "look_ahead", look_ahead)
    return found


def plays(film: FilmDesk) -> list[str]:
    """Return the session's plays."""
    return [box.clip_id for box in film.plays.line.boxes]


def test_the_next_plays_are_made_ready_in_their_order(
    film: FilmDesk, told: list[list[tuple[str, str]]]
) -> None:
    """Four at most; after the last play there is none."""
    for place, play in enumerate(plays(film)):
        film.open_clip(play)
        assert [one for one, _ in told[-1]] == plays(film)[place + 1 : place + 5]
    assert told[-1] == []


def test_they_are_made_ready_as_the_angle_looked_at_shows_them(
    film: FilmDesk, told: list[list[tuple[str, str]]]
) -> None:
    """Who looks at the other angle finds the next play's other angle there."""
    film.open_clip(plays(film)[0])
    assert told[-1][0][1] == "end"
    press(film, "A")
    assert told[-1][0][1] == "side"


def test_a_play_that_was_read_is_not_read_again_while_it_comes(
    film: FilmDesk, told: list[list[tuple[str, str]]], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Going on reads one play more, not all of those ahead."""
    first, second = plays(film)[:2]
    film.open_clip(first)
    read: list[str] = []
    place_of = film._ahead._place_of
    monkeypatch.setattr(
        film._ahead, "_place_of", lambda play, name: (read.append(play), place_of(play, name))[1]
    )
    film.open_clip(second)
    assert [one for one, _ in told[-1]] == plays(film)[2:6]
    assert read == plays(film)[5:6]
