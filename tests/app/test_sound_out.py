from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from PyQt6.QtCore import QBuffer

from gradecut.app.sound_out import LoudSpeaker

A_SECOND = 48_000 * 2 * 2


class FakeDevice:
    """A sound device that takes what it is given when the test says so."""

    def __init__(self) -> None:
        self.source: QBuffer | None = None
        self.size = 0
        self.waiting = 0
        self.taken = 0

    def setBufferSize(self, size: int) -> None:  # noqa: N802  # Qt's name
        """Hold so many bytes."""
        self.size = size

    def bufferSize(self) -> int:  # noqa: N802  # Qt's name
        """Tell how many bytes it holds."""
        return self.size

    def bytesFree(self) -> int:  # noqa: N802  # Qt's name
        """Tell how many more it would hold."""
        return self.size - self.waiting

    def start(self, source: QBuffer) -> None:
        """Begin anew."""
        self.source, self.taken, self.waiting = source, 0, 0

    def reset(self) -> None:
        """Be silent."""
        self.source, self.waiting = None, 0

    def processedUSecs(self) -> int:  # noqa: N802  # Qt's name
        """Tell how much it has taken."""
        return round(self.taken / A_SECOND * 1e6)

    def take(self, count: int, *, waiting: int) -> bytes:
        """Take bytes, of which so many are not heard yet."""
        assert self.source is not None
        got = self.source.read(count)
        self.taken += len(got)
        self.waiting = waiting
        return got


@pytest.fixture
def device() -> FakeDevice:
    """Stand in for the computer's sound."""
    return FakeDevice()


def test_samples_are_heard_as_they_are(device: Any) -> None:
    """Full scale is full scale, and what is louder is cut there, not wrapped."""
    speaker = LoudSpeaker(device)
    speaker.start(np.array([[0, 1], [-1, 0.5], [2, -3]], np.float32))
    heard = np.frombuffer(device.take(12, waiting=0), np.int16).reshape(-1, 2)
    assert heard.tolist() == [[0, 32767], [-32767, 16384], [32767, -32767]]


def test_what_waits_in_the_device_was_not_heard(device: Any) -> None:
    """The clock tells what was heard, not what was handed over."""
    speaker = LoudSpeaker(device)
    speaker.start(np.zeros((48_000, 2), np.float32))
    assert speaker.played_s() is None
    device.take(A_SECOND // 2, waiting=A_SECOND // 10)
    assert speaker.played_s() == pytest.approx(0.4)


def test_begun_again_the_clock_begins_again(device: Any) -> None:
    """Another stretch is counted from its own first sample."""
    speaker = LoudSpeaker(device)
    speaker.start(np.zeros((48_000, 2), np.float32))
    device.take(A_SECOND // 2, waiting=0)
    speaker.start(np.ones((48_000, 2), np.float32))
    assert speaker.played_s() is None
    assert device.take(4, waiting=0) == b"\xff\x7f\xff\x7f"


def test_a_loudspeaker_pulled_out_holds_nothing_up(
    device: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When nothing more is taken the clock is none, so that the picture goes on."""
    now_s = [100.0]
    monkeypatch.setattr("gradecut.app.sound_out.time.monotonic", lambda: now_s[0])
    speaker = LoudSpeaker(device)
    speaker.start(np.zeros((48_000, 2), np.float32))
    device.take(A_SECOND // 4, waiting=0)
    assert speaker.played_s() == pytest.approx(0.25)
    now_s[0] += 0.3
    assert speaker.played_s() == pytest.approx(0.25)
    now_s[0] += 0.3
    assert speaker.played_s() is None
