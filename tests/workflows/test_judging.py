"""Reps are judged by exception at speed or looked at closely, and no judgement is lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.book import Book
from gradecut.errors import BookError, GradecutError, GradeError
from gradecut.records import Actual, BookInfo, Event, FactValue, Flag, Grade, LineUp, Player, Rep
from gradecut.workflows.booking import book_info, scheme_in_force
from gradecut.workflows.counting import add_event, drop_event, toggle_flag
from gradecut.workflows.expecting import say_owed, unsay_owed
from gradecut.workflows.judging import change_grade, judge
from gradecut.workflows.kept_grades import current_grade
from gradecut.workflows.line_ups import put_in
from gradecut.workflows.looks import tell_facts
from gradecut.workflows.passing import pass_clip
from tests.workflows.small_week import also_on_the_other_side, clip_of, player_of, rep_of, stored


def test_as_owed_is_right(book: Book) -> None:
    """The fit is worked out, with the rule and the scheme version it was judged by."""
    grade = judge(book, rep_of(book, 1, "Keel"))
    assert (grade.expected_fit, grade.expected_side, grade.expected_rule) == (
        "fill A", "right", "R14",
    )  # fmt: skip
    assert (grade.fit_result, grade.fit_points, grade.owed_by) == ("right", 2, "scheme")
    assert grade.scheme_id == book_info(book).scheme_id


def test_another_fit_is_wrong_and_stands_where_the_scheme_places_it(book: Book) -> None:
    """Play 1 goes right: fill B follows the run; an own-side fit lies on his side."""
    grade = judge(book, rep_of(book, 1, "Keel"), did="fit", name="fill B", cause="eyes")
    assert (grade.fit_result, grade.did_side, grade.cause) == ("wrong", "right", "eyes")
    port = judge(book, rep_of(book, 1, "Port"), did="fit", name="hang A")
    assert port.did_side == "left"


def test_the_owed_fit_on_the_wrong_side_is_wrong(book: Book) -> None:
    """Where the coach says which side."""
    grade = judge(book, rep_of(book, 1, "Keel"), did="fit", name="fill A", side="left")
    assert grade.fit_result == "wrong"


def test_a_miss_has_the_credit_the_scheme_gives_it(book: Book) -> None:
    """Half for one, nothing for the other; an unlisted one is refused by name."""
    rep = rep_of(book, 1, "Keel")
    half = judge(book, rep, did="miss", name="caught it at depth", cause="technique")
    assert (half.fit_result, half.fit_points) == ("half", 1)
    none = judge(book, rep, did="miss", name="ran past it")
    assert (none.fit_result, none.fit_points) == ("wrong", 0)
    with pytest.raises(GradeError, match="no miss of “fill A”"):
        judge(book, rep, did="miss", name="got reached")


def test_what_the_rubric_does_not_know_is_refused(book: Book) -> None:
    """A cause, a cause without a miss, a technique item, a mark off the scale, a fit."""
    rep, before = rep_of(book, 1, "Keel"), stored(book)
    for said in (
        {"did": "miss", "name": "ran past it", "cause": "luck"},
        {"cause": "eyes"},
        {"technique": {"voice": 1}},
        {"technique": {"eyes": 7}},
        {"effort": 1.5},
        {"did": "fit", "name": "fill Z"},
        {"did": "fit", "name": "fill Z", "side": "left"},
        {"did": "fit"},
        {"did": "miss"},
        {"did": "cannot grade"},
        {"cannot": {"luck": "none"}},
    ):
        with pytest.raises(GradeError):
            judge(book, rep, **said)  # type: ignore[arg-type]
    assert stored(book) == before


def test_cannot_grade_is_a_grade_with_its_reason(book: Book) -> None:
    """It has no points and is never guessed."""
    grade = judge(book, rep_of(book, 1, "Keel"), did="cannot grade", name="out of picture")
    assert (grade.fit_result, grade.fit_points) == ("cannot grade", None)
    assert grade.cannot == {"fit": "out of picture"}


def test_three_parts_are_graded_apart(book: Book) -> None:
    """Technique by item and effort stand beside the fit."""
    grade = judge(book, rep_of(book, 1, "Keel"), technique={"eyes": 2, "hands": 0}, effort=1)
    assert (grade.technique, grade.effort, grade.fit_points) == ({"eyes": 2, "hands": 0}, 1, 2)


def test_the_coachs_word_stands_above_the_scheme(book: Book) -> None:
    """The call was another: he is graded by that, and the grade says whose word it was."""
    rep = rep_of(book, 1, "Keel")
    say_owed(book, rep, "box A", side="right", reason="the call was a stunt")
    grade = judge(book, rep, did="miss", name="soft at the block")
    assert (grade.expected_fit, grade.owed_by, grade.expected_rule) == ("box A", "coach", None)
    assert grade.fit_result == "half"
    unsay_owed(book, rep)
    assert judge(book, rep).expected_fit == "fill A"


def test_changing_one_thing_keeps_the_rest(book: Book) -> None:
    """A note added later leaves fit, technique and effort as they were."""
    rep = rep_of(book, 1, "Keel")
    judge(
        book, rep, did="miss", name="ran past it", cause="eyes", technique={"eyes": 0}, effort=2,
        how="passed",
    )  # fmt: skip
    grade = change_grade(book, rep, note="looked at the back")
    assert (grade.did_name, grade.cause, grade.technique, grade.effort, grade.note) == (
        "ran past it", "eyes", {"eyes": 0}, 2, "looked at the back",
    )  # fmt: skip
    assert grade.how == "examined"
    cleaned = change_grade(book, rep, did="as owed")
    assert (cleaned.did_name, cleaned.cause, cleaned.effort) == ("", "", 2)


def test_changing_the_fit_he_played_works_its_side_out_anew(book: Book) -> None:
    """Fill B went where the ball went; the fit said instead lies on his own side."""
    rep = rep_of(book, 2, "Keel")
    tell = scheme_in_force(book)
    assert tell is not None
    tell_facts(book, tell, clip_of(book, 2), {"run": "right"}, source="marked")
    assert judge(book, rep, did="fit", name="fill B").did_side == "right"
    assert change_grade(book, rep, name="hang A").did_side == "left"


def test_a_rep_nobody_judged_starts_as_owed(book: Book) -> None:
    """Effort alone is a grade of a clean rep."""
    grade = change_grade(book, rep_of(book, 1, "Keel"), effort=2)
    assert (grade.fit_result, grade.effort, grade.supersedes) == ("right", 2, None)


def test_a_regrade_names_what_it_supersedes_and_undo_brings_it_back(book: Book) -> None:
    """Grades are only ever added; the same said again adds none."""
    rep = rep_of(book, 1, "Keel")
    first = judge(book, rep)
    assert judge(book, rep) == first
    second = judge(book, rep, did="miss", name="ran past it")
    assert (second.supersedes, book.count(Grade, rep_id=rep.id)) == (first.id, 2)
    assert [actual.name for actual in book.find(Actual, rep_id=rep.id)] == ["ran past it"]
    book.undo()
    assert current_grade(book, rep.id) == first
    book.undo()
    assert (current_grade(book, rep.id), book.count(Actual)) == (None, 0)


def test_two_graders_stand_apart(book: Book) -> None:
    """Neither supersedes the other."""
    rep = rep_of(book, 1, "Keel")
    judge(book, rep)
    book.author = "B. Marsh"
    assert current_grade(book, rep.id) is None
    his = judge(book, rep, did="miss", name="ran past it")
    assert his.supersedes is None
    assert [grade.fit_result for grade in book.find(Grade, rep_id=rep.id)] == ["right", "wrong"]
    assert current_grade(book, rep.id, "J. Alder") is not None


def test_enter_lets_a_clean_clip_through(book: Book) -> None:
    """Three men right, passed, in one act; a second Enter does nothing."""
    clip = clip_of(book, 1)
    done = pass_clip(book, clip)
    assert [(g.fit_result, g.how) for g in done.graded] == [("right", "passed")] * 3
    assert done.left == ()
    assert pass_clip(book, clip).graded == ()
    book.undo()
    assert book.count(Grade) == 0


def test_enter_leaves_what_is_judged_and_what_is_open(book: Book) -> None:
    """A dirty rep keeps its grade; a man with an open question stays open, and it is said."""
    scheme = scheme_in_force(book)
    assert scheme is not None
    clip = clip_of(book, 1)
    judge(book, rep_of(book, 1, "Bow"), did="miss", name="got reached")
    for fact in ("concept", "run"):
        with book.act("forget") as act:
            act.drop_all(book.find(FactValue, clip_id=clip.id, reference=fact))
    done = pass_clip(book, clip)
    assert done.graded == ()
    assert sorted(one.why for one in done.left) == [
        "Keel stays open: What did they run?",
        "Port stays open: What did they run?",
    ]


def test_a_pass_leaves_nothing_to_grade(book: Book) -> None:
    """He had no run job: kept as not graded, so that he is done too."""
    scheme = scheme_in_force(book)
    assert scheme is not None
    tell_facts(book, scheme, clip_of(book, 1), {"concept": "pass"}, source="marked")
    done = pass_clip(book, clip_of(book, 1))
    assert [g.fit_result for g in done.graded] == ["not graded"] * 3


def test_enter_grades_the_staffs_own_group_only(book: Book) -> None:
    """A front coach's book leaves linebackers alone."""
    with book.act("choose the group") as act:
        info = book_info(book)
        act.put(BookInfo(name=info.name, scheme_id=info.scheme_id, graded_group="front"))
    assert pass_clip(book, clip_of(book, 1)).graded == ()


