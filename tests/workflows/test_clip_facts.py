"""Tempo, unit, call and period are typed once, and stay until they change."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from gradecut.book import Book, open_book
from gradecut.records import Clip, Script, Session
from gradecut.workflows.clip_facts import carried_clip_facts, say_clip_facts
from gradecut.workflows.periods import plays_of_period


@pytest.fixture
def plays(tmp_path: Path) -> Iterator[Book]:
    """Give a book of one session with six plays nobody told anything of."""
    with open_book(tmp_path / "plays.gradecut", author="J. Alder", create=True) as book:
        home = Session(name="Tuesday")
        with book.act("six plays") as act:
            act.put(home, *(Clip(session_id=home.id, order=order) for order in range(1, 7)))
        yield book


def play(book: Book, order: int) -> Clip:
    """Return a play."""
    return book.find(Clip, order=order)[0]


def tell(book: Book, order: int, **told: object) -> None:
    """Type what a play was."""
    with book.act("type") as act:
        act.put(replace(play(book, order), **told))  # type: ignore[arg-type]  # the clip's own fields


def test_what_was_typed_once_is_carried_and_not_stored(plays: Book) -> None:
    """Tempo, unit, call and period stand for the next play; yards and down are its own."""
    tell(plays, 1, period="Inside run", tempo="thud", unit="ones", call="Harbor", yards_gained=4)
    third = play(plays, 3)
    told = {"period": "Inside run", "tempo": "thud", "unit": "ones", "call": "Harbor"}
    assert carried_clip_facts(plays, third) == told
    assert play(plays, 3) == third


def test_it_stays_until_another_is_typed(plays: Book) -> None:
    """The newest word counts, and each is carried by itself."""
    tell(plays, 1, tempo="thud", call="Harbor")
    tell(plays, 3, call="Harbor Fast")
    assert carried_clip_facts(plays, play(plays, 2)) == {"tempo": "thud", "call": "Harbor"}
    assert carried_clip_facts(plays, play(plays, 5)) == {"tempo": "thud", "call": "Harbor Fast"}


def test_it_ends_with_the_period(plays: Book) -> None:
    """Another period begins with nothing told, and its own name is carried in it."""
    tell(plays, 1, period="Inside run", tempo="thud")
    tell(plays, 4, period="Team")
    assert carried_clip_facts(plays, play(plays, 4)) == {}
    assert carried_clip_facts(plays, play(plays, 5)) == {"period": "Team"}


def test_what_is_told_of_a_play_is_never_changed(plays: Book) -> None:
    """A carried value comes only where nothing stands."""
    tell(plays, 1, tempo="thud", unit="ones")
    tell(plays, 2, tempo="live")
    assert carried_clip_facts(plays, play(plays, 2)) == {"unit": "ones"}


def test_the_call_of_one_scripted_play_is_not_carried_to_the_next(plays: Book) -> None:
    """The script's pressure on play 1 is no pressure on play 2; what he typed over it stays."""
    home = plays.find(Session)[0]
    script = Script(
        session_id=home.id, name="tuesday.csv",
        text="number,period,tempo,call\n1,Inside run,thud,Storm\n2,Inside run,thud,\n",
    )  # fmt: skip
    with plays.act("keep") as act:
        act.put(script)
    tell(plays, 1, script_number=1, period="Inside run", tempo="thud", call="Storm")
    tell(plays, 2, script_number=2, period="Inside run", tempo="thud")
    assert carried_clip_facts(plays, play(plays, 2)) == {}
    assert carried_clip_facts(plays, play(plays, 3)) == {"period": "Inside run", "tempo": "thud"}
    tell(plays, 2, call="Harbor Fast")
    assert carried_clip_facts(plays, play(plays, 3))["call"] == "Harbor Fast"


def test_the_first_play_takes_over_nothing(plays: Book) -> None:
    """Nothing comes from other sessions, nor from plays after it."""
    other = Session(name="Monday")
    with plays.act("another") as act:
        act.put(other, Clip(session_id=other.id, order=1, tempo="live"))
    tell(plays, 2, tempo="thud")
    first = plays.find(Clip, session_id=plays.find(Session, name="Tuesday")[0].id)[0]
    assert carried_clip_facts(plays, first) == {}


def test_what_is_said_of_the_rest_of_a_period_ends_where_something_else_was_typed(
    plays: Book,
) -> None:
    """Kind, tempo and call reach on to the next word a person typed; yards stay his play's own."""
    tell(plays, 1, period="Team")
    tell(plays, 4, call="Storm")
    tell(plays, 6, period="Two minute")
    told = {"kind": "pass", "call": "Harbor", "yards_gained": 7}
    assert say_clip_facts(plays, play(plays, 2), told, rest_of_period=True) == 4
    after = plays.find(Clip)
    assert [one.kind for one in after] == ["run", "pass", "pass", "pass", "pass", "run"]
    assert [one.call for one in after] == ["", "Harbor", "Harbor", "Storm", "", ""]
    assert [one.yards_gained for one in after] == [None, 7, None, None, None, None]
    plays.undo()
    assert play(plays, 3).kind == "run"


def test_saying_of_one_play_changes_that_play_alone(plays: Book) -> None:
    """And saying what is said already changes none."""
    assert say_clip_facts(plays, play(plays, 2), {"tempo": "thud", "down": 2}) == 1
    assert say_clip_facts(plays, play(plays, 2), {"tempo": "thud"}) == 0
    assert play(plays, 3).tempo == ""


def test_a_play_that_was_no_play_stays_one(plays: Book) -> None:
    """A word on the rest of the period does not bring it back."""
    tell(plays, 3, kind="no play")
    say_clip_facts(plays, play(plays, 2), {"kind": "pass"}, rest_of_period=True)
    assert [one.kind for one in plays.find(Clip)][1:4] == ["pass", "no play", "pass"]


def test_a_no_play_lies_in_the_period_that_was_said(plays: Book) -> None:
    """Left out, it would part the period in two: what is said to its end would stop there."""
    tell(plays, 1, period="A")
    tell(plays, 4, kind="no play")
    told = {"period": "B", "tempo": "thud"}
    say_clip_facts(plays, play(plays, 2), told, rest_of_period=True)
    assert [one.period for one in plays.find(Clip)] == ["A", "B", "B", "B", "B", "B"]
    assert [one.order for one in plays_of_period(plays, play(plays, 2))] == [2, 3, 4, 5, 6]
    assert (play(plays, 4).kind, play(plays, 4).tempo) == ("no play", "")
    tell(plays, 6, tempo="")
    assert carried_clip_facts(plays, play(plays, 6)) == {"tempo": "thud"}


def test_what_was_said_in_between_stays(plays: Book) -> None:
    """A form is open while a script is matched beside: only the words typed are laid on it."""
    old = play(plays, 2)
    tell(plays, 2, call="Storm", script_number=7)
    say_clip_facts(plays, old, {"yards_gained": 4, "call": ""})
    now = play(plays, 2)
    assert (now.yards_gained, now.call, now.script_number) == (4, "Storm", 7)
