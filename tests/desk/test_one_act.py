"""One key is one act: what it needs is stored with it, and a refused one stores nothing."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import pytest

from gradecut.book import Book
from gradecut.desk.film_desk import FilmDesk
from gradecut.records import (
    Clip,
    Event,
    FactValue,
    Flag,
    Grade,
    LineUp,
    Mark,
    Moment,
    Owed,
    Rep,
)
from tests.desk.film_book import press
from tests.desk.small_book import Posted
from tests.desk.test_at_speed import forget, nobody

KINDS = (Clip, Event, FactValue, Flag, Grade, LineUp, Mark, Moment, Owed, Rep)
NEW_FIT = "a fit of his own"


@pytest.fixture
def staying(film: FilmDesk, posted: Posted) -> FilmDesk:
    """Show play 2, where the men only stay in from play 1; Keel is in hand, nothing is stored."""
    press(film, "Return")
    nobody(film, 2)
    forget(film.book, 2, "strength")
    press(film, "2")
    posted.until(lambda: film.playhead.picture is not None)
    assert film.state is not None
    keel = film.state.man("Keel")
    assert keel is not None
    assert keel.rep is None
    return film


def everything(book: Book) -> list[object]:
    """Return all that is said of plays and men."""
    return [row for kind in KINDS for row in book.find(kind)]


@pytest.mark.parametrize(
    "key",
    [
        lambda film: film.judging.miss(film.hand.man.asked.misses[0][0]),
        lambda film: film.judging.right(),
        lambda film: film.judging.fit("box A"),
        lambda film: film.judging.cannot("out of picture"),
        lambda film: film.judging.note("see his eyes"),
        lambda film: film.judging.points("effort", 2),
        lambda film: film.judging.owed("box A"),
        lambda film: film.judging.owed_anew(NEW_FIT),
        lambda film: film.judging.count("missed tackle"),
        lambda film: film.judging.flag(),
        lambda film: film.telling.mark_step(),
        lambda film: film.lining.turn_side(),
        lambda film: film.marks.keep("ring", [(60.0, 40.0), (60.0, 40.0)]),
    ],
)
def test_one_undo_takes_a_key_back_whole(
    staying: FilmDesk, key: Callable[[FilmDesk], object]
) -> None:
    """With it go the reps of the men who stayed in, and what the look took over."""
    before = everything(staying.book)
    key(staying)
    assert everything(staying.book) != before
    staying.book.undo()
    assert everything(staying.book) == before


def test_a_refused_key_stores_nothing(staying: FilmDesk, said: list[str]) -> None:
    """A cause without a miss, and a form that is only opened, leave who stays in unsaid."""
    before = everything(staying.book)
    asked: list[bool] = []
    staying.fit_asked.connect(lambda: asked.append(True))
    assert not staying.judging.cause("eyes")
    assert said[-1] == "Say first how he missed it; then why."
    assert not staying.judging.count("a thing nobody counts")
    staying.judging.ask_new_fit()
    assert asked == [True]
    assert everything(staying.book) == before


def test_who_is_judged_leaves_the_men_who_stay_in_beside_him(staying: FilmDesk) -> None:
    """A man put in by hand is judged: those drawn beside him are in still."""
    assert staying.state is not None
    bow = staying.state.man("Bow")
    assert bow is not None
    assert bow.player is not None
    staying.lining.unknown()
    press(staying, "R")
    bow = staying.state.man("Bow")
    assert bow is not None
    assert bow.rep is not None


def test_what_is_drawn_on_a_man_who_stays_in_is_his(staying: FilmDesk) -> None:
    """A ring, and a path that was followed: seen with him, and with nobody else in hand."""
    for tool in ("ring", "arrow"):
        staying.marks.keep(tool, [(60.0, 40.0), (80.0, 60.0)])
    assert staying.state is not None
    keel = staying.state.man("Keel")
    assert keel is not None
    assert keel.rep is not None
    assert [mark.rep_id for mark in staying.book.find(Mark)] == [keel.rep.id] * 2
    assert staying.marks.chosen == staying.book.find(Mark)[-1].id
    staying.hand.choose("Bow")
    assert staying.marks.seen() == ()


def test_no_play_leaves_what_was_said_in_between(film: FilmDesk) -> None:
    """The window has not read it yet: a script is matched beside, and D is pressed."""
    assert film.clip is not None
    clip, home = film.clip, film.state
    with film.book.act("match the script") as act:
        act.put(replace(clip, call="Storm", script_number=7))
    film.state = home
    film.telling.drop_play()
    now = film.book.get(Clip, clip.id)
    assert (now.kind, now.call, now.script_number) == ("no play", "Storm", 7)