def test_events_are_counted_beside_the_grade(book: Book) -> None:
    """As often as they happened, and taken back one by one; an unknown one is refused."""
    rep = rep_of(book, 1, "Keel")
    add_event(book, rep, "tackle")
    add_event(book, rep, "tackle")
    drop_event(book, rep, "tackle")
    assert [event.name for event in book.find(Event)] == ["tackle"]
    with pytest.raises(GradecutError, match="did you mean “tackle”"):
        add_event(book, rep, "tackel")


def test_a_flag_goes_on_and_off(book: Book) -> None:
    """Of a clip and of one rep of it, apart."""
    clip, rep = clip_of(book, 1), rep_of(book, 1, "Keel")
    assert toggle_flag(book, clip, rep)
    assert toggle_flag(book, clip)
    assert not toggle_flag(book, clip)
    assert [flag.rep_id for flag in book.find(Flag)] == [rep.id]


def men_on(book: Book, play: int) -> dict[str, str]:
    """Return who is in where."""
    return {
        rep.position: book.get(Player, rep.player_id).short_name
        for rep in book.find(Rep, clip_id=clip_of(book, play).id)
    }


def test_a_man_put_in_takes_the_place_onwards(book: Book) -> None:
    """From play 2 to the end of its period; the men before go, line-ups follow."""
    pell = player_of(book, "Anders Pell")
    put_in(book, clip_of(book, 2), "Keel", pell, onwards=True)
    men = ["Okorie", "Pell", "Pell", "Hanrattan"]
    assert [men_on(book, play)["Keel"] for play in (1, 2, 3, 4)] == men
    assert book.count(LineUp, position="Keel", player_id=pell.id) == 2
    assert book.count(Rep) == 12
    book.undo()
    assert men_on(book, 2)["Keel"] == "Okorie"


