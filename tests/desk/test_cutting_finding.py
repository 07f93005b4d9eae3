"""Frames of a recording have their times, and plays of the strip are stretches of the film."""

from __future__ import annotations

import numpy as np
import pytest

from gradecut.desk.cutting_finding import RecordingFacts
from gradecut.desk.cutting_steps import Cut
from gradecut.timebase import Frame


@pytest.fixture
def facts() -> RecordingFacts:
    """Give a film of eight frames, of which the fifth stays on for a second."""
    pts = np.array([100, 110, 120, 130, 140, 240, 250, 260], dtype=np.int64)
    return RecordingFacts(pts=pts, times_s=(pts - 100) / 100.0)


def test_a_step_in_seconds_counts_time_not_frames(facts: RecordingFacts) -> None:
    """Where the rate varies as many seconds are fewer frames; frames are counted as told."""
    assert facts.beyond(0, seconds=0.4) == 4
    assert facts.beyond(4, seconds=0.5) == 4
    assert facts.beyond(4, seconds=1.1) == 6
    assert facts.beyond(2, seconds=-9) == 0
    assert facts.beyond(2, frames=3) == 5
    assert facts.time_of(-3) == 0.0
    assert facts.time_of(99) == pytest.approx(1.6)


def test_a_play_comes_back_from_the_film_as_it_was(facts: RecordingFacts) -> None:
    """With why it was proposed, and how surely."""
    cut = Cut(first=Frame(2), last=Frame(5), why=("Men settle.",), confidence=0.7)
    stretch = facts.stretch_of(cut)
    assert (stretch.start_pts, stretch.stop_pts) == (120, 240)
    assert facts.cut_of(stretch) == cut
