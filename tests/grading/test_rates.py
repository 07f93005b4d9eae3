from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gradecut.grading import lies_below, part_rates, wilson_interval
from gradecut.records import Grade, RepLine
from gradecut.records.rubric import Rubric
from tests.grading.invented_week import OKORIE, RUBRIC, VANDERMOOR, line, week


def regraded(grade: Grade, order: int = 1) -> RepLine:
    """Return a rep of Okorie's with another grade."""
    return replace(line(OKORIE, "+", order), grade=grade)


def test_three_rates_of_one_man() -> None:
    """Okorie: 2 right, 1 half, 3 wrong of 6; 6 items of 2 and 1; effort 2 on 3 reps.

    By hand: fit (2 x 2 + 1) / (6 x 2) = 5/12; technique 9 of 12 points; effort 6 of 6.
    """
    rates = part_rates([one for one in week() if one.player is OKORIE], RUBRIC)
    assert set(rates) == {"fit", "technique", "effort"}
    fit, technique, effort = rates["fit"], rates["technique"], rates["effort"]
    assert (fit.n, fit.rate, fit.cannot) == (6, pytest.approx(5 / 12), 0)
    assert (fit.low, fit.high) == wilson_interval(2.5, 6)
    assert (technique.n, technique.rate) == (6, pytest.approx(9 / 12))
    assert (effort.n, effort.rate, effort.cannot) == (3, 1.0, 1)


def test_what_was_not_graded_counts_for_nothing() -> None:
    """One rep can't be graded and one waits: four fits make the rate, and the first is counted."""
    fit = part_rates([one for one in week() if one.player is VANDERMOOR], RUBRIC)["fit"]
    assert (fit.n, fit.rate, fit.cannot) == (4, 0.75, 1)


def test_no_grades_no_rate() -> None:
    """Nothing graded is no rate, not zero."""
    for rate in part_rates([], RUBRIC).values():
        assert (rate.n, rate.rate, rate.low, rate.high) == (0, None, None, None)


def test_overall_only_with_weights_and_all_parts() -> None:
    """One figure is told only where the coach weighs, on reps graded in all weighed parts.

    By hand, rep 1: fit 1, technique (2 + 0) / 4 = 1/2, effort 1/2, weighed .5 .3 .2 = .75.
    Rep 2 has no effort and does not count.
    """
    weighed = replace(RUBRIC, weights=(("fit", 0.5), ("technique", 0.3), ("effort", 0.2)))
    first = regraded(Grade(rep_id="a", author="x", technique={"eyes": 2, "hands": 0}, effort=1))
    second = regraded(
        Grade(rep_id="b", author="x", technique={"eyes": 2}, cannot={"effort": "film ends early"})
    )
    overall = part_rates([first, second], weighed)["overall"]
    assert (overall.n, overall.rate, overall.cannot) == (1, pytest.approx(0.75), 1)
    without_effort = replace(RUBRIC, weights=(("fit", 1), ("technique", 1), ("effort", 0)))
    overall = part_rates([first, second], without_effort)["overall"]
    assert (overall.n, overall.rate) == (2, pytest.approx((0.75 + 1) / 2))


def test_a_scale_of_its_own() -> None:
    """Points are measured against the top of the rubric's scale, whatever it is."""
    rubric = Rubric(right=3, half=2, wrong=0, technique_scale=(0, 5), effort=(1, 4))
    half = Grade(rep_id="a", author="x", fit_result="half", technique={"eyes": 5}, effort=1)
    told = part_rates([regraded(half)], rubric)
    assert told["fit"].rate == pytest.approx(2 / 3)
    assert (told["technique"].rate, told["effort"].rate) == (1.0, 0.25)


def test_points_below_zero_have_no_interval() -> None:
    """A coach may take points away; the rate is told and no interval is made up."""
    rubric = Rubric(wrong=-2)
    fit = part_rates([regraded(Grade(rep_id="a", author="x", fit_result="wrong"))], rubric)["fit"]
    assert (fit.rate, fit.low, fit.high) == (-1.0, None, None)


def test_one_miss_of_one_is_no_pattern() -> None:
    """A single rep never puts anybody below the line, though its interval would."""
    one = part_rates([line(OKORIE, "-", 1)], RUBRIC)["fit"]
    assert one.high is not None
    assert one.high < 0.85
    assert not lies_below(one, 0.85)
    assert lies_below(part_rates([line(OKORIE, "-", at) for at in (1, 2)], RUBRIC)["fit"], 0.85)


@settings(deadline=None)
@given(st.text("+h-f?.", max_size=40))
def test_a_rate_lies_in_its_interval(signs: str) -> None:
    """However a week went, every rate lies inside its interval and n counts what was graded."""
    rates = part_rates([line(OKORIE, sign, at) for at, sign in enumerate(signs, 1)], RUBRIC)
    fit = rates["fit"]
    assert fit.n == sum(sign in "+h-f" for sign in signs)
    assert fit.cannot == signs.count("?")
    for rate in rates.values():
        if rate.rate is not None and rate.low is not None and rate.high is not None:
            assert 0 <= rate.low <= rate.rate <= rate.high <= 1
