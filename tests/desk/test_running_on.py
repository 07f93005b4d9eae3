"""A play that is gone on to runs by itself, angle after angle, until he stops it."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest

from gradecut.desk.film_desk import FilmDesk
from gradecut.records import Angle, FilmFile
from tests.desk.film_book import press
from tests.desk.small_book import Posted


@pytest.fixture
def film(film: FilmDesk) -> FilmDesk:
    """Let plays run by themselves."""
    film.running_on.on = True
    return film


def run_to_the_end(film: FilmDesk, posted: Posted) -> None:
    """Let the clock go on in leaps until the film has shown its last frame."""
    clock, head = itertools.count(1), film.playhead
    angle = head.angle

    def over() -> bool:
        head.tick(next(clock) * 0.4)
        return head.angle != angle or (not head.playing and head.shown == head.last)

    posted.until(over)


def runs(film: FilmDesk) -> bool:
    """Tell whether the film runs."""
    return film.playhead.playing


def name(film: FilmDesk) -> str:
    """Return which angle is on stage."""
    return film.playhead.angle.name if film.playhead.angle else ""


def test_angles_follow_each_other_and_then_it_rests(film: FilmDesk, posted: Posted) -> None:
    """From the entry of each; the angle he looks from first stays his choice."""
    press(film, "PgDown")
    head = film.playhead
    assert runs(film)
    assert name(film) == "end"
    assert head.frame == head.place.entry if head.place else False
    run_to_the_end(film, posted)
    posted.until(lambda: name(film) == "side")
    assert runs(film)
    assert head.frame == head.place.entry if head.place else False
    run_to_the_end(film, posted)
    assert not runs(film)
    assert name(film) == "side"
    press(film, "PgUp")
    assert name(film) == "end"


def test_space_runs_all_of_it_once_more(film: FilmDesk, posted: Posted) -> None:
    """Rested after its last angle; stopped half way, it goes on where it stands."""
    press(film, "PgDown")
    run_to_the_end(film, posted)
    posted.until(lambda: name(film) == "side")
    run_to_the_end(film, posted)
    press(film, "Space")
    assert (name(film), runs(film)) == ("end", True)
    assert [one.name for one in film.running_on.left] == ["side"]
    posted.until(lambda: film.playhead.picture is not None)
    press(film, "Space", "Space")
    assert (name(film), runs(film)) == ("end", True)
    assert film.running_on.left == ()


def test_the_play_he_sits_down_at_and_plays_that_are_pointed_at_stand(film: FilmDesk) -> None:
    """Only going on runs the film."""
    assert not runs(film)
    assert film.clip is not None
    following = film.plays.line.beside(film.clip.id, 1)
    film.open_clip(following or "")
    assert not runs(film)


def test_enter_runs_the_next_play(film: FilmDesk) -> None:
    """Eyes on the film, one key a play."""
    press(film, "Return")
    assert runs(film)
    assert [one.name for one in film.running_on.left] == ["side"]


@pytest.mark.parametrize("key", ["Right", "Left", "Space", "S"])
def test_any_step_stops_it(film: FilmDesk, posted: Posted, key: str) -> None:
    """What he stops stays stopped: the other angle does not come by itself."""
    press(film, "PgDown")
    posted.until(lambda: film.playhead.picture is not None)
    film.telling.mark_snap()
    press(film, key)
    assert not runs(film)
    assert film.running_on.left == ()


def test_a_step_on_the_last_frame_keeps_the_angle(film: FilmDesk, posted: Posted) -> None:
    """At the very end a key comes before the other angle does."""
    press(film, "PgDown")
    head = film.playhead
    clock = itertools.count(1)

    def over() -> bool:
        head.tick(next(clock) * 0.4)
        return not head.playing

    posted.until(over)
    press(film, "Left")
    posted.until(lambda: head.shown == head.frame)
    assert name(film) == "end"
    assert not runs(film)


def test_the_other_angle_gone_to_by_key_is_not_run_again(film: FilmDesk) -> None:
    """He has seen it."""
    press(film, "PgDown")
    film.running_on.skip(film.running_on.left[0])
    assert film.running_on.left == ()


def test_an_angle_whose_film_is_away_is_passed_over(film: FilmDesk) -> None:
    """He is left before the film he has, not before a sentence about the one he has not."""
    assert film.state is not None
    away = {angle.film_id for angle in film.book.find(Angle, name="side")}
    with film.book.act("lose the film") as act:
        act.put(
            *(
                replace(one, path="/nowhere/film.mp4")
                for one in film.book.find(FilmFile)
                if one.film_id in away
            )
        )
    press(film, "PgDown")
    assert runs(film)
    assert film.running_on.left == ()


def test_both_angles_at_once_run_once(film: FilmDesk) -> None:
    """They are seen together already."""
    press(film, "Alt+A", "PgDown")
    assert runs(film)
    assert film.running_on.left == ()


def test_it_is_turned_off_and_on(film: FilmDesk, said: list[str]) -> None:
    """Off, plays stand; on, the one shown runs at once; both are said and told."""
    told: list[bool] = []
    film.running_on.turned.connect(told.append)
    press(film, "PgDown", "Ctrl+Space")
    assert not runs(film)
    press(film, "PgUp")
    assert not runs(film)
    press(film, "Ctrl+Space")
    assert runs(film)
    assert told == [False, True]
    assert said[-1] == "Plays run by themselves, angle after angle."
