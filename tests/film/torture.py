"""Small films of every awkward kind, each frame wearing its number as a barcode."""

from __future__ import annotations

import wave
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import cv2
import numpy as np
from numpy.typing import NDArray

WIDTH, HEIGHT = 192, 108
_BITS = 12
_TEXTURE = np.random.default_rng(7).integers(60, 190, (HEIGHT, 4 * WIDTH, 3), dtype=np.uint8)
_TEXTURE = cv2.GaussianBlur(_TEXTURE, (0, 0), 2.0)


def numbered(number: int, width: int = WIDTH, height: int = HEIGHT) -> NDArray[np.uint8]:
    """Draw a frame: its number in black and white blocks above a texture that slides."""
    picture = np.zeros((HEIGHT, WIDTH, 3), np.uint8)
    slide = (3 * number) % (3 * WIDTH)
    picture[:] = _TEXTURE[:, slide : slide + WIDTH]
    block = WIDTH // _BITS
    for bit in range(_BITS):
        shade = 235 if number >> bit & 1 else 20
        picture[: HEIGHT // 2, bit * block : (bit + 1) * block] = shade
    if (width, height) != (WIDTH, HEIGHT):
        return cv2.resize(picture, (width, height), interpolation=cv2.INTER_AREA)
    return picture


def number_on(picture: NDArray[Any]) -> int:
    """Read the number back from a displayed frame."""
    height, width = picture.shape[:2]
    band = picture[height // 8 : height * 3 // 8].mean(axis=(0, 2))
    middles = [(2 * bit + 1) * width // (2 * _BITS) for bit in range(_BITS)]
    return sum(1 << bit for bit, at in enumerate(middles) if band[at - 2 : at + 3].mean() > 128)


@dataclass(kw_only=True)
class Making:
    """How a film is made; the fields a test doesn't name make an ordinary MP4."""

    codec: str = "libx264"
    options: dict[str, str] = field(default_factory=lambda: {"g": "12", "bf": "0"})
    rate: Fraction = Fraction(30)
    count: int = 40
    size: tuple[int, int] = (WIDTH, HEIGHT)
    pix_fmt: str = "yuv420p"
    format: str | None = None
    muxing: dict[str, str] = field(default_factory=dict)
    ticks: Sequence[int] | None = None
    tick_s: Fraction | None = None
    first_number: int = 0
    shift: int = 0
    matrix: tuple[int, ...] | None = None
    prepare: Callable[[NDArray[np.uint8]], NDArray[np.uint8]] | None = None
    interlaced: bool = False
    sound_s: float = 0.0
    skip_packets: int = 0
    change: Callable[[int, Any], Iterable[Any]] | None = None
    """Given a packet's place and the packet, returns what is written in its stead."""


def make_film(path: Path, making: Making) -> Path:
    """Make a film as told."""
    with av.open(str(path), "w", format=making.format, options=making.muxing) as out:
        stream = out.add_stream(making.codec, rate=making.rate, options=making.options)
        stream.width, stream.height = making.size
        stream.pix_fmt = making.pix_fmt
        context = stream.codec_context
        context.thread_count = 1
        tick_s = making.tick_s or 1 / making.rate
        context.time_base = tick_s
        if making.interlaced:
            context.flags |= 1 << 18 | 1 << 29  # interlaced DCT and motion estimation
        if making.matrix is not None:
            stream.set_display_matrix(making.matrix)
        if making.sound_s:
            _add_sound(out, making.sound_s)
        packets = _encoded(stream, making, tick_s)
        for place, packet in enumerate(packets):
            if place >= making.skip_packets:
                if making.shift:
                    packet.pts += making.shift
                    packet.dts += making.shift
                for changed in making.change(place, packet) if making.change else [packet]:
                    out.mux(changed)
    return path


def _encoded(stream: Any, making: Making, tick_s: Fraction) -> Iterable[Any]:
    for place in range(making.count):
        picture = numbered(making.first_number + place, *making.size)
        if making.prepare is not None:
            picture = making.prepare(picture)
        frame = av.VideoFrame.from_ndarray(np.ascontiguousarray(picture), format="rgb24")
        frame = frame.reformat(format=making.pix_fmt)
        frame.pts = place if making.ticks is None else making.ticks[place]
        frame.time_base = tick_s
        yield from stream.encode(frame)
    yield from stream.encode(None)


def _add_sound(out: Any, sound_s: float) -> None:
    stream = out.add_stream("aac", rate=48000)
    for start in range(0, int(sound_s * 48000), 1024):
        frame = av.AudioFrame.from_ndarray(
            np.zeros((1, 1024), np.float32), format="fltp", layout="mono"
        )
        frame.sample_rate = 48000
        frame.pts = start
        frame.time_base = Fraction(1, 48000)
        for packet in stream.encode(frame):
            out.mux(packet)
    for packet in stream.encode(None):
        out.mux(packet)


def make_sound(path: Path) -> Path:
    """Make a file with sound only."""
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(8000)
        out.writeframes(bytes(16000))
    return path


def make_sound_mp4(path: Path) -> Path:
    """Make an MP4 with sound only."""
    with av.open(str(path), "w", format="mp4") as out:
        _add_sound(out, 0.5)
    return path


def cut(source: Path, path: Path, share: float) -> Path:
    """Copy the first part of a file."""
    data = source.read_bytes()
    path.write_bytes(data[: int(len(data) * share)])
    return path


def scribble(source: Path, path: Path, places: Iterable[tuple[int, int]]) -> Path:
    """Copy a file with noise written over some byte ranges."""
    data = bytearray(source.read_bytes())
    noise = np.random.default_rng(3)
    for start, length in places:
        data[start : start + length] = noise.integers(0, 256, length, dtype=np.uint8).tobytes()
    path.write_bytes(bytes(data))
    return path


def packet_places(path: Path) -> list[tuple[int, int]]:
    """Return byte position and size of each video packet."""
    with av.open(str(path)) as container:
        return [(p.pos, p.size) for p in container.demux(video=0) if p.size]


def spoil(source: Path, path: Path, packets: Iterable[int]) -> Path:
    """Copy a film with noise inside some packets, lengths and headers left alone."""
    places = packet_places(source)
    ranges = [(places[n][0] + 40, max(places[n][1] - 44, 8)) for n in packets]
    return scribble(source, path, ranges)


QUARTER_TURN = (0, 65536, 0, -65536, 0, 0, 0, 0, 1 << 30)
HALF_TURN = (-65536, 0, 0, 0, -65536, 0, 0, 0, 1 << 30)
MIRROR = (-65536, 0, 0, 0, 65536, 0, 0, 0, 1 << 30)
_H264 = {"crf": "18", "preset": "veryfast"}


def _x264(**options: str) -> dict[str, str]:
    return {**_H264, **options}


_QUIET_X265 = "log-level=none:keyint=10:min-keyint=10"
_VARIABLE = [0, 4, 8, 9, 15, 19, 25, 28, 36, 40]
_VARIABLE = [tick + 45 * lap for lap in range(4) for tick in _VARIABLE]

FILMS: dict[str, tuple[str, Making]] = {
    "closed": ("mp4", Making(options=_x264(g="12", bf="0"))),
    "b_frames": ("mp4", Making(options=_x264(g="12", bf="3"))),
    "long_group": ("mp4", Making(options=_x264(g="250", bf="2"), count=80)),
    "open_group": (
        "mp4",
        Making(options=_x264(bf="3", **{"x264-params": "open-gop=1:keyint=10:scenecut=0"})),
    ),
    "slices": ("mp4", Making(options=_x264(g="12", slices="4"))),
    "refreshed": (
        "mp4",
        Making(options=_x264(**{"x264-params": "intra-refresh=1:keyint=12:bframes=0"}), count=60),
    ),
    "variable": (
        "mp4",
        Making(options=_x264(g="12", bf="2"), ticks=_VARIABLE, tick_s=Fraction(1, 120)),
    ),
    "ntsc": ("mp4", Making(options=_x264(g="30", bf="2"), rate=Fraction(60000, 1001), count=70)),
    "hevc": ("mp4", Making(codec="libx265", options={"x265-params": _QUIET_X265 + ":open-gop=0"})),
    "hevc_open": (
        "mp4",
        Making(codec="libx265", options={"x265-params": _QUIET_X265 + ":open-gop=1"}),
    ),
    "ten_bit": ("mp4", Making(options=_x264(g="12"), pix_fmt="yuv422p10le")),
    "mjpeg_avi": ("avi", Making(codec="mjpeg", options={"q:v": "3"}, pix_fmt="yuvj420p")),
    "mjpeg_mov": ("mov", Making(codec="mjpeg", options={"q:v": "3"}, pix_fmt="yuvj420p")),
    "mpeg4_avi": ("avi", Making(codec="mpeg4", options={"g": "12", "b": "2M"})),
    "mpeg4_b_avi": ("avi", Making(codec="mpeg4", options={"g": "12", "bf": "2", "b": "2M"})),
    "vp9": ("webm", Making(codec="libvpx-vp9", options={"g": "15", "cpu-used": "8", "b": "1M"})),
    "mkv": ("mkv", Making(options=_x264(g="12", bf="2"), rate=Fraction(30000, 1001))),
    "transport": ("ts", Making(options=_x264(g="12", bf="2"))),
    "raw": ("h264", Making(options=_x264(g="12", bf="2"), format="h264")),
    "interlaced": ("ts", Making(options=_x264(g="12", bf="2"), interlaced=True)),
    "mpeg2_interlaced": (
        "ts",
        Making(
            codec="mpeg2video",
            options={"g": "12", "bf": "2", "b": "4M"},
            interlaced=True,
            rate=Fraction(30000, 1001),
        ),
    ),
    "turned": (
        "mp4",
        Making(
            options=_x264(g="12"),
            size=(HEIGHT, WIDTH),
            prepare=lambda picture: np.rot90(cv2.resize(picture, (WIDTH, HEIGHT))),
            matrix=QUARTER_TURN,
        ),
    ),
    "upside_down": (
        "mp4",
        Making(
            options=_x264(g="12"), prepare=lambda picture: picture[::-1, ::-1], matrix=HALF_TURN
        ),
    ),
    "mirrored": (
        "mp4",
        Making(options=_x264(g="12"), prepare=lambda picture: picture[:, ::-1], matrix=MIRROR),
    ),
    "late_start": ("mp4", Making(options=_x264(g="12", bf="2"), shift=7)),
    "sound_longer": ("mp4", Making(options=_x264(g="12", bf="2"), sound_s=3.0)),
    "odd_444": ("mp4", Making(options=_x264(g="12"), size=(191, 107), pix_fmt="yuv444p")),
    "odd_420": ("avi", Making(codec="mpeg4", options={"g": "12", "b": "2M"}, size=(191, 107))),
    "fragmented": (
        "mp4",
        Making(options=_x264(g="12", bf="2"), muxing={"movflags": "frag_keyframe+empty_moov"}),
    ),
}
"""Films of which every frame must come out, by name: ending and how it is made."""
