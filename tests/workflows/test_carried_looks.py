"""What nobody told of a look is taken over from the last play, and stored only by his word."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace

import pytest

from gradecut.book import Book
from gradecut.records import FactValue, Source
from gradecut.workflows.carried_looks import carried_look, keep_carried, look_to_confirm
from gradecut.workflows.judging import judge
from gradecut.workflows.looks import look_of
from tests.workflows.small_week import clip_of, rep_of, stored


def forget(book: Book, play: int, *references: str) -> None:
    """Let nothing be known of some facts of a play."""
    with book.act("forget") as act:
        act.drop_all(book.find(FactValue, clip_id=clip_of(book, play).id, reference=references))


def tell(book: Book, play: int, source: Source = "marked", **told: str) -> None:
    """Let somebody have told facts of a play: the script, a measurement, or who writes now."""
    author = book.author if source == "marked" else ""
    with book.act("tell") as act:
        act.put(
            *(
                FactValue(
                    clip_id=clip_of(book, play).id, reference=reference, value=value,
                    source=source, author=author,
                )
                for reference, value in told.items()
            )
        )  # fmt: skip


@contextmanager
def somebody_else(book: Book) -> Iterator[None]:
    """Let another man write."""
    own, book.author = book.author, "B. Marsh"
    yield
    book.author = own


def test_only_what_is_known_before_the_snap_is_taken_over(book: Book) -> None:
    """What they ran last says nothing of what they run now."""
    forget(book, 2, "strength", "back", "concept", "run")
    assert carried_look(book, clip_of(book, 2)) == {"strength": "right", "back": "left"}


def test_what_is_told_of_the_play_stays(book: Book) -> None:
    """By the script, by film or by a measurement: nothing is put in its place."""
    assert carried_look(book, clip_of(book, 2)) == {}
    forget(book, 2, "back")
    tell(book, 2, "estimated", back="none")
    assert carried_look(book, clip_of(book, 2)) == {}


def test_each_fact_comes_from_the_nearest_play_that_told_it(book: Book) -> None:
    """The wing from play 1, the back from play 2; a measurement there is no word of anybody."""
    tell(book, 1, wing="left")
    forget(book, 2, "wing")
    forget(book, 3, "back")
    assert carried_look(book, clip_of(book, 3)) == {"wing": "left", "back": "behind"}
    tell(book, 2, "estimated", wing="none")
    assert carried_look(book, clip_of(book, 3))["wing"] == "left"
    with somebody_else(book):
        tell(book, 2, wing="right")
    assert carried_look(book, clip_of(book, 3))["wing"] == "right"


def test_nothing_comes_over_from_another_period_or_from_before_the_first(book: Book) -> None:
    """Play 4 begins the team period; play 1 is the first of all."""
    forget(book, 4, "back")
    forget(book, 1, "back")
    assert carried_look(book, clip_of(book, 4)) == {}
    assert carried_look(book, clip_of(book, 1)) == {}


@pytest.mark.parametrize("kind", ["no play", "kick"])
def test_plays_off_the_run_of_things_neither_give_nor_take(book: Book, kind: str) -> None:
    """A snap that was blown dead, or a punt, says nothing of the next run's look."""
    tell(book, 1, wing="left")
    tell(book, 2, wing="right")
    with book.act("say what it was") as act:
        act.put(replace(clip_of(book, 2), kind=kind))  # type: ignore[arg-type]
    forget(book, 2, "back")
    assert carried_look(book, clip_of(book, 2)) == {}
    assert carried_look(book, clip_of(book, 3))["wing"] == "left"


def test_what_cannot_be_is_not_taken_over(book: Book) -> None:
    """Nobody leads where no back is: the empty backfield of play 1 stays on play 1."""
    for play in (1, 2):
        forget(book, play, "back", "concept", "run")
    tell(book, 1, back="none")
    assert carried_look(book, clip_of(book, 2)) == {"back": "none"}
    tell(book, 2, concept="lead")
    assert carried_look(book, clip_of(book, 2)) == {}


def test_a_play_somebody_was_judged_on_takes_nothing_over(book: Book) -> None:
    """Its look is what he was judged by; for another grader it is still open."""
    forget(book, 2, "strength")
    judge(book, rep_of(book, 2, "Keel"), did="cannot grade", name="out of picture")
    assert carried_look(book, clip_of(book, 2)) == {}
    book.author = "B. Marsh"
    assert carried_look(book, clip_of(book, 2)) == {"strength": "right"}


def test_what_is_taken_over_is_stored_when_it_is_confirmed(book: Book) -> None:
    """As marked by who confirms, one act; undone it is open again."""
    forget(book, 2, "strength")
    before = stored(book)
    assert carried_look(book, clip_of(book, 2)) == {"strength": "right"}
    assert stored(book) == before
    assert keep_carried(book, clip_of(book, 2)) == {"strength": "right"}
    (fact,) = book.find(FactValue, clip_id=clip_of(book, 2).id, reference="strength")
    assert (fact.source, fact.author) == ("marked", book.author)
    assert keep_carried(book, clip_of(book, 2)) == {}
    book.undo()
    assert carried_look(book, clip_of(book, 2)) == {"strength": "right"}


def test_confirming_marks_what_the_script_said_and_leaves_what_was_marked(book: Book) -> None:
    """The look stays what it was; another man's word is not written a second time."""
    play = clip_of(book, 1)
    with somebody_else(book):
        tell(book, 1, wing="none")
    tell(book, 1, back="behind")
    look = look_of(book, play.id)
    new = look_to_confirm(book, play, carried_look(book, play))
    with book.act("confirm") as act:
        act.put(*new)
    assert {fact.reference for fact in new} == {
        "strength",
        "surface.left",
        "surface.right",
        "concept",
        "run",
    }
    assert look_of(book, play.id) == look
    marked = book.find(FactValue, clip_id=play.id, source="marked")
    assert sorted((fact.reference, fact.author) for fact in marked if fact.reference == "wing") == [
        ("wing", "B. Marsh")
    ]
    script = book.find(FactValue, clip_id=play.id, source="script")
    assert {fact.reference for fact in script} >= {"back", "run", "concept"}
    assert look_to_confirm(book, play, carried_look(book, play)) == []
