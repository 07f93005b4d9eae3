"""Decoded sound laid on a track at the times its container gives it."""

from __future__ import annotations

import av
import numpy as np
from av.audio.fifo import AudioFifo
from av.audio.frame import AudioFrame
from av.audio.resampler import AudioResampler
from numpy.typing import NDArray

__all__ = ["SoundTrack"]

_SLACK_S = 0.005
"""How far a packet's time may lie from where the sound before it ended. Containers round
times to a millisecond; more than this is a gap or a correction, and the time is believed."""

_AT_ONCE = 1 << 15
"""Samples converted together: to convert each packet's few on its own takes three times as long."""

_PAIR_TO_ONE = 0.5**0.5
"""The converter adds left and right at 0.707 each, which can be more than full scale; this
makes their mean of it."""


class SoundTrack:
    """A stretch of silence that decoded sound is written into.

    Attributes
    ----------
    samples : (N, C) float32
        What was written so far.
    start_s : float
        When the first of them is heard.
    """

    def __init__(self, count: int, *, start_s: float, rate_hz: int, layout: str) -> None:
        columns = av.AudioLayout(layout).nb_channels
        self.samples: NDArray[np.float32] = np.zeros((count, columns), np.float32)
        self.start_s = start_s
        self._rate_hz = rate_hz
        self._layout = layout
        self._run: _Run | None = None

    @property
    def stop_s(self) -> float:
        """When the track ends."""
        return self.start_s + len(self.samples) / self._rate_hz

    def take(self, frame: AudioFrame, at_s: float | None) -> None:
        """Write a frame where it begins; without a time it follows on the one before."""
        if self._run is None or not self._run.is_followed_by(frame, at_s):
            self.finish()
            begin_s = self.start_s if at_s is None else at_s
            self._run = _Run(frame, begin_s, self._rate_hz, self._layout)
        self._run.feed(frame)
        if self._run.waiting >= _AT_ONCE:
            self._write(self._run, self._run.convert())

    def finish(self) -> None:
        """Write what the conversion still holds back."""
        if self._run is not None:
            self._write(self._run, self._run.convert(last=True))
            self._run = None

    def _write(self, run: _Run, made: NDArray[np.float32]) -> None:
        at = round((run.begin_s - self.start_s) * self._rate_hz) + run.made
        run.made += len(made)
        first, last = max(at, 0), min(at + len(made), len(self.samples))
        if first < last:
            self.samples[first:last] = made[first - at : last - at]


class _Run:
    """Sound without a gap, converted to the track's rate and channels as it comes."""

    def __init__(self, frame: AudioFrame, begin_s: float, rate_hz: int, layout: str) -> None:
        self.begin_s = begin_s
        self.made = 0
        self._fed = 0
        self._waiting = AudioFifo()
        self._form = _form_of(frame)
        self._converter = AudioResampler(format="flt", layout=layout, rate=rate_hz)
        self._columns = av.AudioLayout(layout).nb_channels
        self._louder = _PAIR_TO_ONE if (frame.layout.name, layout) == ("stereo", "mono") else 1.0

    def is_followed_by(self, frame: AudioFrame, at_s: float | None) -> bool:
        """Whether a frame goes on where this run stands."""
        if _form_of(frame) != self._form:
            return False
        stands_s = self.begin_s + self._fed / frame.sample_rate
        return at_s is None or abs(at_s - stands_s) <= _SLACK_S

    @property
    def waiting(self) -> int:
        """Samples fed and not converted yet."""
        return self._waiting.samples

    def feed(self, frame: AudioFrame) -> None:
        """Take a frame in, to be converted together with others."""
        self._fed += frame.samples
        # Times are counted here: the converter would fill or cut by its own idea of them.
        frame.pts = None
        self._waiting.write(frame)

    def convert(self, *, last: bool = False) -> NDArray[np.float32]:
        """Return what the waiting samples become; at last also those held back till then."""
        fed = self._waiting.read()
        pieces = [] if fed is None else self._converter.resample(_untimed(fed))
        if last:
            pieces += self._converter.resample(None)
        made = [piece.to_ndarray().reshape(-1, self._columns) for piece in pieces]
        if not made:
            return np.zeros((0, self._columns), np.float32)
        return np.concatenate(made).astype(np.float32, copy=False) * np.float32(self._louder)


def _untimed(frame: AudioFrame) -> AudioFrame:
    frame.pts = None
    return frame


def _form_of(frame: AudioFrame) -> tuple[str, str, int]:
    return frame.format.name, frame.layout.name, frame.sample_rate
