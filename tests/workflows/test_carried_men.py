"""Who was in stays in, on plays of which nobody said who is; stored by his word alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.records import ClipKind, Grade, LineUp, Player, Rep, Source
from gradecut.workflows.carried_men import carried_men, keep_drawn, keep_men, rep_in
from gradecut.workflows.judging import judge
from gradecut.workflows.line_ups import put_in
from gradecut.workflows.passing import pass_clip
from tests.workflows.small_week import clip_of, player_of, rep_of, stored


def nobody(book: Book, play: int) -> None:
    """Let nobody be named on a play."""
    clip = clip_of(book, play)
    with book.act("forget the men") as act:
        act.drop_all(book.find(Rep, clip_id=clip.id))
        act.drop_all(book.find(LineUp, clip_id=clip.id))


def staying(book: Book, play: int) -> dict[str, str]:
    """Return who would stay in."""
    return {
        row.position: book.get(Player, row.player_id).short_name
        for row in carried_men(book, clip_of(book, play))
    }


def sources(book: Book, play: int) -> set[Source]:
    """Return by whom the men of a play are told."""
    return {row.source for row in book.find(LineUp, clip_id=clip_of(book, play).id)}


def test_the_men_of_the_last_play_stay_in(book: Book) -> None:
    """Play 2 has nobody named: those of play 1; where the script names men, it names them all."""
    nobody(book, 2)
    assert staying(book, 2) == {"Keel": "Okorie", "Bow": "Lisoway", "Port": "Marchand-Pike"}
    assert staying(book, 3) == {}
    with book.act("the script names two only") as act:
        act.drop_all(book.find(Rep, clip_id=clip_of(book, 3).id, position="Port"))
        act.drop_all(book.find(LineUp, clip_id=clip_of(book, 3).id, position="Port"))
    assert sources(book, 3) == {"script"}
    assert staying(book, 3) == {}


def test_they_come_from_this_period_alone(book: Book) -> None:
    """Play 4 begins another one; play 1 is the first of all."""
    nobody(book, 4)
    nobody(book, 1)
    assert staying(book, 4) == {}
    assert staying(book, 1) == {}


def test_a_man_put_in_by_hand_leaves_the_others_in(book: Book) -> None:
    """The new Keel; a man who moved over stands at one place only."""
    nobody(book, 2)
    put_in(book, clip_of(book, 2), "Keel", player_of(book, "Anders Pell"))
    assert staying(book, 2) == {"Bow": "Lisoway", "Port": "Marchand-Pike"}
    put_in(book, clip_of(book, 2), "Keel", player_of(book, "Brandt Lisoway"))
    assert staying(book, 2) == {"Port": "Marchand-Pike"}


def test_nobody_comes_in_where_somebody_was_judged(book: Book) -> None:
    """A play graded with two men was played with two as far as anybody said."""
    nobody(book, 2)
    put_in(book, clip_of(book, 2), "Keel", player_of(book, "Tavin Okorie"))
    judge(book, rep_of(book, 2, "Keel"), did="cannot grade", name="out of picture")
    assert staying(book, 2) == {}


def test_enter_names_them_and_lets_them_through(book: Book) -> None:
    """Line-up, reps and grades in one act; undone, nobody is named again."""
    nobody(book, 2)
    before = stored(book)
    assert len(pass_clip(book, clip_of(book, 2)).graded) == 3
    assert sources(book, 2) == {"marked"}
    assert staying(book, 2) == {}
    reps = book.find(Rep, clip_id=clip_of(book, 2).id)
    assert {grade.rep_id for grade in book.find(Grade)} == {rep.id for rep in reps}
    book.undo()
    after = stored(book)
    assert {name: after[name] for name in ("Rep", "LineUp", "Grade", "FactValue")} == {
        name: before[name] for name in ("Rep", "LineUp", "Grade", "FactValue")
    }


def test_they_can_be_kept_alone(book: Book) -> None:
    """Before one of them is judged; a second time there is nothing to keep."""
    nobody(book, 2)
    assert {rep.position for rep in keep_men(book, clip_of(book, 2))} == {"Keel", "Bow", "Port"}
    assert keep_men(book, clip_of(book, 2)) == []


def test_each_place_is_taken_from_the_last_play_that_names_it(book: Book) -> None:
    """A new Keel from play 2 on stands on play 3 beside those who were in on play 1."""
    nobody(book, 2)
    nobody(book, 3)
    put_in(book, clip_of(book, 2), "Keel", player_of(book, "Anders Pell"), onwards=True)
    assert staying(book, 3) == {"Bow": "Lisoway", "Port": "Marchand-Pike"}
    nobody(book, 3)
    assert staying(book, 3) == {"Keel": "Pell", "Bow": "Lisoway", "Port": "Marchand-Pike"}


@pytest.mark.parametrize("kind", ["kick", "no play"])
def test_nobody_stays_in_on_a_play_off_the_run_of_things(book: Book, kind: ClipKind) -> None:
    """Other men are in on a kick: Enter names nobody and grades nobody."""
    nobody(book, 2)
    with book.act("say what it was") as act:
        act.put(replace(clip_of(book, 2), kind=kind))
    assert staying(book, 2) == {}
    pass_clip(book, clip_of(book, 2))
    assert not book.count(LineUp, clip_id=clip_of(book, 2).id)
    assert not book.count(Grade)


def test_the_men_beside_one_who_is_judged_are_kept_with_him(book: Book) -> None:
    """From his grade on nobody is taken over any more."""
    nobody(book, 2)
    keel = put_in(book, clip_of(book, 2), "Keel", player_of(book, "Anders Pell"))
    keep_drawn(book, clip_of(book, 2))
    judge(book, keel)
    there = book.find(Rep, clip_id=clip_of(book, 2).id)
    assert sorted(rep.position for rep in there) == ["Bow", "Keel", "Port"]


def test_a_man_who_stays_in_gets_his_rep_when_it_is_asked_for(book: Book) -> None:
    """One who is named keeps his; where nobody is, it says so and stores nothing."""
    assert rep_in(book, clip_of(book, 1), "Keel") == rep_of(book, 1, "Keel")
    nobody(book, 1)
    before = stored(book)
    with pytest.raises(BookError, match="Nobody is named at Keel"):
        rep_in(book, clip_of(book, 1), "Keel")
    assert stored(book) == before
