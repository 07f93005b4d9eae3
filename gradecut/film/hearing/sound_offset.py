"""How two sounds of one scene lie against each other, from samples alone.

Recordings are first found in each other by how loud they are in a few bands, which stands a
weak microphone and a drifting clock; then, along the line that gives, their waves are laid
on each other place by place. A line through the places takes out the drift of the clocks.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gradecut.progress import CancelToken, Progress, silent

__all__ = ["Place", "SoundLine", "lay_recordings", "offset_between"]

Samples = NDArray[np.float32]
Numbers = NDArray[np.float64]

_HOP_S = 0.02
_BANDS_HZ = ((150, 400), (400, 900), (900, 1600), (1600, 2500), (2500, 3600))
_WAVE_BAND_HZ = (200, 3500)
_MOST_DRIFT = 400e-6
"""Largest difference of two clocks believed; cameras keep to within about 100 ppm each."""
_LOUDNESS_STANDS_OUT = 6.5
_WAVES_STAND_OUT = 7.0
"""How many spreads of the rest a peak stands above it before it counts; of so many tries
chance alone reaches about 5."""
_WAVES_AGREE = 5.0
"""The same along a line that is known already, where several must agree besides."""
_LOUDNESS_IS_CLEAR = 10.0
_LONGEST_WINDOW_S = 60.0
_WAVE_WINDOW_S = 20.0
_MOST_PLACES = 60
_NEAR_S = 0.08
_AROUND_S = 0.06
_SHORT_S = 60.0
_SHORT_WINDOW_S = 5.0
_SHORTEST_S = 0.5
_FEWEST = 3
_WAVES_NEAR_S, _LOUDNESS_NEAR_S = 0.004, 0.03
"""How far from the line a place may lie and still be on it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where one stretch of the second sound lies in the first.

    Attributes
    ----------
    at_s : float
        Middle of the stretch, in seconds of the second sound.
    offset_s : float
        Seconds of the first sound less seconds of the second, there.
    stands_out : float
        How many spreads of the rest the peak stands above it.
    """

    at_s: float
    offset_s: float
    stands_out: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SoundLine:
    """A map from the clock of a second recording to that of a first.

    Attributes
    ----------
    scale, offset_s : float
        Seconds of the first = scale x seconds of the second + offset_s.
    sigma_s : float
        Spread of the places about the line, in seconds.
    places, tried : int
        How many places lie on it, and in how many it was looked for.
    by_waves : bool
        Whether waves were laid on each other; else how loud they are alone decided.
    """

    scale: float
    offset_s: float
    sigma_s: float
    places: int
    tried: int
    by_waves: bool


def offset_between(
    first: Samples, second: Samples, rate_hz: int, *, reach_s: float
) -> Place | None:
    """Find how much later a moment comes in one short sound than in another.

    Parameters
    ----------
    first, second : (N,), (M,) float32
        Mono, of one rate; a few seconds each.
    rate_hz : int
        Samples a second, at least 8000.
    reach_s : float
        How far from one beginning the other may lie, either way.

    Returns
    -------
    Place or None
        None where nothing stands out: other sounds, or silence; also where one short moment
        alone is alike, as where the same horn is blown on every play.
    """
    found = _lay_waves(first, second, rate_hz, reach_s)
    if found is None or found[1] < _WAVES_STAND_OUT:
        return None
    if not _stands_without_any_part(first, second, rate_hz, found[0]):
        return None
    return Place(at_s=len(second) / rate_hz / 2, offset_s=found[0], stands_out=found[1])


def lay_recordings(
    first: Samples,
    second: Samples,
    rate_hz: int,
    *,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> SoundLine | None:
    """Find the line that leads from one recording's clock to another's.

    Parameters
    ----------
    first, second : (N,), (M,) float32
        Mono, of one rate; a few seconds to some hours.
    rate_hz : int
        Samples a second, at least 8000.

    Returns
    -------
    SoundLine or None
        None where the sounds do not match at three places at least, and two short ones not
        as a whole either; of those the clocks are taken to run alike.

    Raises
    ------
    Cancelled
        When asked to stop.

    Notes
    -----
    Waves are laid on each other by generalised cross-correlation with phase transform
    (Knapp and Carter, IEEE Trans. ASSP 24(4), 1976).
    """
    rough = None
    if min(len(first), len(second)) < _SHORT_S * rate_hz:
        found = _find_by_waves(first, second, rate_hz, cancel)
        rough = _line_through(found, near_s=_WAVES_NEAR_S)
    if rough is None:
        found = _find_by_loudness(first, second, rate_hz, progress, cancel)
        rough = _line_through(found, near_s=_LOUDNESS_NEAR_S)
    if rough is None:
        return _whole_line(first, second, rate_hz)
    near = _lay_along(rough, first, second, rate_hz, progress=progress, cancel=cancel)
    clear = [one for one in near if one.stands_out >= _WAVES_AGREE]
    fine = _line_through(clear, near_s=_WAVES_NEAR_S)
    if fine is not None and 3 * fine[3] >= len(near):
        scale, offset_s, sigma_s, places = fine
        return SoundLine(
            scale=scale, offset_s=offset_s, sigma_s=sigma_s, places=places, tried=len(near),
            by_waves=True,
        )  # fmt: skip
    if max(len(first), len(second)) <= _SHORT_S * rate_hz:
        # Stretches of a short sound overlap, so that one loud moment can be in three of them.
        return _whole_line(first, second, rate_hz)
    scale, offset_s, sigma_s, places = rough
    if places < 2 * _FEWEST and np.mean([one.stands_out for one in found]) < _LOUDNESS_IS_CLEAR:
        return None
    return SoundLine(
        scale=scale, offset_s=offset_s, sigma_s=sigma_s, places=places, tried=len(found),
        by_waves=False,
    )  # fmt: skip


def _whole_line(first: Samples, second: Samples, rate_hz: int) -> SoundLine | None:
    """Lay two short sounds on each other as wholes: a play is too short to ask in places."""
    if max(len(first), len(second)) > _SHORT_S * rate_hz:
        return None
    whole = offset_between(first, second, rate_hz, reach_s=_SHORT_S)
    if whole is None:
        return None
    return SoundLine(
        scale=1.0, offset_s=whole.offset_s, sigma_s=1 / rate_hz, places=1, tried=1, by_waves=True
    )


def _stands_without_any_part(
    first: Samples, second: Samples, rate_hz: int, offset_s: float
) -> bool:
    """Tell whether two sounds still meet at one offset with any quarter of them left out."""
    shift = round(offset_s * rate_hz)
    begin, end = max(0, -shift), min(len(second), len(first) - shift)
    here, there = first[begin + shift : end + shift], second[begin:end]
    quarter = (end - begin) // 4
    if quarter * 4 < _SHORTEST_S * rate_hz:
        return False
    for start in range(0, 7 * (quarter // 2), quarter // 2):
        rest = there.copy()
        rest[start : start + quarter] = 0
        laid = _lay_waves(here, rest, rate_hz, _NEAR_S)
        if laid is None or abs(laid[0]) > _WAVES_NEAR_S:
            return False
    return True


def _find_by_loudness(
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
        peak, stands_out = _peak(score[lags])
        if stands_out >= _LOUDNESS_STANDS_OUT:
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


def _find_by_waves(
    first: Samples, second: Samples, rate_hz: int, cancel: CancelToken | None
) -> list[Place]:
    """Look for stretches of a short sound in all of another by their waves."""
    length = round(min(_SHORT_WINDOW_S * rate_hz, len(second) / 3))
    if length < rate_hz / 2:
        return []
    count = min(max(round(2 * len(second) / length), 5), 12)
    found = []
    for start in np.linspace(0, len(second) - length, count).astype(int).tolist():
        if cancel is not None:
            cancel.check("Listening to the films")
        there = second[start : start + length]
        laid = _lay_waves(first, there, rate_hz, len(first) / rate_hz)
        if laid is not None and laid[1] >= _WAVES_STAND_OUT:
            middle_s = (start + length / 2) / rate_hz
            offset_s = laid[0] - start / rate_hz
            found.append(Place(at_s=middle_s, offset_s=offset_s, stands_out=laid[1]))
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


def _peak(score: Numbers) -> tuple[float, float]:
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


def _lay_along(
    rough: tuple[float, float, float, int],
    first: Samples,
    second: Samples,
    rate_hz: int,
    *,
    progress: Progress,
    cancel: CancelToken | None,
) -> list[Place]:
    """Lay the waves on each other at places spread over what both recorded."""
    scale, offset_s, _, _ = rough
    begin_s = max(0.0, -offset_s / scale)
    end_s = min(len(second) / rate_hz, (len(first) / rate_hz - offset_s) / scale)
    window_s = min(_WAVE_WINDOW_S, max((end_s - begin_s) / 4, 2.0))
    if end_s - begin_s < window_s:
        return []
    count = int(min(_MOST_PLACES, max((end_s - begin_s) / window_s, 4)))
    found = []
    for number, start_s in enumerate(np.linspace(begin_s, end_s - window_s, count).tolist()):
        if cancel is not None:
            cancel.check("Listening to the films")
        progress(0.5 + 0.5 * number / count, "Laying the sounds on each other")
        start = round(start_s * rate_hz)
        there = second[start : start + round(window_s * rate_hz)]
        middle_s = start / rate_hz + len(there) / rate_hz / 2
        # The first sound, read on the second's clock, so that drift does not smear the peak.
        at = scale * (start + np.arange(len(there))) + offset_s * rate_hz
        here = _sampled(first, at)
        laid = _lay_waves(here, there, rate_hz, _NEAR_S)
        if laid is not None:
            offset_there_s = (scale - 1) * middle_s + offset_s + laid[0]
            found.append(Place(at_s=middle_s, offset_s=offset_there_s, stands_out=laid[1]))
    return found


def _sampled(samples: Samples, at: Numbers) -> Samples:
    """Read samples between samples; silence outside."""
    first = max(int(at[0]) - 1, 0)
    part = samples[first : max(int(at[-1]) + 3, first + 1)]
    if not len(part):
        return np.zeros(len(at), dtype=np.float32)
    read = np.interp(at - first, np.arange(len(part)), part, left=0.0, right=0.0)
    return read.astype(np.float32)


def _lay_waves(
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
    peak, stands_out = _peak(found)
    # Two bangs that have nothing in common still meet at one lag and its neighbours, so a
    # true match must stand out among those too.
    around = round(_AROUND_S * rate_hz)
    at = round(peak)
    near = found[max(at - around, 0) : at + around + 1]
    return (peak + int(lags[0])) / rate_hz, min(stands_out, _peak(near)[1])


def _line_through(places: list[Place], *, near_s: float) -> tuple[float, float, float, int] | None:
    """Fit a line through most of the places: scale, offset, spread and how many lie on it."""
    if len(places) < _FEWEST:
        return None
    at = np.array([one.at_s for one in places])
    offsets = np.array([one.offset_s for one in places])
    apart = np.abs(offsets[:, None] - offsets)
    together = apart <= near_s + _MOST_DRIFT * np.abs(at[:, None] - at)
    mine = together[int(together.sum(axis=1).argmax())]
    slope, level = _best_line(at[mine], offsets[mine], near_s)
    for _ in range(3):
        mine = np.abs(offsets - slope * at - level) <= near_s
        if mine.sum() < _FEWEST:
            return None
        slope, level = _least_squares(at[mine], offsets[mine])
    if abs(slope) > _MOST_DRIFT:
        return None
    left_s = offsets[mine] - slope * at[mine] - level
    sigma_s = float(np.sqrt((left_s**2).sum() / max(mine.sum() - 2, 1)))
    return 1 + slope, level, sigma_s, int(mine.sum())


def _best_line(at: Numbers, offsets: Numbers, near_s: float) -> tuple[float, float]:
    """Return the line through two of the places that most of them lie near."""
    best = (0.0, float(np.median(offsets)))
    most = int((np.abs(offsets - best[1]) <= near_s).sum())
    span_s = float(at.max() - at.min())
    for one in range(len(at)):
        for other in range(one + 1, len(at)):
            if at[other] - at[one] < span_s / 4 or at[other] == at[one]:
                continue
            slope = float((offsets[other] - offsets[one]) / (at[other] - at[one]))
            if abs(slope) > _MOST_DRIFT:
                continue
            level = float(offsets[one] - slope * at[one])
            near = int((np.abs(offsets - slope * at - level) <= near_s).sum())
            if near > most:
                best, most = (slope, level), near
    return best


def _least_squares(at: Numbers, offsets: Numbers) -> tuple[float, float]:
    """Fit a line; a level one where the places lie too close together to tell a slope."""
    if np.ptp(at) < 1.0:
        return 0.0, float(offsets.mean())
    slope, level = np.polyfit(at, offsets, 1)
    return float(slope), float(level)
