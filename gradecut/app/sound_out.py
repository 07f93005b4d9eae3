"""The loudspeaker: samples are heard, and tell how far they were heard."""

from __future__ import annotations

import time
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QBuffer, QByteArray, QIODevice

if TYPE_CHECKING:
    from PyQt6.QtMultimedia import QAudioSink

__all__ = ["LoudSpeaker", "open_speaker"]

_RATE_HZ, _CHANNELS, _SAMPLE_BYTES = 48_000, 2, 2
_BYTES_A_S = _RATE_HZ * _CHANNELS * _SAMPLE_BYTES
_BUFFER_BYTES = _BYTES_A_S // 10
_FULL = 32767
_STALL_S = 0.5
"""A loudspeaker that takes nothing for so long is gone; the picture waits no longer."""


def open_speaker() -> LoudSpeaker | None:
    """Return the computer's loudspeaker; None where there is none, or it can't be used.

    The library is loaded only now: most who grade never turn the sound on.
    """
    try:
        from PyQt6.QtMultimedia import QAudioFormat, QAudioSink, QMediaDevices
    except ImportError:
        return None
    device = QMediaDevices.defaultAudioOutput()
    wanted = QAudioFormat()
    wanted.setSampleRate(_RATE_HZ)
    wanted.setChannelCount(_CHANNELS)
    wanted.setSampleFormat(QAudioFormat.SampleFormat.Int16)
    if device.isNull() or not device.isFormatSupported(wanted):
        return None
    return LoudSpeaker(QAudioSink(device, wanted))


class LoudSpeaker:
    """Plays samples from memory."""

    def __init__(self, sink: QAudioSink) -> None:
        self._sink = sink
        self._sink.setBufferSize(_BUFFER_BYTES)
        self._data = QByteArray()
        self._buffer = QBuffer()
        self._last = (0.0, 0.0)

    def start(self, samples: NDArray[np.float32]) -> None:
        """Begin with the first of (N, 2) samples in -1 to 1 at 48,000 Hz; what was heard ends."""
        self.stop()
        whole = np.round(np.clip(samples, -1, 1) * _FULL).astype(np.int16)
        self._data = QByteArray(whole.tobytes())
        self._buffer = QBuffer(self._data)
        self._buffer.open(QIODevice.OpenModeFlag.ReadOnly)
        self._last = (0.0, time.monotonic())
        self._sink.start(self._buffer)

    def stop(self) -> None:
        """Be silent at once."""
        self._sink.reset()
        self._buffer.close()

    def played_s(self) -> float | None:
        """Return how many seconds of the samples were heard; None before the first.

        What lies in the buffer was handed over, but not heard yet. None as well when nothing
        more is taken: a loudspeaker was pulled out.
        """
        waiting = max(self._sink.bufferSize() - self._sink.bytesFree(), 0)
        heard_s = self._sink.processedUSecs() / 1e6 - waiting / _BYTES_A_S
        now_s = time.monotonic()
        if heard_s > self._last[0]:
            self._last = (heard_s, now_s)
        stalled = now_s - self._last[1] > _STALL_S
        return heard_s if heard_s > 0 and not stalled else None
