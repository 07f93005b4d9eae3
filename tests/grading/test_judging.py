from __future__ import annotations

from typing import Any

import pytest

from gradecut.grading import GradeError, grade_rep, judge_fit
from gradecut.records import Actual, FitResult, Grade, Owed
from gradecut.records.expectation import Expectation
from gradecut.records.rubric import Rubric
from tests.grading.invented_week import MISSES

RUBRIC = Rubric(right=2, half=1, wrong=0)
OWED: dict[str, Any] = {
    "expected_fit": "fill A",
    "expected_side": "right",
    "also": ("box A",),
    "misses": MISSES,
    "rubric": RUBRIC,
}


@pytest.mark.parametrize(
    ("did", "told", "points"),
    [
        ({"did": "as owed"}, "right", 2),
        ({"did": "fit", "did_name": "fill A"}, "right", 2),
        ({"did": "fit", "did_name": "fill A", "did_side": "right"}, "right", 2),
        ({"did": "fit", "did_name": "fill A", "did_side": "left"}, "wrong", 0),
        ({"did": "fit", "did_name": "box A", "did_side": "right"}, "right", 2),
        ({"did": "fit", "did_name": "box A", "did_side": "left"}, "wrong", 0),
        ({"did": "fit", "did_name": "scrape C"}, "wrong", 0),
        ({"did": "miss", "did_name": "overran it"}, "half", 1),
        ({"did": "miss", "did_name": "wrong shoulder"}, "wrong", 0),
        ({"did": "cannot grade", "did_name": "out of picture"}, "cannot grade", None),
    ],
)
def test_fit_is_worked_out(did: dict[str, Any], told: FitResult, points: float | None) -> None:
    """What he owed, or what is right too, is right; another fit or side is wrong; a miss varies."""
    assert judge_fit(**OWED, **did) == (told, points)


def test_no_run_job_is_not_graded() -> None:
    """Where the scheme has no run job for him there is nothing to grade."""
    assert judge_fit(**OWED, did="as owed", graded=False) == ("not graded", None)


def test_a_miss_without_a_list_stays_unnamed() -> None:
    """A fit that lists no misses can be missed all the same, and is wrong."""
    assert judge_fit(expected_fit="fill A", did="miss", rubric=RUBRIC) == ("wrong", 0)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"did": "miss", "did_name": "overan it"}, "did you mean “overran it”?"),
        ({"did": "miss"}, "Say how “fill A” was missed: overran it or wrong shoulder."),
        ({"did": "miss", "did_name": "late", "misses": ()}, "lists no misses"),
        ({"did": "fit"}, "Say which other fit he played."),
        ({"did": "cannot grade"}, "Say why it can't be graded"),
        ({"did": "as owed", "expected_fit": None}, "Nobody has said yet what he owed"),
    ],
)
def test_what_cannot_be_judged(change: dict[str, Any], sentence: str) -> None:
    """A judgement that can't be gets one sentence, with the nearest name where there is one."""
    with pytest.raises(GradeError) as caught:
        judge_fit(**{**OWED, **change})
    assert sentence in str(caught.value)


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
