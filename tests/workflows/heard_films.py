"""Small films that hear an invented practice, each by a clock of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gradecut.film import write_film
from tests.film.invented_sounds import Samples, heard

SCENE_HZ = 8_000
_FILM_HZ = 48_000


def write_heard(
    path: Path,
    scene: Samples | None,
    *,
    seconds: float,
    rate: Fraction = Fraction(10),
    start_s: float = 0.0,
    ppm: float = 0.0,
    gain: float = 1.0,
    shade: int = 0,
    seen: Callable[[float], NDArray[np.uint8]] | None = None,
) -> Path:
    """Write a film that hears a scene from a time on, or nothing.

    It shows one grey shade, or what is to be seen at each time of the scene.
    """
    count = round(seconds * rate)
    picture = np.full((48, 64, 3), shade, dtype=np.uint8)
    sound = None
    if scene is not None:
        taken = heard(
            scene, SCENE_HZ, seconds=float(count / rate), start_s=start_s, ppm=ppm, gain=gain,
            seed=shade,
        )  # fmt: skip
        sound = _in_parts(taken)
    pictures = (
        picture if seen is None else seen(start_s + float(frame / rate) * (1 + ppm * 1e-6))
        for frame in range(count)
    )
    write_film(path, pictures, rate=rate, sound=sound, preset="ultrafast", threads=1)
    return path


def _in_parts(taken: Samples) -> Iterator[NDArray[np.float32]]:
    """Give sound as a film keeps it: two channels at 48,000 Hz, a second at a time."""
    step = _FILM_HZ // SCENE_HZ
    at = np.arange(len(taken) * step) / step
    fine = np.interp(at, np.arange(len(taken)), 0.5 * taken).astype(np.float32)
    for start in range(0, len(fine), _FILM_HZ):
        part = fine[start : start + _FILM_HZ]
        yield np.stack((part, part), axis=1)
