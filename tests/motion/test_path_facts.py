"""Speeds along a path are right, and paths no man can run are caught."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.motion import path_facts

METRE_YD = 1 / 0.9144  # by definition of the yard
# Berlin 2009, men's 100 m final, winner's splits every ten metres and his reaction of 0.146 s:
# official biomechanics report (two reports differ by 0.01 to 0.02 s at 20 and 60 m).
RECORD_S = (0.0, 1.89, 2.88, 3.78, 4.64, 5.47, 6.29, 7.10, 7.92, 8.75, 9.58)


def even_run(
    speed_yd_s: float, stand_s: float = 0.5
) -> tuple[list[tuple[float, float]], list[float]]:
    """Return a man who stands and then is at full speed at once."""
    times = [number / 30 for number in range(75)]
    return [(speed_yd_s * max(time - stand_s, 0.0), 3.0) for time in times], times


def test_an_even_run_has_one_speed() -> None:
    """At six yards a second the top speed is six and the path as long as he ran."""
    places, times = even_run(6.0)
    facts = path_facts(places, times)
    assert facts.top_yd_s == pytest.approx(6.0)
    assert facts.travelled_yd == pytest.approx(places[-1][0])
    assert facts.first_five_yd_s == pytest.approx(6.0, rel=0.08)
    assert facts.verdict == "sound"
    assert facts.notes == ()


def test_the_fastest_man_on_record_is_no_error() -> None:
    """The record's own splits pass as a man, though not as a linebacker to take on trust."""
    places = [(10 * METRE_YD * number, 0.0) for number in range(11)]
    facts = path_facts(places, RECORD_S)
    # 12.35 m/s is 13.50 yd/s over his best ten metres; over twenty a little less.
    assert 13.2 < facts.top_yd_s < 13.51
    assert facts.verdict == "doubtful"


@pytest.mark.parametrize(
    ("speed", "verdict"), [(9.9, "wrong"), (6.9, "sound"), (7.6, "wrong"), (14.0, "wrong")]
)
def test_a_standing_start_has_its_own_limit(speed: float, verdict: str) -> None:
    """Seven yards a second over the first five from a stand is a marking error."""
    assert path_facts(*even_run(speed)).verdict == verdict


@pytest.mark.parametrize(
    ("speed", "verdict"), [(9.9, "sound"), (10.1, "doubtful"), (13.5, "doubtful"), (13.7, "wrong")]
)
def test_a_runner_in_full_flight_is_held_to_top_speed(speed: float, verdict: str) -> None:
    """Who is running as the path begins is held to 10 and 13.6 yards a second only."""
    facts = path_facts(*even_run(speed, stand_s=0.0))
    assert facts.first_five_yd_s is None
    assert facts.verdict == verdict
    assert len(facts.notes) == (verdict != "sound")


def test_a_shaky_click_makes_no_sprint() -> None:
    """Places that shake by 0.05 yd from frame to frame leave a standing man slow."""
    places = np.random.default_rng(4).normal(0.0, 0.05, (60, 2))
    facts = path_facts(places, [number / 60 for number in range(60)])
    assert facts.top_yd_s < 2.0
    assert facts.verdict == "sound"


@given(turn=st.floats(0, 6.28), shift=st.floats(-50, 50), later=st.integers(0, 1000))
def test_where_and_when_do_not_matter(turn: float, shift: float, later: int) -> None:
    """The same run elsewhere on the field, in another direction and later, is as fast."""
    places, times = even_run(6.0)
    way = np.array(places)[:, 0]
    turned = np.column_stack([way * np.cos(turn) + shift, way * np.sin(turn) - shift])
    facts = path_facts(turned, [time + later for time in times])
    assert facts.top_yd_s == pytest.approx(6.0, rel=1e-6)
    assert facts.travelled_yd == pytest.approx(way[-1], rel=1e-6)


@pytest.mark.parametrize(
    ("places", "times", "said"),
    [
        ([(0.0, 0.0)], [0.0], "two places"),
        ([(0.0, 0.0), (1.0, 1.0)], [0.0], "needs a time"),
        ([(0.0, 0.0), (1.0, 1.0)], [0.5, 0.5], "later than"),
        ([(0.0, 0.0), (np.nan, 1.0)], [0.0, 0.5], "needs a time"),
    ],
)
def test_what_is_no_path_is_refused(
    places: list[tuple[float, float]], times: list[float], said: str
) -> None:
    """Too few places, or times that don't fit, are refused with a sentence."""
    with pytest.raises(ValueError, match=said):
        path_facts(places, times)
