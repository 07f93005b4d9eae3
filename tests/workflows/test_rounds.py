"""Rounds of reps to look at: which they are, what waits, and what looking at one records."""

from __future__ import annotations

from dataclasses import replace

import pytest

from gradecut.book import Book
from gradecut.errors import GradeError
from gradecut.records import FactValue, Grade, Rep
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.counting import toggle_flag
from gradecut.workflows.flagged import flagged_reps
from gradecut.workflows.judging import change_grade, judge
from gradecut.workflows.kept_grades import current_grade
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.looks import look_of, tell_fact
from gradecut.workflows.passing import pass_clip
from gradecut.workflows.rounds import look_at, reps_of_man, round_of_flags, standings
from tests.workflows.small_week import clip_of, rep_of
from tests.workflows.test_carried_looks import forget


def named(reps: tuple[object, ...]) -> list[tuple[int, str]]:
    """Return play and position of each."""
    return [(rep.order, rep.position) for rep in reps]  # type: ignore[attr-defined]


def test_flagged_reps_come_in_film_order(book: Book) -> None:
    """Whatever order he flagged them in; a whole play where none missed counts with all its men."""
    toggle_flag(book, clip_of(book, 2), rep_of(book, 2, "Bow"))
    toggle_flag(book, clip_of(book, 1), rep_of(book, 1, "Port"))
    assert named(round_of_flags(book)) == [(1, "Port"), (2, "Bow")]
    toggle_flag(book, clip_of(book, 2))
    men = [position for play, position in named(round_of_flags(book)) if play == 2]
    assert {"Bow", "Keel"} <= set(men)
    assert len(men) == len(set(men))


def test_a_round_is_what_the_staff_will_be_shown(book: Book) -> None:
    """A flag on a play means its misses where there are some, in the round as on the page."""
    toggle_flag(book, clip_of(book, 2))
    judge(book, rep_of(book, 2, "Keel"), did="miss", name="overran his gap")
    toggle_flag(book, clip_of(book, 1), rep_of(book, 1, "Port"))
    assert named(round_of_flags(book)) == [(1, "Port"), (2, "Keel")]
    page = flagged_reps(book, rep_lines(book))
    assert [one.rep_id for one in round_of_flags(book)] == [line.rep.id for line in page]


def test_what_another_coach_flagged_is_in_the_round_unless_it_is_blind(book: Book) -> None:
    """As it is on the page; it waits for him too until he has looked."""
    keel = rep_of(book, 1, "Keel")
    toggle_flag(book, clip_of(book, 1), keel)
    book.author = "Coach Birch"
    reps = round_of_flags(book)
    assert named(reps) == [(1, "Keel")]
    assert (standings(book, reps)[keel.id].flagged, standings(book, reps)[keel.id].looked_at) == (
        True,
        False,
    )
    look_at(book, keel)
    assert standings(book, reps)[keel.id].looked_at
    book.blind = True
    assert round_of_flags(book) == ()


def test_no_play_is_left_out(book: Book) -> None:
    """A play dropped after it was flagged is not shown tomorrow."""
    clip = clip_of(book, 1)
    toggle_flag(book, clip, rep_of(book, 1, "Keel"))
    with book.act("drop it") as act:
        act.put(replace(clip, kind="no play"))
    assert round_of_flags(book) == ()


def test_one_mans_reps(book: Book) -> None:
    """All plays of one player, of one session or of all."""
    keel = rep_of(book, 1, "Keel")
    his = reps_of_man(book, keel.player_id)
    assert {rep.player_id for rep in his} == {keel.player_id}
    assert len(his) == book.count(Rep, player_id=keel.player_id)
    session = clip_of(book, 1).session_id
    assert reps_of_man(book, keel.player_id, session_id=session) == his
    assert reps_of_man(book, keel.player_id, session_id="another") == ()


def test_what_is_flagged_after_it_was_judged_waits(book: Book) -> None:
    """Judged at speed and then flagged is not looked at yet; once he has looked, it is."""
    keel = rep_of(book, 1, "Keel")
    judge(book, keel, did="miss", name="ran past it")
    toggle_flag(book, clip_of(book, 1), keel)
    reps = round_of_flags(book)
    standing = standings(book, reps)[keel.id]
    assert (standing.how, standing.wrong, standing.looked_at) == ("examined", True, False)
    look_at(book, keel)
    assert standings(book, reps)[keel.id].looked_at
    toggle_flag(book, clip_of(book, 1), keel)
    assert not standings(book, reps)[keel.id].flagged


