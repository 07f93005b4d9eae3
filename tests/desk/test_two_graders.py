"""Two graders in one book: each takes back and does again what is his, and nothing else."""

from __future__ import annotations

import random
from collections.abc import Iterator
from typing import Any

import pytest

from gradecut.book import Book
from gradecut.desk import Desk
from gradecut.desk.film_actions import FILM_ACTIONS
from gradecut.desk.grader_ways import GraderWays
from gradecut.errors import UndoRefused
from gradecut.records import Actual, Event, FactValue, Flag, Grade, LinedUp, Moment, Owed
from tests.desk.film_book import press
from tests.desk.small_book import Posted

ALDER, BIRCH = "Coach Alder", "Coach Birch"
OWN: tuple[type[Any], ...] = (Actual, Event, FactValue, Flag, Grade, LinedUp, Moment, Owed)
PRESSED = (*"RFETUOSZXCVWDJL", "Return", "PgDown", "PgUp", "Tab", "Left", "Right", "Alt+L")
THERE_BEFORE = ("start the book", "add the end film of Tuesday", "add the side film of Tuesday")


@pytest.fixture
def desk(film_book: Book, posted: Posted, said: list[str]) -> Iterator[Desk]:
    """Sit down at the book of numbered films."""
    opened = Desk(film_book, post=posted)
    opened.said.connect(said.append)
    yield opened
    opened.close()


def own_rows(book: Book, author: str) -> dict[str, object]:
    """Return all that a grader has said, by id."""
    return {
        one.id: one
        for kind in OWN
        for one in book.find(kind)
        if one.author == author and getattr(one, "source", "marked") == "marked"
    }


def evening(desk: Desk, seed: int) -> None:
    """Let both press keys in turn, on the same plays, as they come."""
    hand = random.Random(seed)
    known = {key for action in FILM_ACTIONS for key in action.keys}
    assert set(PRESSED) <= known
    for _ in range(90):
        if hand.random() < 0.15:
            desk.grade_as(hand.choice((ALDER, BIRCH)))
        if hand.random() < 0.4:
            desk.film.hand.answer(str(hand.randint(1, 4)))
        else:
            press(desk.film, hand.choice(PRESSED))


def take_all_back(book: Book) -> tuple[int, set[str]]:
    """Take back all that can be; return how many acts that were, and which were refused."""
    past: set[str] = set()
    count = 0
    while (act := book.can_undo(past=past)) is not None and act.verb not in THERE_BEFORE:
        try:
            book.undo(past=past)
            count += 1
        except UndoRefused:
            past.add(act.id)
    return count, past


@pytest.mark.parametrize("seed", range(4))
def test_each_takes_back_his_own_and_nothing_of_the_other(desk: Desk, seed: int) -> None:
    """After an evening by turns: all of one is gone, all of the other stands, and comes back.

    Only what the other has built on since is refused, and holds up nothing that was done
    before it.
    """
    book = desk.book
    evening(desk, seed)
    both = {name: own_rows(book, name) for name in (ALDER, BIRCH)}
    for me, other in ((BIRCH, ALDER), (ALDER, BIRCH)):
        desk.grade_as(me)
        count, _ = take_all_back(book)
        assert own_rows(book, other) == both[other]
        done = 0
        while book.can_redo() is not None:
            book.redo()
            done += 1
        assert done == count
        assert own_rows(book, me) == both[me]
        assert own_rows(book, other) == both[other]


def test_what_another_built_on_holds_up_nothing(desk: Desk, said: list[str]) -> None:
    """Refused once, with who and what; pressed again, undo goes on to what he did before."""
    film = desk.film
    press(film, "2", "1", "D")
    desk.grade_as(BIRCH)
    film.open_clip(film.plays.line.boxes[0].clip_id)
    press(film, "D")
    desk.grade_as(ALDER)
    assert desk.undo_hint() == "say that play 1 was a no play"
    desk.undo()
    assert BIRCH in said[-1]
    assert said[-1].endswith("Ctrl+Z now takes back “grade Keel on play 1”.")
    assert desk.undo_hint() == "grade Keel on play 1"
    desk.undo()
    assert said[-1] == "Done: take back “grade Keel on play 1”."
    assert not film.book.find(Grade, author=ALDER)
    press(film, "F")
    assert desk.undo_hint() == "flag for tomorrow"
    desk.undo()
    assert desk.undo_hint() == "say that play 1 was a no play"


def test_a_flag_an_event_and_a_moment_of_another_stay(desk: Desk) -> None:
    """Both flag, count and mark the same rep; one takes his back, the other's stand."""
    film = desk.film
    for name in (ALDER, BIRCH):
        desk.grade_as(name)
        press(film, "2", "F", "E", "1", "S", "Z", "Right", "X", "2", "1")
    theirs = own_rows(film.book, ALDER)
    take_all_back(film.book)
    assert own_rows(film.book, ALDER) == theirs
    assert not own_rows(film.book, BIRCH)


def test_a_name_comes_with_what_it_may_see(desk: Desk) -> None:
    """Whenever the page is shown anew, name and sight are of the same man."""
    shown: list[tuple[str, bool]] = []
    desk.film.state_changed.connect(lambda: shown.append((desk.author, desk.book.blind)))
    desk.grade_as(BIRCH, GraderWays().begin_blind())
    desk.grade_as(ALDER, GraderWays())
    assert set(shown) == {(BIRCH, True), (ALDER, False)}


def test_undo_shows_the_play_it_was_done_to(desk: Desk, said: list[str]) -> None:
    """Passed by Enter, the next play is shown; Ctrl+Z brings the play back that waits again."""
    film = desk.film
    first = film.clip
    assert first is not None
    press(film, "Return")
    assert film.clip is not None
    assert film.clip.order == 2
    desk.undo()
    assert film.clip is not None
    assert film.clip.id == first.id
    assert said[-1] == "Done: take back “all right on play 1”."
    press(film, "PgDown")
    desk.redo()
    assert film.clip.id == first.id
    assert film.plays.line.boxes[0].status == "done"


def test_undo_takes_the_man_in_hand_it_was_done_to(desk: Desk) -> None:
    """A grade given three plays ago: its play is shown, with that man in hand."""
    film = desk.film
    press(film, "2", "1", "PgDown", "PgDown")
    desk.undo()
    assert film.clip is not None
    assert (film.clip.order, film.hand.position) == (1, "Keel")


def test_undo_on_the_play_shown_leaves_the_man_in_hand(desk: Desk) -> None:
    """A play that is shown already stays as it is looked at."""
    film = desk.film
    press(film, "2", "1", "1", "3")
    assert film.hand.position == "Port"
    desk.undo()
    assert film.hand.position == "Port"


@pytest.mark.parametrize("blind", [False, True])
def test_what_another_marked_and_can_not_be_any_more_is_told(
    desk: Desk, said: list[str], blind: bool
) -> None:
    """A pass has no run side: the other's word goes, by name, unless he grades blind."""
    desk.grade_as(BIRCH)
    assert desk.film.telling.tell("run", "right")
    desk.grade_as(ALDER, GraderWays(blind_since="2026-12-01T20:00:00+00:00" if blind else ""))
    assert desk.film.telling.tell("concept", "pass")
    assert "can't be with that; Ctrl+Z brings it back" in said[-1]
    assert ("“run right”, marked by Coach Birch," in said[-1]) is not blind
    desk.undo()
    assert [one.author for one in desk.book.find(FactValue, source="marked")] == [BIRCH]
    said.clear()
    assert desk.film.telling.tell("back", "left")
    assert not said
