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
    """The frame that a play is really entered at, and after them all those of other angles."""
    posted.until(lambda: bool(told))
    plays, entries = plays_of(film), told[0]
    assert entries[: len(plays)] == shown_at(film, plays)
    film.open_clip(plays[0])
    press(film, "A")
    others = {one for one in shown_at(film, plays) if one not in entries[: len(plays)]}
    assert others
    assert others == set(entries[len(plays) :])


def test_they_are_told_from_the_play_on_stage_on(
    film: FilmDesk, told: Told, posted: Posted
) -> None:
    """He goes on through the line; after the last play comes the first."""
    posted.until(lambda: bool(told))
    plays = plays_of(film)
    film.open_clip(plays[2])
    assert told[-1][: len(plays)] == shown_at(film, [*plays[2:], *plays[:2]])


def test_the_other_angle_is_told_first_once_it_is_looked_at(
    film: FilmDesk, told: Told, posted: Posted
) -> None:
    """Who looks at the other angle finds every play there as that angle shows it."""
    posted.until(lambda: bool(told))
    plays = plays_of(film)
    film.open_clip(plays[1])
    press(film, "A")
    assert told[-1][: len(plays)] == shown_at(film, [*plays[1:], *plays[:1]])


def test_plays_are_read_once(film: FilmDesk, told: Told, posted: Posted) -> None:
    """Going through the session asks the book nothing more."""
    posted.until(lambda: bool(told))
    around = film._around._around
    for play in plays_of(film):
        film.open_clip(play)
    assert film._around._around is around


def test_a_play_that_is_none_is_left_out(film: FilmDesk, told: Told, posted: Posted) -> None:
    """Nobody goes on to it."""
    posted.until(lambda: bool(told))
    plays = plays_of(film)
    before = shown_at(film, plays)
    film.open_clip(plays[2])
    press(film, "D")
    film._around.close()
    told.clear()
    film.open_clip(plays[0])
    posted.until(lambda: bool(told))
    assert before[2] not in told[0]
    assert set(before[:2]) <= set(told[0])
