"""The first step is proposed for a man who stood, and for nobody else."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from gradecut.motion import first_step
from gradecut.records.estimate import Estimate, Miss
from gradecut.records.track import Track
from gradecut.timebase import Frame

SNAP = 1.0
PUSH_YD_S2 = 10.0  # so that he is 0.3 yd away 0.245 s after he moves


def walk(
    moves_s: float | None,
    *,
    begin_s: float = 0.5,
    end_s: float = 2.5,
    drift_yd_s: float = 0.0,
    shake_yd: float = 0.0,
    back_s: float | None = None,
    trust: float = 1.0,
    lost: bool = False,
    rate: int = 60,
) -> Track:
    """Return the track of a man who pushes off at a time, one pixel a yard."""
    count = int((end_s - begin_s) * rate)
    times = tuple(Fraction(begin_s) + Fraction(number, rate) for number in range(count))
    when = np.array([float(time) for time in times])
    gone = np.zeros(count) if moves_s is None else np.clip(when - moves_s, 0, 0.5)
    if back_s is not None:
        gone = np.where(when > back_s, 0.0, gone)
    x = 0.5 * PUSH_YD_S2 * gone**2 + drift_yd_s * (when - begin_s)
    points = np.column_stack([x, np.zeros(count)])
    points += np.random.default_rng(5).normal(0.0, shake_yd, points.shape)
    return Track(
        frames=tuple(Frame(number) for number in range(count)),
        points_px=points,
        steady_px=points,
        confidence=np.full(count, trust),
        height_px=60.0,
        times_s=times,
        lost=lost,
    )


def yards(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Carry pixels to yards, one to one."""
    return points


def test_a_step_is_timed() -> None:
    """A man who moves 0.35 s after the snap is told so within a frame or two."""
    found = first_step(walk(SNAP + 0.35), SNAP, to_yd=yards)
    assert isinstance(found, Estimate)
    assert found.time_s == pytest.approx(SNAP + 0.35, abs=1 / 30)
    assert found.sigma_s >= 1 / 60
    assert found.reasons == ()


def test_a_shaky_track_is_timed_too() -> None:
    """Places that shake by 0.05 yd still give the step within a tenth of a second."""
    found = first_step(walk(SNAP + 0.35, shake_yd=0.05), SNAP, to_yd=yards)
    assert isinstance(found, Estimate)
    assert found.time_s == pytest.approx(SNAP + 0.35, abs=0.1)


@given(later=st.integers(0, 600), snap_as=st.sampled_from([float, Fraction]))
def test_the_clock_does_not_matter(later: int, snap_as: type) -> None:
    """The same film later on the clock gives the same step that much later."""
    track = walk(SNAP + 0.35)
    moved = Track(
        frames=track.frames,
        points_px=track.points_px,
        steady_px=track.steady_px,
        confidence=track.confidence,
        height_px=track.height_px,
        times_s=tuple(time + Fraction(later, 60) for time in track.times_s),
    )
    before = first_step(track, SNAP, to_yd=yards)
    after = first_step(moved, snap_as(Fraction(1) + Fraction(later, 60)), to_yd=yards)
    assert isinstance(before, Estimate)
    assert isinstance(after, Estimate)
    assert after.time_s - later / 60 == pytest.approx(before.time_s, abs=1e-6)


def test_a_man_moving_at_the_snap_has_no_first_step() -> None:
    """He who walks at the snap is left to the coach."""
    found = first_step(walk(SNAP + 0.35, drift_yd_s=1.2), SNAP, to_yd=yards)
    assert isinstance(found, Miss)
    assert "already moving" in found.reason


def test_a_sway_is_no_step() -> None:
    """A man who leans out and comes back has not stepped."""
    found = first_step(walk(SNAP + 0.2, back_s=SNAP + 0.5), SNAP, to_yd=yards)
    assert isinstance(found, Miss)
    assert "never leaves" in found.reason


def test_a_man_lost_first_is_told_so() -> None:
    """A track that ends before he steps asks for another click."""
    found = first_step(walk(None, end_s=1.4, lost=True), SNAP, to_yd=yards)
    assert isinstance(found, Miss)
    assert "lost" in found.reason


@pytest.mark.parametrize(("begin_s", "end_s"), [(0.98, 2.5), (0.5, 1.05), (1.2, 2.5)])
def test_without_film_around_the_snap_he_is_not_judged(begin_s: float, end_s: float) -> None:
    """Whether he stood can't be known without film on both sides of the snap."""
    found = first_step(walk(None, begin_s=begin_s, end_s=end_s), SNAP, to_yd=yards)
    assert isinstance(found, Miss)
    assert "before the snap" in found.reason


def test_moving_with_the_snap_is_said_not_blamed() -> None:
    """He who goes with the snap gets his time, with the two things it may mean."""
    found = first_step(walk(SNAP + 0.06), SNAP, to_yd=yards)
    assert isinstance(found, Estimate)
    assert any("guess, or a wrong snap mark" in reason for reason in found.reasons)


def test_doubts_lower_the_trust() -> None:
    """No calibration, a poor track and an unsure snap are each named and each cost trust."""
    unsure = Estimate(time_s=SNAP, sigma_s=0.1, confidence=0.3)
    clear = first_step(walk(SNAP + 0.35), SNAP, to_yd=yards)
    doubtful = first_step(walk(SNAP + 0.35, trust=0.4), unsure, to_yd=yards)
    assert isinstance(clear, Estimate)
    assert isinstance(doubtful, Estimate)
    assert doubtful.confidence < 0.6 * clear.confidence
    assert len(doubtful.reasons) == 2


def test_without_a_calibration_his_height_is_the_yardstick() -> None:
    """With no map to yards half his height counts as one, and the answer says so."""
    track = walk(SNAP + 0.35)
    tall = Track(
        frames=track.frames,
        points_px=30.0 * track.points_px,
        steady_px=30.0 * track.steady_px,
        confidence=track.confidence,
        height_px=60.0,
        times_s=track.times_s,
    )
    found = first_step(tall, SNAP)
    assert isinstance(found, Estimate)
    assert found.time_s == pytest.approx(SNAP + 0.35, abs=1 / 30)
    assert any("not calibrated" in reason for reason in found.reasons)
    assert found.confidence <= 0.4


def test_a_track_without_times_asks_for_them() -> None:
    """Frames alone give no time."""
    track = walk(SNAP + 0.35)
    bare = Track(
        frames=track.frames,
        points_px=track.points_px,
        steady_px=track.steady_px,
        confidence=track.confidence,
        height_px=60.0,
    )
    assert "no times" in str(first_step(bare, SNAP, to_yd=yards))


def test_a_map_that_fails_is_told() -> None:
    """Points above the horizon are a miss; a map of the wrong shape is refused."""
    track = walk(SNAP + 0.35)
    found = first_step(track, SNAP, to_yd=lambda points: np.full_like(points, np.nan))
    assert "horizon" in str(found)
    with pytest.raises(ValueError, match="one place on the field for each"):
        first_step(track, SNAP, to_yd=lambda points: points[:-1])
