"""How two sounds of one scene lie against each other, from samples alone.

Recordings are first found in each other by how loud they are in a few bands, which stands a
weak microphone and a drifting clock; then, along the line that gives, their waves are laid
on each other place by place. A line through the places takes out the drift of the clocks.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gradecut.film.hearing._loudness import find_by_loudness
from gradecut.film.hearing._waves import Samples, lay_waves, sampled
from gradecut.film.hearing.sound_line import FEWEST, Place, SoundLine, line_through
from gradecut.progress import CancelToken, Progress, silent

__all__ = ["lay_recordings", "offset_between"]

_WAVES_STAND_OUT = 7.0
"""How many spreads of the rest a peak stands above it before it counts; of so many tries
chance alone reaches about 5."""
_WAVES_AGREE = 5.0
"""The same along a line that is known already, where several must agree besides."""
_LOUDNESS_IS_CLEAR = 10.0
_WAVE_WINDOW_S = 20.0
_MOST_PLACES = 60
_NEAR_S = 0.08
_SHORT_S = 60.0
_SHORT_WINDOW_S = 5.0
_SHORTEST_S = 0.5
_WAVES_NEAR_S, _LOUDNESS_NEAR_S = 0.004, 0.03
"""How far from the line a place may lie and still be on it."""


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
    found = lay_waves(first, second, rate_hz, reach_s)
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
        rough = line_through(found, near_s=_WAVES_NEAR_S, by_waves=True)
    if rough is None:
        found = find_by_loudness(first, second, rate_hz, progress, cancel)
        rough = line_through(found, near_s=_LOUDNESS_NEAR_S, by_waves=False)
    if rough is None:
        return _whole_line(first, second, rate_hz)
    near = _lay_along(rough, first, second, rate_hz, progress=progress, cancel=cancel)
    clear = [one for one in near if one.stands_out >= _WAVES_AGREE]
    fine = line_through(clear, near_s=_WAVES_NEAR_S, by_waves=True)
    if fine is not None and 3 * fine.places >= len(near):
        return replace(fine, tried=len(near))
    if max(len(first), len(second)) <= _SHORT_S * rate_hz:
        # Stretches of a short sound overlap, so that one loud moment can be in three of them.
        return _whole_line(first, second, rate_hz)
    few = rough.places < 2 * FEWEST
    if few and np.mean([one.stands_out for one in found]) < _LOUDNESS_IS_CLEAR:
        return None
    return replace(rough, by_waves=False)


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
        laid = lay_waves(here, rest, rate_hz, _NEAR_S)
        if laid is None or abs(laid[0]) > _WAVES_NEAR_S:
            return False
    return True


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
        laid = lay_waves(first, there, rate_hz, len(first) / rate_hz)
        if laid is not None and laid[1] >= _WAVES_STAND_OUT:
            middle_s = (start + length / 2) / rate_hz
            offset_s = laid[0] - start / rate_hz
            found.append(Place(at_s=middle_s, offset_s=offset_s, stands_out=laid[1]))
    return found


def _lay_along(
    rough: SoundLine,
    first: Samples,
    second: Samples,
    rate_hz: int,
    *,
    progress: Progress,
    cancel: CancelToken | None,
) -> list[Place]:
    """Lay the waves on each other at places spread over what both recorded."""
    scale, offset_s = rough.scale, rough.offset_s
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
        here = sampled(first, at)
        laid = lay_waves(here, there, rate_hz, _NEAR_S)
        if laid is not None:
            offset_there_s = (scale - 1) * middle_s + offset_s + laid[0]
            found.append(Place(at_s=middle_s, offset_s=offset_there_s, stands_out=laid[1]))
    return found
