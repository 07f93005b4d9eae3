"""A measured place is right, off or too close to call, and told in yards and a direction."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.grading import grade_alignment, lined_up_rate, wilson_interval
from gradecut.records import Alignment, LinedUp

KEEL = Alignment(depth_yd=4.5, landmark="A", side="right", tolerance_yd=1.0)
yards = st.floats(-10, 20, allow_nan=False)


@pytest.mark.parametrize(
    ("depth_yd", "verdict", "off", "words"),
    [
        (4.5, "right", (), "right"),
        (5.5, "right", (), "right"),  # the edge itself is within
        (6.0, "off", ("too deep",), "1.5 yd too deep"),
        (3.0, "off", ("too shallow",), "1.5 yd too shallow"),
        (None, "cannot grade", (), "not measured"),
    ],
)
def test_depth_is_held_against_the_tolerance(
    depth_yd: float | None, verdict: str, off: tuple[str, ...], words: str
) -> None:
    """Within a yard is right; beyond it he is told by how much and which way."""
    found = grade_alignment(KEEL, depth_yd=depth_yd)
    assert (found.verdict, found.off, found.words) == (verdict, off, words)


def test_a_doubt_that_reaches_over_the_edge_is_no_verdict() -> None:
    """0.9 yd off with half a yard of doubt may be either; surely beyond stays off."""
    close = grade_alignment(KEEL, depth_yd=5.4, sigma_yd=0.25)
    assert close.verdict == "cannot grade"
    assert close.words == "0.9 yd too deep, give or take 0.5: too close"
    assert grade_alignment(KEEL, depth_yd=6.5, sigma_yd=0.25).verdict == "off"
    assert grade_alignment(KEEL, depth_yd=4.6, sigma_yd=0.25).verdict == "right"


def test_width_is_judged_where_it_was_measured() -> None:
    """A man at his depth, but far outside his landmark, is too wide; both are told together."""
    assert grade_alignment(KEEL, depth_yd=4.5, across_yd=2.0).words == "2.0 yd too wide"
    both = grade_alignment(KEEL, depth_yd=2.5, across_yd=-1.5)
    assert both.off == ("too shallow", "too tight")
    assert both.words == "2.0 yd too shallow, 1.5 yd too tight"


def test_a_man_surely_off_one_way_is_off_though_the_other_is_unsure() -> None:
    """What can't be told of his width does not make up for two yards of depth."""
    found = grade_alignment(KEEL, depth_yd=8.5, across_yd=1.0, sigma_yd=0.3)
    assert (found.verdict, found.off) == ("off", ("too deep",))


def test_without_a_tolerance_it_is_the_coachs_eye() -> None:
    """No tolerance in the scheme: no measured verdict, but still how far he was off."""
    found = grade_alignment(Alignment(depth_yd=4, landmark="B"), depth_yd=7)
    assert found.verdict == "cannot grade"
    assert found.depth_off_yd == 3
    assert found.words == "the scheme gives no tolerance; judge it by eye"


@given(depth=yards, sigma=st.floats(0, 5), more=st.floats(0, 5))
def test_more_doubt_never_makes_a_verdict(depth: float, sigma: float, more: float) -> None:
    """What can't be told can't be told with a worse measurement, and no verdict turns."""
    sure = grade_alignment(KEEL, depth_yd=depth, sigma_yd=sigma)
    unsure = grade_alignment(KEEL, depth_yd=depth, sigma_yd=sigma + more)
    assert unsure.verdict in (sure.verdict, "cannot grade")


@pytest.mark.parametrize("number", [math.nan, math.inf])
def test_numbers_that_are_none_are_refused(number: float) -> None:
    """A place that is no number is a fault of the measuring, not a verdict."""
    with pytest.raises(ValueError, match="finite yards"):
        grade_alignment(KEEL, depth_yd=number)
    with pytest.raises(ValueError, match="not below zero"):
        grade_alignment(KEEL, depth_yd=4, sigma_yd=-1)


def test_the_rate_counts_right_and_off_only() -> None:
    """Seven of nine right, one that can't be told and one nobody looked at: seven of nine."""
    said = [LinedUp(rep_id=f"{n}", verdict="right") for n in range(7)]
    said += [LinedUp(rep_id=f"off {n}", verdict="off", off=("too deep",)) for n in range(2)]
    rate = lined_up_rate([*said, LinedUp(rep_id="hidden", verdict="cannot grade"), None])
    assert (rate.n, rate.cannot, rate.rate) == (9, 1, pytest.approx(7 / 9))
    assert (rate.low, rate.high) == wilson_interval(7, 9)
    assert lined_up_rate([None]).rate is None
