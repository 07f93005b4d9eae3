"""An unknown man is graded like any other, and named later everywhere at once."""

from __future__ import annotations

import pytest

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import Actual, Event, Flag, Grade, LineUp, Mark, Moment, Player, Rep
from gradecut.workflows.counting import add_event, toggle_flag
from gradecut.workflows.judging import change_grade, judge
from gradecut.workflows.line_ups import put_in
from gradecut.workflows.moments import mark_moment
from gradecut.workflows.naming_men import (
    name_man,
    name_new_man,
    put_in_unknown,
    unknown_men,
)
from tests.workflows.small_week import angle_of, clip_of, player_of, pts_of, rep_of


def graded_unknown(book: Book) -> Player:
    """Put an unknown man in at Keel from play 1 on, and record all there is of him on play 2."""
    man, _ = put_in_unknown(book, clip_of(book, 1), "Keel")
    rep = rep_of(book, 2, "Keel")
    judge(book, rep, did="as owed", how="passed")
    change_grade(book, rep, did="cannot grade", name="out of picture")
    add_event(book, rep, "tackle")
    toggle_flag(book, clip_of(book, 2), rep)
    angle = angle_of(book, 2)
    at = pts_of(book, angle, 40)
    mark_moment(book, angle, "first step", at, rep)
    bracket = Mark(
        angle_id=angle.id, kind="bracket", points=((9, 9),), from_pts=at, to_pts=at, rep_id=rep.id
    )
    with book.act("draw") as act:
        act.put(bracket)
    return man


def test_naming_him_moves_all_that_was_recorded_in_one_act(book: Book) -> None:
    """Reps, line-ups, grades with the one they superseded, events, flags, moments, marks."""
    man, pell = graded_unknown(book), player_of(book, "Anders Pell")
    before = {kind: book.find(kind) for kind in (Grade, Event, Flag, Moment, Mark, Actual)}
    named = name_man(book, man, pell)
    assert (named.reps, named.grades, named.plays, named.left) == (3, 2, 3, False)
    assert {kind: book.find(kind) for kind in before} == before
    rep = rep_of(book, 2, "Keel")
    assert rep.player_id == pell.id
    last = book.find(Grade, rep_id=rep.id)[-1]
    assert book.get(Grade, str(last.supersedes)).rep_id == rep.id
    assert book.count(Player, unknown=True) == book.count(LineUp, player_id=man.id) == 0
    book.undo()
    assert rep_of(book, 2, "Keel").player_id == man.id
    assert book.get(Player, man.id).unknown


def test_he_is_not_named_where_the_man_is_in_already(book: Book) -> None:
    """One sentence tells where, and nothing has changed."""
    man, okorie = graded_unknown(book), player_of(book, "Tavin Okorie")
    put_in(book, clip_of(book, 3), "Bow", okorie)
    with pytest.raises(BookError) as refused:
        name_man(book, man, okorie)
    assert str(refused.value) == (
        "Tavin Okorie is already in at Bow on play 3 of Tuesday, so he can't be Unknown-1 there "
        "as well; put him out there first, or name the man on the other plays only."
    )
    assert book.count(Rep, player_id=man.id) == 3


def test_he_can_be_named_on_some_plays_only(book: Book) -> None:
    """Where it was two men after all, the others stay unknown."""
    man, pell = graded_unknown(book), player_of(book, "Anders Pell")
    named = name_man(book, man, pell, only=[clip_of(book, 2).id])
    assert (named.plays, named.left) == (1, True)
    assert [rep_of(book, play, "Keel").player_id == pell.id for play in (1, 2, 3)] == [
        False, True, False,
    ]  # fmt: skip
    assert unknown_men(book)[0].words == "Keel on plays 1 and 3 of Tuesday"


def test_a_man_who_is_not_on_the_roster_comes_onto_it(book: Book) -> None:
    """His film stays in the house until the roster tells his age."""
    man = graded_unknown(book)
    named = name_new_man(book, man, "  Silas   Wren ", "41")
    kept = book.get(Player, man.id)
    assert (kept.name, kept.practice_number, kept.unknown) == ("Silas Wren", "41", False)
    assert (named.reps, named.grades) == (3, 2)
    assert not kept.may_be_shared
    with pytest.raises(BookError, match="has his name"):
        name_man(book, kept, player_of(book, "Anders Pell"))


@pytest.mark.parametrize(
    ("name", "told"),
    [("  ", "Write his name first"), ("tavin okorie", "Tavin Okorie is on the roster already")],
)
def test_a_name_that_is_none_is_refused(book: Book, name: str, told: str) -> None:
    """So is that of a man who is there."""
    man = graded_unknown(book)
    with pytest.raises(BookError, match=told):
        name_new_man(book, man, name)


def test_the_same_unknown_man_comes_back_within_a_period(book: Book) -> None:
    """Two unknown men at one position are told apart."""
    first, _ = put_in_unknown(book, clip_of(book, 1), "Keel")
    put_in(book, clip_of(book, 2), "Keel", player_of(book, "Tavin Okorie"))
    again, _ = put_in_unknown(book, clip_of(book, 2), "Keel", onwards=False)
    assert again.id == first.id
    other, _ = put_in_unknown(book, clip_of(book, 3), "Keel")
    assert other.name == "Unknown-2"


def test_unknown_men_are_listed_with_what_is_known_of_them(book: Book) -> None:
    """Where they were in, on which plays, how much rests on them."""
    graded_unknown(book)
    (told,) = unknown_men(book)
    assert told.words == "Keel on plays 1 to 3 of Tuesday"
    assert told.graded == 1
    assert not told.player.may_be_shared
