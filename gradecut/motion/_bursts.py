"""Bursts in a recording: men who stood still run off together, and settle again."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from gradecut.motion.recording_watch import Watched

__all__ = ["Burst", "find_bursts"]

Array = NDArray[np.float64]

# All eleven must stand still for a second before the snap (NCAA rule 7-1-4, from memory).
_BEFORE_S, _AFTER_S = 1.0, 1.4
_LEAST_BEFORE_S = 0.5
_LEAST_RISE, _RISE_SHARE, _RISE_TIMES = 0.006, 0.2, 1.8
_RISE_SIGMAS, _FLOOR_SHARE = 1.5, 0.8
_SETTLED_SHARE, _SETTLED_S, _SHORTEST_S, _LONGEST_S = 0.35, 0.8, 1.0, 15.0
_JOIN_S, _JOINED_S, _SHIFT_S = 2.5, 12.0, 2.0
_FASTER, _WALK_SHARE, _SWING_FASTER = 1.15, 0.8, 1.6
_PAN_S, _PAN = 1.5, 0.08
_WEAK_SHARE = 0.35
_BEGUN_SHARE = 0.7


@dataclass(frozen=True, slots=True, kw_only=True)
class Burst:
    """Men on the move.

    Attributes
    ----------
    start_s, stop_s : float
        When they burst, and when they have settled.
    rise : float
        How much more they move than before, in the measure of ``Watched.unlike``.
    times : float
        How many times as much.
    level : float
        How fast they move.
    settled : bool
        Whether they were seen to settle; else the film ends, or they never do.
    begun : bool
        The film begins with them on the move.
    """

    start_s: float
    stop_s: float
    rise: float
    times: float
    level: float
    settled: bool
    begun: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Part:
    """A part of the recording without a break: its times and how men stir."""

    times_s: Array
    stir: Array
    pace: Array
    slid: Array


@dataclass(frozen=True, slots=True, kw_only=True)
class _Least:
    """What makes a rise in this recording: how high, above what grain and shaking give."""

    rise: float
    floor: float


def find_bursts(watched: Watched, parts_s: list[tuple[float, float]]) -> list[list[Burst]]:
    """Find the bursts of each part of a recording that has no break in it."""
    parts = [_part_of(watched, *ends) for ends in parts_s]
    whole = np.concatenate([part.stir for part in parts]) if parts else np.empty(0)
    if not len(whole):
        return [[] for _ in parts]
    still, lively = (float(one) for one in np.quantile(whole, (0.1, 0.9)))
    least = _Least(
        rise=max(_LEAST_RISE, _RISE_SHARE * (lively - still), _RISE_SIGMAS * _grain_of(parts)),
        floor=_FLOOR_SHARE * still,
    )
    found = [_joined(_in_part(part, least), part) for part in parts]
    levels = [one.level for some in found for one in some]
    if not levels:
        return found
    usual = float(np.median(levels))
    strong = [[one for one in some if one.level >= _WEAK_SHARE * usual] for some in found]
    return [_with_begun(some, part, still, usual) for some, part in zip(strong, parts, strict=True)]


def _part_of(watched: Watched, start_s: float, stop_s: float) -> _Part:
    inside = (watched.times_s >= start_s) & (watched.times_s <= stop_s)
    return _Part(
        times_s=watched.times_s[inside],
        stir=_smooth(watched.stirred[inside], 2),
        pace=_smooth(watched.unlike[inside], 1),
        slid=watched.slid[inside],
    )


def _smooth(signal: Array, spoilt: int) -> Array:
    """Return the middle one of each three; the first are compared with a part before this one."""
    calm = signal.copy()
    if len(calm) > spoilt:
        calm[:spoilt] = calm[spoilt]
        padded = np.pad(calm, 1, mode="edge")
        calm = np.median(np.stack([padded[:-2], padded[1:-1], padded[2:]]), axis=0)
    return np.asarray(calm, dtype=np.float64)


def _grain_of(parts: list[_Part]) -> float:
    """Return one standard deviation of the stir from picture to picture, by its median."""
    steps = np.concatenate([np.abs(np.diff(part.stir)) for part in parts])
    return float(np.median(steps)) if len(steps) else 0.0


def _in_part(part: _Part, least: _Least) -> list[Burst]:
    """Return bursts in order; what rises inside one belongs to it."""
    found: list[Burst] = []
    rises = [_rise_at(part, at) for at in range(len(part.times_s))]
    at = 0
    while at < len(rises):
        if not _is_rise(rises[at], least):
            at += 1
            continue
        top = at
        while at < len(rises) and _is_rise(rises[at], least):
            top = at if rises[at][1] - rises[at][0] > rises[top][1] - rises[top][0] else top
            at += 1
        burst = _burst_from(part, top, *rises[top])
        found.append(burst)
        at = max(at, int(np.searchsorted(part.times_s, burst.stop_s)))
    return found


def _rise_at(part: _Part, at: int) -> tuple[float, float]:
    """Return how much men move before and after a picture; the same where it can't be told.

    What went before counts by its high end and what follows by its low end, so that one man in
    motion, or a single picture, makes no rise.
    """
    now = part.times_s[at]
    if now - part.times_s[0] < _LEAST_BEFORE_S:
        return 0.0, 0.0
    before = part.stir[(part.times_s >= now - _BEFORE_S) & (part.times_s < now)]
    after = part.stir[(part.times_s >= now) & (part.times_s < now + _AFTER_S)]
    if len(before) < 2 or len(after) < 3:
        return 0.0, 0.0
    return float(np.quantile(before, 0.75)), float(np.quantile(after, 0.25))


def _is_rise(rise: tuple[float, float], least: _Least) -> bool:
    before, after = (max(one - least.floor, 0.0) for one in rise)
    return rise[1] - rise[0] >= least.rise and after >= _RISE_TIMES * before


def _burst_from(part: _Part, at: int, before: float, after: float) -> Burst:
    """Follow a burst from where it is surest back to its start and on to its end."""
    middle = before + 0.35 * (after - before)
    start = at
    while start > 0 and part.stir[start - 1] > middle and at - start < 5:
        start -= 1
    while start < at and part.stir[start] <= middle:
        start += 1
    start_s = float(part.times_s[start])
    soon = (part.times_s >= start_s) & (part.times_s < start_s + 2.0)
    stirred = float(np.median(part.stir[soon]))
    stop_s, settled = _end_of(part, start_s, before + _SETTLED_SHARE * (stirred - before))
    return Burst(
        start_s=start_s,
        stop_s=stop_s,
        rise=after - before,
        times=after / max(before, 1e-4),
        level=float(np.median(part.pace[soon])),
        settled=settled,
    )


def _end_of(part: _Part, start_s: float, low: float) -> tuple[float, bool]:
    """Return when the men have settled after a burst, and whether they were seen to."""
    last_s = float(part.times_s[-1])
    for time_s in part.times_s[part.times_s >= start_s + _SHORTEST_S]:
        if time_s - start_s > _LONGEST_S:
            return start_s + _LONGEST_S, False
        ahead = part.stir[(part.times_s >= time_s) & (part.times_s < time_s + _SETTLED_S)]
        if time_s + _SETTLED_S <= last_s and float(np.mean(ahead)) < low:
            return float(time_s), True
    return last_s, False


def _joined(bursts: list[Burst], part: _Part) -> list[Burst]:
    """Settle what two bursts close on each other are: no two plays are snapped so.

    A short one is a shift or a false start before the snap, and joined. After a play men walk
    back to the next place, slower than they ran, or the camera swings there: left out. What
    runs faster than what went before may be the snap after all, and stays.
    """
    kept: list[Burst] = []
    for burst in bursts:
        last = kept[-1] if kept else None
        if last is None or burst.start_s - last.stop_s > _JOIN_S:
            kept.append(burst)
            continue
        times = burst.level / max(last.level, 1e-6)
        swings = _swings(part, burst.start_s)
        if last.stop_s - last.start_s < _SHIFT_S and not swings:
            level = max(last.level, burst.level)
            kept[-1] = replace(last, stop_s=burst.stop_s, settled=burst.settled, level=level)
        elif times < (_SWING_FASTER if swings else _WALK_SHARE):
            continue
        elif times > _FASTER or burst.stop_s - last.start_s > _JOINED_S:
            kept.append(burst)
        else:
            kept[-1] = replace(last, stop_s=burst.stop_s, settled=burst.settled)
    return kept


def _swings(part: _Part, from_s: float) -> bool:
    """Whether the camera swings off to one side from a moment on."""
    soon = (part.times_s > from_s) & (part.times_s <= from_s + _PAN_S)
    return float(np.hypot(*part.slid[soon].sum(axis=0))) > _PAN


def _with_begun(bursts: list[Burst], part: _Part, still: float, usual: float) -> list[Burst]:
    """Put in a burst the part begins in the middle of, where men move as in the others."""
    if len(part.times_s) < 5:
        return bursts
    first_s = float(part.times_s[0])
    soon = part.times_s < first_s + 1.0
    early, pace = float(np.median(part.stir[soon])), float(np.median(part.pace[soon]))
    if early < 2 * still or pace < _BEGUN_SHARE * usual:
        return bursts
    stop_s, settled = _end_of(part, first_s, still + _SETTLED_SHARE * (early - still))
    if not settled or (bursts and bursts[0].start_s < stop_s + _JOIN_S):
        return bursts
    begun = Burst(
        start_s=first_s, stop_s=stop_s, rise=0.0, times=1.0, level=pace, settled=True, begun=True
    )
    return [begun, *bursts]
