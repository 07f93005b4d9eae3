"""What is heard in a reel: the film's own sound where it runs at its own speed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from gradecut.errors import FilmError
from gradecut.film import read_sound
from gradecut.reels.planned import Plan, PlannedStep

__all__ = ["SOUND_HZ", "film_sound", "sound_of"]

SOUND_HZ = 48_000
_FADE_S = Fraction(8, 1000)
"""Long enough that a joint does not click, too short to be heard as a fade."""
_AT_ONCE_S = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class _Stretch:
    """Frames of the reel with the sound of one film, or silence where ``path`` is None."""

    first_frame: int
    stop_frame: int
    path: str | None
    from_s: Fraction


def sound_of(plan: Plan) -> Iterator[NDArray[np.float32]]:
    """Yield the sound of a reel from its first frame on, in pieces.

    Film at its own speed brings its sound, faded at both ends of each stretch; film at another
    speed, film that stands still, cards, and film without sound are silent.

    Yields
    ------
    (N, 2) float32
        At 48,000 Hz, full scale -1 to 1; together as long as the reel.
    """
    for stretch in _stretches(plan.steps, plan.rate):
        first, stop = (
            round(frame / plan.rate * SOUND_HZ)
            for frame in (stretch.first_frame, stretch.stop_frame)
        )
        if stretch.path is None:
            yield np.zeros((stop - first, 2), np.float32)
        else:
            yield from film_sound(stretch.path, stretch.from_s, stop - first)


def film_sound(path: str, from_s: Fraction, count: int) -> Iterator[NDArray[np.float32]]:
    """Yield samples of a film's sound from a time on, faded in and out; silence without sound.

    Parameters
    ----------
    path : str
        The film.
    from_s : Fraction
        From when, in seconds from its first displayed frame.
    count : int
        How many samples, at 48,000 Hz.
    """
    step = _AT_ONCE_S * SOUND_HZ
    for start in range(0, count, step):
        stop = min(start + step, count)
        yield _faded(_samples(path, from_s, start, stop), start, count)


def _samples(path: str, from_s: Fraction, start: int, stop: int) -> NDArray[np.float32]:
    try:
        sound = read_sound(
            path,
            start_s=from_s + Fraction(start, SOUND_HZ),
            stop_s=from_s + Fraction(stop, SOUND_HZ),
            rate_hz=SOUND_HZ,
            channels=2,
        )
    except FilmError:
        return np.zeros((stop - start, 2), np.float32)
    return sound.samples


def _faded(samples: NDArray[np.float32], start: int, count: int) -> NDArray[np.float32]:
    """Fade samples that begin at ``start`` of a stretch of ``count``."""
    fade = min(round(_FADE_S * SOUND_HZ), count // 2)
    if not fade:
        return samples
    at = np.arange(start, start + len(samples), dtype=np.float32) + 0.5
    loud = np.minimum(np.minimum(at, count - at) / fade, 1)
    return np.asarray(samples * loud[:, None], np.float32)


def _stretches(steps: Sequence[PlannedStep], rate: Fraction) -> list[_Stretch]:
    """Return steps joined where their sound goes on without a break."""
    joined: list[_Stretch] = []
    for step in steps:
        stop = step.first_frame + step.frame_count
        if joined and _goes_on(joined[-1], step, rate):
            joined[-1] = replace(joined[-1], stop_frame=stop)
        else:
            heard = step.sound_from_s is not None
            joined.append(
                _Stretch(
                    first_frame=step.first_frame, stop_frame=stop,
                    path=step.path if heard else None, from_s=step.sound_from_s or Fraction(0),
                )
            )  # fmt: skip
    return joined


def _goes_on(stretch: _Stretch, step: PlannedStep, rate: Fraction) -> bool:
    """Whether a step's sound follows on without a break, or silence on silence."""
    if stretch.path is None or step.sound_from_s is None:
        return stretch.path is None and step.sound_from_s is None
    gone_s = (stretch.stop_frame - stretch.first_frame) / rate
    return step.path == stretch.path and step.sound_from_s == stretch.from_s + gone_s