def test_a_miss_told_after_the_flag_still_waits(book: Book) -> None:
    """At speed he may flag before he says what it was, and why: none of that is a closer look."""
    keel = rep_of(book, 1, "Keel")
    toggle_flag(book, clip_of(book, 1), keel)
    judge(book, keel, did="miss", name="ran past it")
    change_grade(book, keel, cause="eyes")
    reps = round_of_flags(book)
    assert not standings(book, reps)[keel.id].looked_at
    change_grade(book, keel, technique={"eyes": 1})
    assert standings(book, reps)[keel.id].looked_at
    change_grade(book, keel, note="Late again.")
    assert standings(book, reps)[keel.id].looked_at


def test_one_man_passed_at_speed_waits(book: Book) -> None:
    """In a round of one man, what was let through waits and what was examined does not."""
    pass_clip(book, clip_of(book, 1))
    keel = rep_of(book, 1, "Keel")
    reps = reps_of_man(book, keel.player_id)
    assert not standings(book, reps)[keel.id].looked_at
    change_grade(book, keel, effort=2)
    assert standings(book, reps)[keel.id].looked_at


def test_looking_supersedes_and_loses_nothing(book: Book) -> None:
    """Points, note and cause stand; the judgement before is still in the book."""
    keel = rep_of(book, 1, "Keel")
    old = judge(
        book, keel, did="miss", name="ran past it", cause="eyes", technique={"eyes": 1}, note="Late"
    )
    new = look_at(book, keel)
    assert replace(new, id=old.id, at=old.at, supersedes=old.supersedes) == old
    assert new.supersedes == old.id
    assert book.count(Grade, rep_id=keel.id) == 2
    assert current_grade(book, keel.id) == new


def test_a_stale_grade_is_held_against_what_he_owes_now(book: Book) -> None:
    """A miss of a fit he does not owe any more must be judged anew; nothing is stored."""
    scheme = scheme_in_force(book)
    assert scheme is not None
    keel = rep_of(book, 1, "Keel")
    judge(book, keel, did="miss", name="ran past it")
    tell_fact(book, scheme, clip_of(book, 1), "run", "left", source="marked")
    before = book.count(Grade)
    with pytest.raises(GradeError, match="Keel must be judged anew"):
        look_at(book, keel)
    assert book.count(Grade) == before


def test_an_open_rep_is_refused(book: Book) -> None:
    """Where no fact says what he owed, looking at him can't make him right."""
    with book.act("forget the look") as act:
        act.drop_all(book.find(FactValue, clip_id=clip_of(book, 1).id))
    with pytest.raises(GradeError, match="Keel stays open"):
        look_at(book, rep_of(book, 1, "Keel"))
    assert not book.find(Grade)


def test_looking_is_one_act(book: Book) -> None:
    """It is taken back whole, and what stood before stands again."""
    pass_clip(book, clip_of(book, 1))
    keel = rep_of(book, 1, "Keel")
    old = current_grade(book, keel.id)
    look_at(book, keel)
    assert book.undo().verb == "take back “look at Keel on play 1”"
    assert current_grade(book, keel.id) == old


def test_looking_at_a_rep_judges_it_by_the_look_as_it_is_drawn(book: Book) -> None:
    """What the look takes over from the last play counts, and is stored in the same act."""
    forget(book, 2, "strength")
    before = book.find(FactValue)
    made = look_at(book, rep_of(book, 2, "Keel"))
    assert (made.did, made.fit_result) == ("as owed", "right")
    assert look_of(book, clip_of(book, 2).id)["strength"] == "right"
    assert not standings(book, reps_of_man(book, rep_of(book, 2, "Keel").player_id))[
        rep_of(book, 2, "Keel").id
    ].wrong
    book.undo()
    assert book.find(FactValue) == before
    assert not book.count(Grade)


def test_a_refused_look_stores_nothing_of_what_is_taken_over(book: Book) -> None:
    """What he owes is open still: the facts before the snap stay unsaid."""
    forget(book, 2, "strength", "run")
    before = book.find(FactValue)
    with pytest.raises(GradeError, match="stays open"):
        look_at(book, rep_of(book, 2, "Keel"))
    assert book.find(FactValue) == before
