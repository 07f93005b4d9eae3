"""Films for the benchmarks: a panning camera, men who run, and the frame number burnt in."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["HD", "UHD", "Making", "lengthened", "make", "number_band", "number_in", "number_on"]

_BITS = 18
_LAPS_NOISE = np.random.default_rng(5)


@dataclass(frozen=True, slots=True, kw_only=True)
class Making:
    """How a film is made.

    Attributes
    ----------
    group : int
        Frames from one key to the next.
    megabits : float
        A second.
    """

    name: str
    size_px: tuple[int, int]
    rate: Fraction
    seconds: int
    group: int
    megabits: float

    @property
    def frame_count(self) -> int:
        """How many frames it has."""
        return round(self.seconds * self.rate)


HD = (1920, 1080)
UHD = (3840, 2160)


def make(making: Making, folder: Path) -> Path:
    """Make a film unless it is there already."""
    path = folder / f"{making.name}-{making.seconds}s.mp4"
    if path.exists():
        return path
    draft = path.with_suffix(".draft.mp4")
    width, height = making.size_px
    with av.open(str(draft), "w", options={"movflags": "+faststart"}) as out:
        options = {
            "preset": "veryfast",
            "x264-params": f"keyint={making.group}:min-keyint={making.group}:scenecut=0:bframes=3",
        }
        stream = out.add_stream("libx264", rate=making.rate, options=options)
        stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
        stream.bit_rate = int(making.megabits * 1e6)
        for number, picture in enumerate(_pictures(making)):
            frame = av.VideoFrame.from_ndarray(picture, format="rgb24").reformat(format="yuv420p")
            frame.pts = number
            frame.time_base = 1 / making.rate
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    draft.replace(path)
    return path


def lengthened(source: Path, path: Path, times: int) -> Path:
    """Copy a film's packets again and again behind one another: an hour in a minute."""
    if path.exists():
        return path
    draft = path.with_suffix(".draft.mp4")
    with av.open(str(source)) as film, av.open(str(draft), "w") as out:
        stream = film.streams.video[0]
        copied = out.add_stream_from_template(stream)
        packets = [packet for packet in film.demux(stream) if packet.size]
        lap = sum(packet.duration for packet in packets)
        starts = [(packet.pts or 0, packet.dts or 0) for packet in packets]
        for number in range(times):
            for packet, (pts, dts) in zip(packets, starts, strict=True):
                packet.stream = copied
                packet.pts, packet.dts = pts + number * lap, dts + number * lap
                packet.time_base = stream.time_base
                out.mux(packet)
    draft.replace(path)
    return path


def number_on(picture: NDArray[Any]) -> int:
    """Read the number burnt into a frame."""
    return number_in(number_band(picture))


def number_band(picture: NDArray[Any]) -> NDArray[Any]:
    """Return the rows of a frame that its number is read from, to be read later."""
    height = picture.shape[0]
    return picture[height // 100 : height // 40].copy()


def number_in(band: NDArray[Any]) -> int:
    """Read the number from a frame's ``number_band``."""
    width = band.shape[1]
    row = band.mean(axis=(0, 2))
    middles = [(2 * bit + 1) * width // (2 * _BITS) for bit in range(_BITS)]
    return sum(1 << bit for bit, at in enumerate(middles) if row[at - 4 : at + 5].mean() > 128)


def _pictures(making: Making) -> Any:
    width, height = making.size_px
    noise = _LAPS_NOISE.integers(0, 255, (height // 4, width // 2, 3), dtype=np.uint8)
    ground = cv2.GaussianBlur(cv2.resize(noise, (2 * width, height)), (0, 0), 1.2)
    ground = (ground.astype(np.float32) * 0.4 + 70).astype(np.uint8)
    men = _LAPS_NOISE.integers(0, min(width, height), (22, 2))
    speeds = _LAPS_NOISE.integers(-6, 7, (22, 2))
    block = width // _BITS
    for number in range(making.frame_count):
        pan = round(width / 2 * (1 + np.sin(number / 120)))
        picture = np.ascontiguousarray(ground[:, pan : pan + width])
        for man, speed in zip(men, speeds, strict=True):
            x, y = (man + speed * number * width // 1920) % (width - 40, height - 80)
            cv2.rectangle(picture, (int(x), int(y)), (int(x) + 40, int(y) + 80), (200, 60, 30), -1)
        for bit in range(_BITS):
            shade = 235 if number >> bit & 1 else 20
            picture[: height // 30, bit * block : (bit + 1) * block] = shade
        yield picture
