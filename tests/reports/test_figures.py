from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gradecut.grading import wilson_interval
from gradecut.records import FitResult, PartRate
from gradecut.reports.figures import fit_figure, interval_figure, interval_words
from gradecut.reports.palette import ALERT, BLUE


def rate_of(right: int, n: int) -> PartRate:
    """Return the rate of some fits."""
    low, high = wilson_interval(right, n)
    return PartRate(n=n, rate=right / n, low=low, high=high, cannot=0)


@settings(deadline=None)
@given(st.integers(1, 200).flatmap(lambda n: st.tuples(st.integers(0, n), st.just(n))))
def test_the_disc_stands_where_the_rate_is(count: tuple[int, int]) -> None:
    """From left to right stand low end, disc and high end; the line called good at 85 %."""
    part = rate_of(*count)
    drawn = interval_figure(part, 0.85)
    (disc,) = re.findall(r'cx="([\d.]+)"', drawn)
    low, high = re.findall(r"M([\d.]+) 8H([\d.]+)", drawn)[1]
    assert float(low) <= float(disc) <= float(high)
    assert part.rate is not None
    assert float(disc) == pytest.approx(5 + 94 * part.rate, abs=0.06)
    assert f"M{5 + 94 * 0.85:.1f} 1V15" in drawn


def test_below_the_line_is_told_by_a_wedge_too() -> None:
    """An interval wholly below good has another hue and a wedge; others have neither."""
    below, above = interval_figure(rate_of(4, 14), 0.85), interval_figure(rate_of(12, 14), 0.85)
    assert ALERT in below
    assert "h6l" in below
    assert ALERT not in above
    assert "h6l" not in above
    assert BLUE in above


def test_nothing_graded_draws_no_disc() -> None:
    """Without a grade the line is empty, and says so."""
    nothing = PartRate(n=0, rate=None, low=None, high=None, cannot=2)
    assert "circle" not in interval_figure(nothing, 0.85)
    assert interval_words(nothing) == "nothing graded"


@pytest.mark.parametrize(
    ("result", "discs", "between"),
    [
        (None, 0, 0), ("right", 1, 0), ("half", 1, 1), ("wrong", 1, 1), ("cannot grade", 0, 0),
    ],
)  # fmt: skip
def test_ring_disc_and_the_line_between(result: FitResult | None, discs: int, between: int) -> None:
    """Owed is a hollow ring, did a solid disc, a miss the line between them."""
    drawn = fit_figure(result)
    assert drawn.count('fill="none"') == 1
    assert drawn.count('r="3.8"') == discs
    assert drawn.count(" 9H") == between
