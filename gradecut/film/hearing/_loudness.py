"""One sound looked for in all of another by how loud a few bands are."""

from __future__ import annotations

import numpy as np

from gradecut.film.hearing._waves import Numbers, Samples, peak_of
from gradecut.film.hearing.sound_line import Place
from gradecut.progress import CancelToken, Progress

__all__ = ["find_by_loudness"]

_HOP_S = 0.02
_BANDS_HZ = ((150, 400), (400, 900), (900, 1600), (1600, 2500), (2500, 3600))
_LONGEST_WINDOW_S = 60.0
_STANDS_OUT = 6.5
"""How many spreads of the rest a peak stands above it before it counts; of so many tries
chance alone reaches about 5."""


def find_by_loudness(
    first: Samples,
    second: Samples,
    rate_hz: int,
    progress: Progress,
    cancel: CancelToken | None,
) -> list[Place]:
    """Look for stretches of the second sound in all of the first, by how loud bands are."""
    hop = round(_HOP_S * rate_hz)
    whole, other = _loudness(first, hop, rate_hz), _loudness(second, hop, rate_hz)
    steps = int(min(_LONGEST_WINDOW_S / _HOP_S, max(len(other) / 4, 4 / _HOP_S)))
    if len(other) < steps or len(whole) < steps:
        return []
    size = 1 << (len(whole) + steps).bit_length()
    spectrum = np.fft.rfft(whole, size, axis=0)
    found = []
    starts = np.linspace(0, len(other) - steps, max(round(len(other) / steps), 4)).astype(int)
    for number, start in enumerate(starts.tolist()):
        if cancel is not None:
            cancel.check("Listening to the films")
        progress(0.5 * number / len(starts), "Looking for one film's sound in the other")
        stretch = other[start : start + steps]
        turned = np.conj(np.fft.rfft(stretch, size, axis=0))
        score = np.fft.irfft((spectrum * turned).sum(axis=1), size)
        # Half of a stretch may hang over either end of the whole.
        lags = np.arange(-steps // 2, len(whole) - steps // 2)
        peak, stands_out = peak_of(score[lags])
        if stands_out >= _STANDS_OUT:
            lag = lags[0] + peak
            middle_s = (start + steps / 2) * hop / rate_hz
            found.append(
                Place(
                    at_s=middle_s,
                    offset_s=(lag - start) * hop / rate_hz,
                    stands_out=stands_out,
                )
            )
    return found


def _loudness(samples: Samples, hop: int, rate_hz: int) -> Numbers:
    """(S, B): how loud each band is at each step, against the second around it."""
    count = max(len(samples) // hop - 1, 0)
    bins = np.fft.rfftfreq(2 * hop, 1 / rate_hz)
    inside = [(bins >= low) & (bins < high) for low, high in _BANDS_HZ]
    window = np.hanning(2 * hop).astype(np.float32)
    told: Numbers = np.empty((count, len(_BANDS_HZ)))
    for start in range(0, count, 4096):
        stop = min(start + 4096, count)
        part = samples[start * hop : (stop + 1) * hop].reshape(-1, hop)
        power = np.abs(np.fft.rfft(np.hstack((part[:-1], part[1:])) * window, axis=1)) ** 2
        for band, here in enumerate(inside):
            told[start:stop, band] = power[:, here].sum(axis=1)
    if not count:
        return told
    told = np.log(told + 1e-3 * told.mean(axis=0) + 1e-12)
    around = max(round(1 / _HOP_S), 1)
    ones = np.ones(around)
    weight = np.convolve(np.ones(count), ones, "same")
    for band in range(told.shape[1]):
        told[:, band] -= np.convolve(told[:, band], ones, "same")[:count] / weight[:count]
    spread = told.std(axis=0)
    even: Numbers = np.clip(told / np.where(spread > 0, spread, 1), -4, 4)
    return even
