"""When a man first steps after the snap: his first lasting departure from where he stood.

Machine timing does not beat a person's eye here: it brings the film to the likely picture, and a
person confirms. A man who is moving at the snap has no first step to find, so none is given.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from gradecut.records.estimate import Estimate, Miss
from gradecut.records.track import Track

__all__ = ["first_step"]

Array = NDArray[np.float64]

_STILL_BEFORE_S, _LEAST_BEFORE_S = 0.3, 0.1
_STILL_AFTER_S = 0.1  # nobody reacts sooner: World Athletics Technical Rules, rule 16.6
_MOVING_YD, _SWAY_YD = 0.15, 0.3
_DEPARTURE_YD, _LASTS_S = 0.3, 0.2
_LAG_S = 0.24  # from first moving to 0.3 yd away; learned on drawn film
_SIGMA_S = 0.09
_MAN_YD = 2.0  # how tall a man in helmet stands; common practice, no source
_UNSURE = 0.6


def first_step(
    track: Track,
    snap: Estimate | Fraction | float,
    *,
    to_yd: Callable[[Array], Array] | None = None,
) -> Estimate | Miss:
    """Find when a followed man first steps after the snap.

    Parameters
    ----------
    track : Track
        Followed from at least 0.1 s before the snap, with its times.
    snap : Estimate, Fraction or float
        The snap, or its time in the seconds of the track's times.
    to_yd : callable, optional
        Carries pixels of the track's first frame, shape (N, 2), to field yards, shape (N, 2); a
        calibration of that frame does. Without it a yard is taken as half the man's height, which
        hides steps towards the camera or away from it.

    Returns
    -------
    Estimate or Miss
        The time in the seconds of the track: where he is 0.3 yd away for good, less what men
        take for that from their first motion. A Miss when he is moving at the snap, never
        leaves, or was not followed over the time that matters.
    """
    if not track.times_s:
        return Miss("This track has no times; follow him again with the times of the frames.")
    snap_s = snap.time_s if isinstance(snap, Estimate) else float(snap)
    since_s = np.array([float(time) for time in track.times_s]) - snap_s
    places = _in_yards(track, to_yd)
    if not np.isfinite(places).all():
        return Miss("Part of this track lies above the horizon; check the calibration.")
    stood = _stand(places, since_s)
    if isinstance(stood, Miss):
        return stood
    away = np.linalg.norm(places - stood, axis=1)
    at = _departure(away, since_s)
    if at is None:
        return Miss(_never(track))
    return _told(track, at, snap, snap_s, since_s, calibrated=to_yd is not None)


def _in_yards(track: Track, to_yd: Callable[[Array], Array] | None) -> Array:
    """Return his places in yards, shape (N, 2); the origin does not matter."""
    if to_yd is None:
        return np.asarray(track.steady_px * (_MAN_YD / track.height_px))
    places = np.asarray(to_yd(track.steady_px), dtype=np.float64)
    if places.shape != track.steady_px.shape:
        raise ValueError("The map to yards must give one place on the field for each point.")
    return places


def _stand(places: Array, since_s: Array) -> Array | Miss:
    """Return where he stood at the snap, shape (2,); a Miss when he did not stand."""
    around = (since_s >= -_STILL_BEFORE_S) & (since_s <= _STILL_AFTER_S)
    if not around.any() or since_s[0] > -_LEAST_BEFORE_S or since_s[-1] < _STILL_AFTER_S:
        return Miss("Follow him from a quarter of a second before the snap, and past it.")
    here, when = places[around], since_s[around]
    third = (when[-1] - when[0]) / 3
    early, late = here[when <= when[0] + third], here[when >= when[-1] - third]
    drift = np.linalg.norm(np.median(late, axis=0) - np.median(early, axis=0))
    if drift > _MOVING_YD or np.ptp(here, axis=0).max() > _SWAY_YD:
        return Miss("He is already moving at the snap; mark his first step by hand.")
    return np.asarray(np.median(here, axis=0))


def _departure(away: Array, since_s: Array) -> float | None:
    """Return when he is 0.3 yd away for good, seconds since the snap, between frames if need be."""
    gone = away > _DEPARTURE_YD
    for at in np.flatnonzero(gone & (since_s > 0)):
        lasts = (since_s >= since_s[at]) & (since_s < since_s[at] + _LASTS_S)
        if since_s[-1] - since_s[at] < _LASTS_S / 2:
            return None
        if gone[lasts].all() and at > 0:
            share = (_DEPARTURE_YD - away[at - 1]) / max(away[at] - away[at - 1], 1e-9)
            step_s = since_s[at] - since_s[at - 1]
            return float(since_s[at - 1] + np.clip(share, 0, 1) * step_s)
    return None


def _never(track: Track) -> str:
    """Return why no departure was seen."""
    if track.lost:
        return "He is lost before he steps; click him again where the track ends."
    return "He never leaves his spot in this piece of film; follow him further."


def _told(
    track: Track,
    at: float,
    snap: Estimate | Fraction | float,
    snap_s: float,
    since_s: Array,
    *,
    calibrated: bool,
) -> Estimate:
    """Return the moment with what speaks against it."""
    step_s = max(at - _LAG_S, 0.0)
    way = (since_s >= 0) & (since_s <= at)
    sure = float(track.confidence[way].min(initial=1.0))
    frame_s = float(np.median(np.diff(since_s)))
    doubts = [
        (not calibrated, 0.5, "The field is not calibrated; a yard is taken from his height."),
        (sure < _UNSURE, 0.6, "He was followed poorly up to his step."),
        (step_s < _STILL_AFTER_S, 0.6, "He moves with the snap (a guess, or a wrong snap mark)."),
        (
            isinstance(snap, Estimate) and snap.confidence < _UNSURE,
            0.7,
            "The snap itself is unsure.",
        ),
        (frame_s > 0.045, 0.8, "The film has few frames a second."),
    ]
    confidence = 0.8
    for holds, share, _ in doubts:
        confidence *= share if holds else 1.0
    return Estimate(
        time_s=snap_s + step_s,
        sigma_s=max(_SIGMA_S if calibrated else 2 * _SIGMA_S, frame_s),
        confidence=round(confidence, 2),
        reasons=tuple(why for holds, _, why in doubts if holds),
    )