def test_a_judged_man_is_not_taken_out(book: Book) -> None:
    """Here it is refused by name; on later plays he just stays."""
    judge(book, rep_of(book, 3, "Keel"))
    pell, before = player_of(book, "Anders Pell"), stored(book)
    with pytest.raises(BookError, match="Quill Hanrattan is already graded on play 3"):
        put_in(book, clip_of(book, 3), "Keel", pell)
    assert stored(book) == before
    put_in(book, clip_of(book, 1), "Keel", pell, onwards=True)
    assert [men_on(book, play)["Keel"] for play in (1, 2, 3)] == ["Pell", "Pell", "Hanrattan"]


def test_a_man_is_in_one_place(book: Book) -> None:
    """Put in at another position he leaves the first."""
    put_in(book, clip_of(book, 1), "Keel", player_of(book, "Brandt Lisoway"))
    assert men_on(book, 1) == {"Keel": "Lisoway", "Port": "Marchand-Pike"}
    assert book.count(LineUp, clip_id=clip_of(book, 1).id) == 2


def test_putting_in_the_man_who_is_in_changes_nothing(book: Book) -> None:
    """His rep is given, and no act is written."""
    before = stored(book)
    rep = put_in(book, clip_of(book, 1), "Keel", player_of(book, "Tavin Okorie"))
    assert rep == rep_of(book, 1, "Keel")
    assert stored(book) == before


def test_a_fit_that_is_right_too_has_its_own_side(book: Book, tmp_path: Path) -> None:
    """Keel owes the A gap away from him; the box, right too, is on his own side, the right."""
    also_on_the_other_side(book, tmp_path)
    rep = rep_of(book, 1, "Keel")
    assert (judge(book, rep).expected_side, judge(book, rep).expected_also) == ("left", ("box A",))
    boxed = judge(book, rep, did="fit", name="box A")
    assert (boxed.did_side, boxed.fit_result) == ("right", "right")
    assert judge(book, rep, did="fit", name="box A", side="left").fit_result == "wrong"
    assert judge(book, rep, did="fit", name="fill A", side="right").fit_result == "wrong"
