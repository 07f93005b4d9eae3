from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.desk import Desk
from gradecut.desk.scheme_desk import SchemeDesk
from gradecut.desk.scheme_starting import SchemeStarting
from gradecut.workflows.booking import new_book, scheme_in_force
from tests.desk.small_book import Posted


@pytest.fixture
def empty(tmp_path: Path, posted: Posted, said: list[str]) -> Iterator[SchemeDesk]:
    """Sit down at a book without a scheme."""
    book = new_book(tmp_path / "new.gradecut", name="Small Herons", author="Coach Alder")
    desk = Desk(book, post=posted)
    desk.said.connect(said.append)
    yield desk.scheme
    desk.close()


def test_answers_begin_a_draft_and_put_nothing_in_force(
    empty: SchemeDesk, posted: Posted, said: list[str]
) -> None:
    """A dozen answers make a sound scheme that is a draft; Ctrl+Z takes it back whole."""
    starting = SchemeStarting(empty)
    assert starting.begin()
    posted.until(lambda: not empty.audit.running)
    assert empty.audit.verdict().startswith("Sound")
    assert empty.scheme is None
    assert scheme_in_force(empty.book) is None
    assert "nothing is in force until it is kept" in said[-1]
    assert empty.undo()
    assert empty.shown is None


def test_every_answer_is_drawn_at_once(empty: SchemeDesk) -> None:
    """His linebackers stand on the picture under the names he gives them."""
    starting = SchemeStarting(empty)
    for question in starting.questions:
        picture = starting.picture()
        assert picture is not None
        assert [man.position for man in picture.men] == ["Sam", "Mike", "Will"], question.key
        starting.go(1)
    assert starting.last
    starting.go_to([one.key for one in starting.questions].index("linebackers"))
    starting.answer("Bow, Keel, Port")
    picture = starting.picture()
    assert picture is not None
    assert [man.position for man in picture.men] == ["Bow", "Keel", "Port"]
    assert starting.told(starting.at) == "Bow, Keel, Port"


def test_a_name_that_cannot_be_one_is_told_and_nothing_is_begun(empty: SchemeDesk) -> None:
    """Too few names are refused in a sentence; mended, the answers can be taken."""
    starting = SchemeStarting(empty)
    starting.go_to([one.key for one in starting.questions].index("linebackers"))
    starting.answer("Bow, Keel")
    assert starting.refused.startswith("Your front has 3 linebackers, but 2 are named")
    assert starting.picture() is None
    assert not starting.begin()
    assert empty.draft is None
    starting.answer("Bow, Keel, Port")
    assert not starting.refused


def test_before_the_snap_nobody_owes_anything(empty: SchemeDesk) -> None:
    """The first question draws the men where they stand, without a fit."""
    picture = SchemeStarting(empty).picture()
    assert picture is not None
    assert all(man.owed_gap is None and not man.owed_options for man in picture.men)


def test_a_scheme_that_learns_asks_for_its_men_only(empty: SchemeDesk, posted: Posted) -> None:
    """Without rules, in force at once in a book without a scheme, so that he can grade by it."""
    starting = SchemeStarting(empty, rules=False)
    assert len(starting.questions) == 6
    assert starting.at_once
    assert starting.begin()
    posted.until(lambda: empty.scheme is not None)
    assert empty.scheme is not None
    assert empty.scheme.rules == ()
    assert list(empty.scheme.positions)[:3] == ["Sam", "Mike", "Will"]
    assert not empty.draft_words()


def test_a_scheme_in_force_is_not_replaced_by_one_that_learns(scheme: SchemeDesk) -> None:
    """Where a scheme is in force, one without rules is a draft like any other."""
    before = scheme.scheme
    starting = SchemeStarting(scheme, rules=False)
    assert not starting.at_once
    assert starting.begin()
    assert scheme.scheme is before
    assert scheme.draft_words()


@pytest.fixture
def scheme(desk: Desk) -> SchemeDesk:
    """Sit down at the scheme of the small book."""
    return desk.scheme
