"""Sounds of an invented practice: bangs, whistles and wind, heard by any microphone we like."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Samples = NDArray[np.float32]


def scene(seconds: float, rate_hz: int, *, seed: int) -> Samples:
    """Make what there is to hear: a bang or a whistle every second or two, wind under it."""
    rng = np.random.default_rng(seed)
    count = int(seconds * rate_hz)
    sound = 0.02 * rng.standard_normal(count)
    at_s = 0.0
    while True:
        at_s += rng.exponential(1.5)
        start, length = int(at_s * rate_hz), int(rng.uniform(0.02, 0.3) * rate_hz)
        if start + length >= count:
            return sound.astype(np.float32)
        steps = np.arange(length)
        if rng.random() < 0.2:
            made = np.sin(2 * np.pi * rng.uniform(2_000, 3_000) * steps / rate_hz)
        else:
            made = rng.standard_normal(length) * np.exp(-4 * steps / length)
        sound[start : start + length] += made * rng.uniform(0.1, 1)


def heard(
    sound: Samples,
    rate_hz: int,
    *,
    seconds: float,
    start_s: float = 0.0,
    ppm: float = 0.0,
    noise: float = 0.02,
    gain: float = 1.0,
    seed: int = 0,
) -> Samples:
    """Record a scene from a time on, by a clock that is off by so many parts in a million."""
    rng = np.random.default_rng(seed)
    steps = np.arange(int(seconds * rate_hz)) / rate_hz
    at = (start_s + steps * (1 + ppm * 1e-6)) * rate_hz
    taken = np.interp(at, np.arange(len(sound)), sound)
    return (gain * (taken + noise * rng.standard_normal(len(steps)))).astype(np.float32)
