"""Where every play of the session is entered is told, so that going there shows it at once."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from gradecut.desk.film_desk import FilmDesk
from gradecut.timebase import Frame
from tests.desk.film_book import press
from tests.desk.small_book import Posted

Told = list[list[tuple[str, Frame]]]


@pytest.fixture
def told(film: FilmDesk, monkeypatch: pytest.MonkeyPatch) -> Told:
    """Note which entries are told from now on."""
    found: Told = []
    monkeypatch.setattr(film._server, "keep_entries", lambda entries: found.append(list(entries)))
    return found


def shown_at(film: FilmDesk, plays: Sequence[str]) -> list[tuple[str, Frame]]:
    """Go through plays, and return the film and frame each is shown at first."""
    found = []
    for play in plays:
        film.open_clip(play)
        place = film.playhead.place
        assert place is not None
        assert place.path is not None
        found.append((place.path, film.playhead.frame))
    return found


def plays_of(film: FilmDesk) -> list[str]:
    """Return the session's plays, in their order."""
    return [box.clip_id for box in film.plays.line.boxes]


def test_it_is_told_where_each_play_will_be_shown(
    film: FilmDesk, told: Told, posted: Posted
) -> None:
    """The frame that a play is really entered at: from this one on, then from the first."""
    posted.until(lambda: bool(told))
    plays = plays_of(film)
    assert told == [shown_at(film, plays)]
    assert len(told) == 1


def test_the_other_angle_is_told_anew(film: FilmDesk, told: Told, posted: Posted) -> None:
    """Who looks at the other angle finds every play there as that angle shows it."""
    posted.until(lambda: bool(told))
    film.open_clip(plays_of(film)[1])
    press(film, "A")
    posted.until(lambda: len(told) == 2)
    plays = plays_of(film)
    assert told[1] == shown_at(film, [*plays[1:], *plays[:1]])


def test_what_was_asked_before_he_turned_to_another_angle_is_not_told(
    film: FilmDesk, told: Told, posted: Posted
) -> None:
    """Only what he looks at now is made ready."""
    posted.until(lambda: bool(told))
    press(film, "A")
    press(film, "A")
    posted.until(lambda: len(told) == 2)
    assert told[1] == told[0]


def test_a_play_that_is_none_is_left_out(film: FilmDesk, told: Told, posted: Posted) -> None:
    """Nobody goes on to it."""
    posted.until(lambda: bool(told))
    film.open_clip(plays_of(film)[2])
    press(film, "D")
    film._around.close()
    film.open_clip(plays_of(film)[0])
    posted.until(lambda: len(told) == 2)
    assert len(told[1]) == len(plays_of(film)) - 1
