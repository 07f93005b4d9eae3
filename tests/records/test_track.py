"""A track's parts belong together."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest

from gradecut.records.track import Track
from gradecut.timebase import Frame


def track(frames: int = 3, places: int = 3, times: int = 0) -> Track:
    """Return a track of that many parts."""
    return Track(
        frames=tuple(Frame(number) for number in range(frames)),
        points_px=np.zeros((places, 2)),
        steady_px=np.zeros((places, 2)),
        confidence=np.ones(places),
        height_px=60.0,
        times_s=tuple(Fraction(number, 30) for number in range(times)),
    )


def test_a_whole_track_stands() -> None:
    """With or without times a track stands when each frame has its place."""
    assert track().times_s == ()
    assert len(track(times=3).times_s) == 3


@pytest.mark.parametrize(("frames", "places", "times"), [(0, 0, 0), (3, 2, 0), (3, 3, 2)])
def test_parts_that_do_not_match_are_refused(frames: int, places: int, times: int) -> None:
    """An empty track, or parts of unequal length, is refused."""
    with pytest.raises(ValueError, match="track"):
        track(frames, places, times)
