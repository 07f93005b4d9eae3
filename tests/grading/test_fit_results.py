from __future__ import annotations

from typing import Any

import pytest

from gradecut.errors import GradeError
from gradecut.grading import judge_fit
from gradecut.records import FitResult
from gradecut.records.rubric import Rubric
from tests.grading.invented_week import MISSES

RUBRIC = Rubric(right=2, half=1, wrong=0)
OWED: dict[str, Any] = {
    "expected_fit": "fill A",
    "expected_side": "right",
    "also": ("box A", "hang A"),
    "also_sides": {"box A": "left", "hang A": None},
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
        ({"did": "fit", "did_name": "box A"}, "right", 2),
        ({"did": "fit", "did_name": "box A", "did_side": "left"}, "right", 2),
        ({"did": "fit", "did_name": "box A", "did_side": "right"}, "wrong", 0),
        ({"did": "fit", "did_name": "hang A", "did_side": "left"}, "right", 2),
        ({"did": "fit", "did_name": "hang A", "did_side": "right"}, "right", 2),
        ({"did": "fit", "did_name": "scrape C"}, "wrong", 0),
        ({"did": "miss", "did_name": "overran it"}, "half", 1),
        ({"did": "miss", "did_name": "wrong shoulder"}, "wrong", 0),
        ({"did": "cannot grade", "did_name": "out of picture"}, "cannot grade", None),
    ],
)
def test_fit_is_worked_out(did: dict[str, Any], told: FitResult, points: float | None) -> None:
    """What he owed is right, and what is right too, each on its own side; a miss varies.

    He owed fill A on the right. Box A is right too, on the left; hang A on either side.
    """
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
