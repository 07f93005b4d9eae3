"""Two sounds laid on each other by their waves, and read between their samples."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

__all__ = ["Numbers", "Samples", "lay_waves", "peak_of", "sampled"]

Samples: TypeAlias = NDArray[np.float32]
Numbers: TypeAlias = NDArray[np.float64]

_WAVE_BAND_HZ = (200, 3500)
_AROUND_S = 0.06


def lay_waves(
    first: Samples, second: Samples, rate_hz: int, reach_s: float
) -> tuple[float, float] | None:
    """Return how much later a moment comes in the first sound, and how far it stands out."""
    if not (len(first) and len(second) and first.any() and second.any()):
        return None
    size = 1 << (len(first) + len(second)).bit_length()
    product = np.fft.rfft(first, size) * np.conj(np.fft.rfft(second, size))
    hertz = np.fft.rfftfreq(size, 1 / rate_hz)
    inside = (hertz >= _WAVE_BAND_HZ[0]) & (hertz <= _WAVE_BAND_HZ[1])
    strength = np.abs(product)
    # A little more than nothing under the fraction, so that empty bands do not shout.
    floor = 1e-3 * strength[inside].mean() + 1e-30
    score = np.fft.irfft(np.where(inside, product / (strength + floor), 0), size)
    reach = round(reach_s * rate_hz)
    lags = np.arange(max(-reach, 1 - len(second)), min(reach + 1, len(first)))
    found = np.asarray(score[lags], dtype=np.float64)
    peak, stands_out = peak_of(found)
    # Two bangs that have nothing in common still meet at one lag and its neighbours, so a
    # true match must stand out among those too.
    around = round(_AROUND_S * rate_hz)
    at = round(peak)
    near = found[max(at - around, 0) : at + around + 1]
    return (peak + int(lags[0])) / rate_hz, min(stands_out, peak_of(near)[1])


def peak_of(score: Numbers) -> tuple[float, float]:
    """Return where a score is highest, between its steps, and by how many spreads of the rest."""
    best = int(score.argmax())
    spread = float(score.std())
    if spread == 0 or not np.isfinite(spread):
        return float(best), 0.0
    stands_out = float((score[best] - score.mean()) / spread)
    if 0 < best < len(score) - 1:
        before, at, after = score[best - 1 : best + 2]
        bend = before - 2 * at + after
        if bend < 0:
            return best + 0.5 * float((before - after) / bend), stands_out
    return float(best), stands_out


def sampled(samples: Samples, at: Numbers) -> Samples:
    """Read samples between samples; silence outside."""
    first = max(int(at[0]) - 1, 0)
    part = samples[first : max(int(at[-1]) + 3, first + 1)]
    if not len(part):
        return np.zeros(len(at), dtype=np.float32)
    read = np.interp(at - first, np.arange(len(part)), part, left=0.0, right=0.0)
    return read.astype(np.float32)
