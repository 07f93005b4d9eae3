"""Small films that click, and how to hear where."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np
from numpy.typing import NDArray

from tests.film.torture import numbered

RATE = Fraction(30)
LONG_S = 6
CLICK_S = 0.002
CLICKS_S = tuple(0.5 + second for second in range(LONG_S))
"""On the clock of the sound, from its first sample."""


@dataclass(frozen=True, kw_only=True)
class Clicking:
    """How a clicking film is made.

    Attributes
    ----------
    sound_from_s, picture_from_s : Fraction
        When each begins, on the container's clock.
    without : collection of int
        Packets of sound that are left out.
    spoilt : collection of int
        Packets of sound whose bytes are noise.
    """

    codec: str = "aac"
    hz: int = 48_000
    format: str | None = None
    sound_from_s: Fraction = Fraction(0)
    picture_from_s: Fraction = Fraction(0)
    without: Collection[int] = ()
    spoilt: Collection[int] = ()


def clicks(hz: int) -> NDArray[np.float32]:
    """Return (N, 2) samples: silence with a click every second, the right channel half as loud."""
    samples = np.zeros((LONG_S * hz, 2), np.float32)
    for at_s in CLICKS_S:
        samples[round(at_s * hz) : round((at_s + CLICK_S) * hz)] = (0.9, 0.45)
    return samples


def make_clicking(path: Path, making: Clicking) -> Path:
    """Make a film of numbered pictures that clicks."""
    with av.open(str(path), "w", format=making.format) as out:
        stream = out.add_stream("libx264", rate=RATE, options={"preset": "ultrafast", "g": "30"})
        stream.width, stream.height, stream.pix_fmt = 192, 108, "yuv420p"
        stream.codec_context.time_base = 1 / RATE
        heard = out.add_stream(making.codec, rate=making.hz, layout="stereo")
        packets = _pictures(stream, making) + _sounds(heard, making)
        for packet in sorted(packets, key=lambda one: one.dts * one.time_base):
            out.mux(packet)
    return path


def _pictures(stream: Any, making: Clicking) -> list[Any]:
    packets = []
    for number in range(int(LONG_S * RATE)):
        frame = av.VideoFrame.from_ndarray(numbered(number), format="rgb24")
        frame.pts = number + round(making.picture_from_s * RATE)
        frame.time_base = 1 / RATE
        packets += stream.encode(frame)
    return packets + list(stream.encode(None))


def _sounds(stream: Any, making: Clicking) -> list[Any]:
    packets = []
    samples = clicks(making.hz)
    for start in range(0, len(samples), 960):
        block = samples[start : start + 960]
        planar = stream.codec_context.format.is_planar
        shaped = block.T if planar else block.reshape(1, -1)
        if stream.codec_context.format.name.startswith("s16"):
            shaped = (shaped * 32767).astype(np.int16)
        frame = av.AudioFrame.from_ndarray(
            np.ascontiguousarray(shaped), format=stream.codec_context.format.name, layout="stereo"
        )
        frame.sample_rate = making.hz
        frame.time_base = Fraction(1, making.hz)
        frame.pts = start + round(making.sound_from_s * making.hz)
        packets += stream.encode(frame)
    packets += stream.encode(None)
    return [
        _spoilt(packet) if number in making.spoilt else packet
        for number, packet in enumerate(packets)
        if number not in making.without
    ]


def _spoilt(packet: Any) -> Any:
    noise = np.random.default_rng(5).integers(0, 256, packet.size, dtype=np.uint8)
    made = av.Packet(noise.tobytes())
    made.pts, made.dts, made.time_base = packet.pts, packet.dts, packet.time_base
    made.duration, made.stream = packet.duration, packet.stream
    return made


def onsets_s(samples: NDArray[np.float32], hz: int, loud: float = 0.3) -> list[float]:
    """Return when each click begins, in seconds from the first sample."""
    found: list[float] = []
    for at in np.flatnonzero(np.abs(samples) > loud) / hz:
        if not found or at > found[-1] + 0.3:
            found.append(float(at))
    return found
