from __future__ import annotations

from typing import Any

import pytest

from gradecut.errors import GradeError
from gradecut.grading import grade_rep
from gradecut.records import Actual, Grade, Owed, Side
from gradecut.records.expectation import Expectation
from gradecut.records.rubric import Rubric
from tests.grading.invented_week import MISSES

EXPECTATION = Expectation(
    position="Keel", fit="fill A", side="right", also=("box A",), misses=MISSES, rule="K14"
)
AS_OWED = Actual(rep_id="r1", did="as owed")


def graded(**change: Any) -> Grade:
    """Grade a rep of Keel's, changed as told."""
    told: dict[str, Any] = {
        "rep_id": "r1",
        "author": "Coach Reyes",
        "expectation": EXPECTATION,
        "actual": AS_OWED,
        "rubric": Rubric(),
    }
    return grade_rep(**{**told, **change})


def test_a_grade_freezes_what_it_was_judged_by() -> None:
    """Expected fit, rule, look and scheme stay on the grade."""
    told = graded(scheme_id="v7", look_digest="ab12", technique={"eyes": 2}, effort=1, note="go")
    assert (told.expected_fit, told.expected_side, told.expected_also) == (
        "fill A", "right", ("box A",),
    )  # fmt: skip
    assert (told.expected_rule, told.owed_by, told.scheme_id, told.look_digest) == (
        "K14", "scheme", "v7", "ab12",
    )  # fmt: skip
    assert (told.fit_result, told.fit_points, told.technique, told.effort, told.how) == (
        "right", 2, {"eyes": 2}, 1, "passed",
    )  # fmt: skip


def test_the_coachs_word_stands_above_the_scheme() -> None:
    """What the coach says he owed is what he is judged by, without the scheme's rule."""
    word = Owed(rep_id="r1", fit="scrape C", side="left", reason="check call")
    told = graded(owed=word, actual=Actual(rep_id="r1", did="fit", name="box A"))
    assert (told.fit_result, told.owed_by, told.expected_rule, told.expected_also) == (
        "wrong", "coach", None, (),
    )  # fmt: skip
    missed = Actual(rep_id="r1", did="miss", name="too wide")
    assert graded(owed=word, owed_misses=(("too wide", "half"),), actual=missed).fit_points == 1


def test_a_new_judgement_names_the_one_it_replaces() -> None:
    """Only the same grader's on the same rep."""
    first = graded()
    assert graded(previous=first).supersedes == first.id
    with pytest.raises(GradeError, match="same grader"):
        graded(previous=first, author="Coach Lind")


def test_cannot_grade_carries_its_reason_for_each_part() -> None:
    """A fit out of picture and an effort not seen are two reasons, and technique may be graded."""
    told = graded(
        actual=Actual(rep_id="r1", did="cannot grade", name="out of picture"),
        cannot={"effort": "film ends early"},
        technique={"eyes": 1},
    )
    assert told.fit_result == "cannot grade"
    assert told.fit_points is None
    assert told.cannot == {"fit": "out of picture", "effort": "film ends early"}


def test_a_cause_may_stay_open() -> None:
    """A miss without a cause is taken: a grader who does not know should not guess."""
    miss = Actual(rep_id="r1", did="miss", name="overran it")
    assert graded(actual=miss).cause == ""
    assert graded(actual=Actual(rep_id="r1", did="miss", name="overran it", cause="eyes")).cause


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"technique": {"eys": 1}}, "“eys” is no technique item of this rubric; did you mean"),
        ({"technique": {"eyes": 3}}, "3 is not on the technique scale for “eyes”; give 0, 1 or 2."),
        ({"effort": 7}, "7 is not on the effort scale; give 0, 1 or 2."),
        ({"effort": 2, "cannot": {"effort": "dark"}}, "The effort is graded, and “dark” says"),
        ({"cannot": {"effort": " "}}, "Say why the effort can't be graded"),
        ({"cannot": {"hustle": "dark"}}, "“hustle” is no part of a grade"),
        ({"actual": Actual(rep_id="r1", did="as owed", cause="eyes")}, "explains a miss"),
        (
            {"actual": Actual(rep_id="r1", did="miss", name="overran it", cause="eye")},
            "“eye” is no cause of this rubric; did you mean “eyes”?",
        ),
    ],
)  # fmt: skip
def test_a_grade_off_the_rubric_is_refused(change: dict[str, Any], sentence: str) -> None:
    """Items, points, parts and causes the rubric does not have get one sentence naming the rep."""
    with pytest.raises(GradeError) as caught:
        graded(**change)
    assert sentence in str(caught.value)
    assert caught.value.rep_id == "r1"


@pytest.mark.parametrize(("side", "told"), [("left", "right"), ("right", "wrong")])
def test_what_is_right_too_lies_on_its_own_side(side: Side, told: str) -> None:
    """He owed fill A on the right; the box, right too, is on the left."""
    boxed = Actual(rep_id="r1", did="fit", name="box A", side=side)
    assert graded(actual=boxed, also_sides={"box A": "left"}).fit_result == told
