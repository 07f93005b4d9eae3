import pickle

import pytest

from gradecut.records.estimate import Estimate, Miss


def test_an_estimate_is_true_and_a_miss_is_false() -> None:
    """So that `if found:` asks whether anything was found, even at time 0."""
    assert Estimate(time_s=0.0, sigma_s=0.03, confidence=0.0)
    assert not Miss("Nothing moved; mark the snap by hand.")


def test_both_cross_a_process() -> None:
    """Measuring runs in other processes, and its answers come back whole."""
    found = Estimate(time_s=2.5, sigma_s=0.03, confidence=0.7, reasons=("near the edge",))
    missed = Miss("Nothing moved; mark the snap by hand.")
    assert pickle.loads(pickle.dumps(found)) == found
    assert pickle.loads(pickle.dumps(missed)) == missed


def test_an_estimate_can_not_be_changed() -> None:
    """What was measured stays as it was measured."""
    found = Estimate(time_s=2.5, sigma_s=0.03, confidence=0.7)
    with pytest.raises(AttributeError):
        found.time_s = 3.0  # type: ignore[misc]
