from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import binomtest

from gradecut.grading import wilson_interval
from tests.grading.published import PUBLISHED

counts = st.integers(1, 5000).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n)))


@pytest.mark.parametrize("row", PUBLISHED["wilson"]["rows"])
def test_published_intervals(row: tuple[int, int, float, float]) -> None:
    """The interval is the one Newcombe printed (source in published.json), to 4 decimals."""
    right, n, low, high = row
    assert wilson_interval(right, n) == pytest.approx((low, high), abs=5.1e-5)


@settings(deadline=None)
@given(counts)
def test_holds_the_rate_inside_zero_and_one(count: tuple[int, int]) -> None:
    """The interval lies in 0 to 1 and holds the rate."""
    right, n = count
    low, high = wilson_interval(right, n)
    assert 0 <= low <= right / n <= high <= 1


@settings(deadline=None)
@given(counts)
def test_misses_mirror_right_ones(count: tuple[int, int]) -> None:
    """Counting misses instead of right fits turns the interval over."""
    right, n = count
    low, high = wilson_interval(right, n)
    assert wilson_interval(n - right, n) == pytest.approx((1 - high, 1 - low), abs=1e-12)


@settings(deadline=None)
@given(counts, st.integers(2, 6))
def test_more_reps_narrow_it(count: tuple[int, int], times: int) -> None:
    """The same rate on more reps is known better."""
    right, n = count
    low, high = wilson_interval(right, n)
    nearer_low, nearer_high = wilson_interval(times * right, times * n)
    assert nearer_high - nearer_low < high - low


@settings(deadline=None)
@given(counts)
def test_agrees_with_scipy(count: tuple[int, int]) -> None:
    """An independent implementation, scipy's binomtest, gives the same interval."""
    right, n = count
    told = binomtest(right, n).proportion_ci(method="wilson")
    assert wilson_interval(right, n) == pytest.approx((told.low, told.high), abs=1e-9)


def test_a_half_point_counts_half() -> None:
    """Seven right and two halves stand where eight right would."""
    assert wilson_interval(7 + 2 * 0.5, 10) == wilson_interval(8, 10)


def test_nothing_graded_says_nothing() -> None:
    """Without a rep every rate is possible."""
    assert wilson_interval(0, 0) == (0.0, 1.0)


@pytest.mark.parametrize(("right", "n"), [(3, 2), (-1, 2), (1, 0)])
def test_refuses_more_right_than_reps(right: int, n: int) -> None:
    """A count that can't be is refused with a sentence."""
    with pytest.raises(ValueError, match="can't be"):
        wilson_interval(right, n)


def test_refuses_a_certainty() -> None:
    """No interval is sure of everything."""
    with pytest.raises(ValueError, match="between 0 and 1"):
        wilson_interval(1, 2, confidence=1)
