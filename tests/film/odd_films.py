"""Films of the kinds that catch readers out, each with what it must show, known from its making.

Every frame wears its number. What is expected follows from how a film is made: which numbers,
in which order, at which times, how large.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import cv2
import numpy as np
from av.stream import Disposition
from numpy.typing import NDArray

from tests.film.torture import (
    HALF_TURN,
    HEIGHT,
    MIRROR,
    QUARTER_TURN,
    WIDTH,
    Making,
    make_film,
    numbered,
)

__all__ = ["ODD_FILMS", "Odd"]

THIRTY = Fraction(1, 30)
_MPEG_TICKS = 90_000
_WRAP_TICKS = 1 << 33
_MPEGTS_DELAY_TICKS = 126_000
"""How far FFmpeg's transport stream writer moves all times (twice its 0.7 s of delay)."""

Maker = Callable[[Path], object]


@dataclass(frozen=True, kw_only=True)
class Odd:
    """A film and what it must show.

    Attributes
    ----------
    ending : str
        Of its name.
    make : callable
        Writes it.
    numbers : sequence of int
        On its frames, in the order shown.
    times_s : sequence of Fraction or None
        When each frame begins, from the first; None: thirty a second by their numbers.
    size : (int, int)
        Width and height as displayed, in pixels.
    told : tuple of str
        Words its notes and faults must hold.
    """

    ending: str
    make: Maker
    numbers: Sequence[int] = field(default_factory=lambda: range(40))
    times_s: Sequence[Fraction] | None = None
    size: tuple[int, int] = (WIDTH, HEIGHT)
    told: tuple[str, ...] = ()

    @property
    def times(self) -> list[Fraction]:
        """When each frame begins, in seconds from the first."""
        if self.times_s is not None:
            return list(self.times_s)
        return [(number - self.numbers[0]) * THIRTY for number in self.numbers]


def _made(making: Making) -> Maker:
    return lambda path: make_film(path, making)


def _x264(**options: str) -> dict[str, str]:
    return {"crf": "18", "preset": "veryfast", "g": "12", "bf": "2", **options}


def _x265(**options: str) -> dict[str, str]:
    told = {"log-level": "none", "keyint": "10", "min-keyint": "10", "open-gop": "1", **options}
    return {"x265-params": ":".join(f"{name}={value}" for name, value in told.items())}


B_FRAMES = Making(options=_x264())
OPEN = Making(options={"crf": "18", "bf": "3", "x264-params": "open-gop=1:keyint=10:scenecut=0"})
OPEN_HEVC = Making(codec="libx265", options=_x265())


# ---------------------------------------------------------------------------- changed packets


def _from_key(which: int) -> Callable[[int, Any], Iterable[Any]]:
    """Leave out everything before a key, as a cut without encoding anew does."""
    seen = 0

    def change(place: int, packet: Any) -> Iterable[Any]:
        nonlocal seen
        if place == 0:
            seen = -1
        seen += packet.is_keyframe
        return [packet] if seen >= which else []

    return change


def _paused(place: int, packet: Any) -> Iterable[Any]:
    """Make the camera pause for two seconds before a key."""
    if place >= 24:
        packet.pts += 60
        packet.dts += 60
    return [packet]


def _shared_time(place: int, packet: Any) -> Iterable[Any]:
    """Give the twentieth picture the time of the one before."""
    packet.pts += 4 if place == 20 else 5
    return [packet]


# ------------------------------------------------------------------------------ several streams


def _two_pictures(path: Path) -> None:
    """Write two moving pictures of one size; the second counts from 500."""
    _streams(path, [(WIDTH, HEIGHT, 0), (WIDTH, HEIGHT, 500)])


def _streams(path: Path, told: Sequence[tuple[int, int, int]]) -> None:
    with av.open(str(path), "w") as out:
        streams = [_stream(out, width, height) for width, height, _ in told]
        for number in range(40):
            for stream, (_, _, first) in zip(streams, told, strict=True):
                out.mux(stream.encode(_picture(first + number, number, stream)))
        for stream in streams:
            out.mux(stream.encode(None))


def _stream(out: Any, width: int, height: int) -> Any:
    stream = out.add_stream("libx264", rate=30, options=_x264())
    stream.width, stream.height, stream.pix_fmt = width, height, "yuv420p"
    stream.codec_context.thread_count = 1
    return stream


def _picture(number: int, pts: int, stream: Any) -> av.VideoFrame:
    drawn = numbered(number, stream.width, stream.height)
    frame = av.VideoFrame.from_ndarray(drawn, format="rgb24").reformat(format=stream.pix_fmt)
    frame.pts = pts
    frame.time_base = THIRTY
    return frame


def _with_cover(path: Path) -> None:
    """Write a film with a cover picture larger than itself, as phones and music shops do."""
    with av.open(str(path), "w") as out:
        cover = out.add_stream("mjpeg", rate=1)
        cover.width, cover.height, cover.pix_fmt = 640, 360, "yuvj420p"
        cover.disposition = Disposition.attached_pic
        stream = _stream(out, WIDTH, HEIGHT)
        out.mux([*cover.encode(_picture(9, 0, cover)), *cover.encode(None)])
        for number in range(40):
            out.mux(stream.encode(_picture(number, number, stream)))
        out.mux(stream.encode(None))


# ------------------------------------------------------------------------------ bytes rearranged


def _one_after_another(first: Making, second: Making) -> Maker:
    """Write two raw streams into one file: the picture changes its size in mid-film."""

    def make(path: Path) -> None:
        parts = []
        for place, making in enumerate((first, second)):
            part = path.with_name(f"{path.stem}.{place}.part")
            parts.append(make_film(part, making).read_bytes())
            part.unlink()
        path.write_bytes(b"".join(parts))

    return make


def _put_into(making: Maker) -> Maker:
    """Put a bare stream without reordered pictures into a container, thirty a second."""

    def make(path: Path) -> None:
        bare = path.with_suffix(".bare.h264")
        making(bare)
        with av.open(str(bare)) as film, av.open(str(path), "w") as out:
            stream = out.add_stream_from_template(film.streams.video[0])
            packets = (packet for packet in film.demux(video=0) if packet.size)
            for number, packet in enumerate(packets):
                packet.stream = stream
                packet.time_base = THIRTY
                packet.pts = packet.dts = number
                packet.duration = 1
                out.mux(packet)
        bare.unlink()

    return make


def _container_aspect(aspect: tuple[int, int]) -> Callable[[bytes], bytes]:
    """Change what the container says of the pixels' shape, not what the stream says."""

    def change(data: bytes) -> bytes:
        at = data.index(b"pasp") + 4
        told = b"".join(part.to_bytes(4, "big") for part in aspect)
        return data[:at] + told + data[at + 8 :]

    return change


def _changed(making: Making, change: Callable[[bytes], bytes]) -> Maker:
    def make(path: Path) -> None:
        path.write_bytes(change(make_film(path, making).read_bytes()))

    return make


def _without_last_bytes(making: Making) -> Maker:
    def make(path: Path) -> None:
        path.write_bytes(make_film(path, making).read_bytes()[:-30])

    return make


# -------------------------------------------------------------------------------------- shapes


def _squeezed(width: int, height: int) -> Callable[[NDArray[np.uint8]], NDArray[np.uint8]]:
    return lambda picture: np.asarray(cv2.resize(picture, (width, height)), np.uint8)


def _on_its_side(picture: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Lay an upright picture on its side, so that a quarter turn clockwise sets it up."""
    return np.rot90(cv2.resize(picture, (WIDTH, HEIGHT)))


MIRROR_QUARTER = (0, 65536, 0, 65536, 0, 0, 0, 0, 1 << 30)
"""Mirrored and turned: the picture's rows become columns."""
COUNTER_QUARTER = (0, -65536, 0, 65536, 0, 0, 0, 0, 1 << 30)

_JITTER = [0, 3, 9, 10, 16, 20, 21, 30, 34, 40]
_JITTER = [tick + 45 * lap for lap in range(4) for tick in _JITTER]
_FIRST = ("its first",)


def _trimmed(by: int, making: Making = B_FRAMES) -> Odd:
    """Return a film whose edit list begins it some pictures in."""
    return Odd(
        ending="mp4",
        make=_made(replace(making, shift=-by, muxing={"avoid_negative_ts": "disabled"})),
        numbers=range(by, 40),
    )


def _rounded(numbers: Sequence[int], per_s: int) -> list[Fraction]:
    """Return times at thirty a second, each rounded to a container's tick."""
    ticks = [round(Fraction(number * per_s, 30)) for number in numbers]
    return [Fraction(tick - ticks[0], per_s) for tick in ticks]


ODD_FILMS: dict[str, Odd] = {
    # Edit lists, offsets and what begins first.
    **{f"trimmed_{by}": _trimmed(by) for by in (1, 2, 3, 4, 7, 12, 13)},
    "trimmed_open": _trimmed(11, OPEN),
    "trimmed_hevc": _trimmed(12, OPEN_HEVC),
    "delayed": Odd(ending="mp4", make=_made(replace(B_FRAMES, shift=9))),
    "delayed_mov": Odd(ending="mov", make=_made(replace(B_FRAMES, shift=9, sound_s=2.0))),
    "negative_offsets": Odd(
        ending="mp4", make=_made(replace(B_FRAMES, muxing={"movflags": "negative_cts_offsets"}))
    ),
    "no_edit_list": Odd(ending="mp4", make=_made(replace(B_FRAMES, muxing={"use_editlist": "0"}))),
    "sound_first": Odd(ending="mp4", make=_made(replace(B_FRAMES, shift=20, sound_s=2.5))),
    "sound_first_ts": Odd(ending="ts", make=_made(replace(B_FRAMES, shift=20, sound_s=2.5))),
    "sound_longer": Odd(
        ending="mkv", make=_made(replace(B_FRAMES, sound_s=4.0)), times_s=_rounded(range(40), 1000)
    ),
    # Several streams.
    "two_pictures": Odd(ending="mp4", make=_two_pictures, told=("it holds 2 pictures",)),
    "two_pictures_ts": Odd(ending="ts", make=_two_pictures, told=("it holds 2 pictures",)),
    "cover": Odd(ending="mp4", make=_with_cover),
    # Cut without encoding anew.
    **{
        f"from_key_{ending}_{name}": Odd(
            ending=ending,
            make=_made(replace(making, change=_from_key(1))),
            numbers=range(first, 40),
            times_s=_rounded(range(first, 40), 1000) if ending == "mkv" else None,
            told=_FIRST if name.startswith("open") and ending != "mp4" else (),
        )
        for ending in ("mp4", "ts", "mkv")
        for name, making, first in (
            ("closed", B_FRAMES, 12),
            ("open", OPEN, 10),
            ("open_hevc", OPEN_HEVC, 10),
        )
    },
    **{
        f"mid_group_{ending}": Odd(
            ending=ending,
            make=_made(replace(B_FRAMES, skip_packets=17)),
            numbers=range(24, 40),
            times_s=_rounded(range(24, 40), 1000) if ending == "mkv" else None,
            told=_FIRST,
        )
        for ending in ("mp4", "ts", "mkv")
    },
    # Times that wrap round, pause or are missing.
    "wrap_round": Odd(
        ending="ts",
        make=_made(
            replace(
                B_FRAMES,
                shift=(_WRAP_TICKS - _MPEGTS_DELAY_TICKS) * 30 // _MPEG_TICKS - 20,
            )
        ),
    ),
    "paused": Odd(
        ending="mp4",
        make=_made(replace(B_FRAMES, change=_paused)),
        times_s=[(n if n < 24 else n + 60) * THIRTY for n in range(40)],
    ),
    "paused_ts": Odd(
        ending="ts",
        make=_made(replace(B_FRAMES, change=_paused)),
        times_s=[(n if n < 24 else n + 60) * THIRTY for n in range(40)],
    ),
    "long_delay": Odd(ending="mp4", make=_made(replace(B_FRAMES, shift=75))),
    "long_trim": Odd(
        ending="mp4",
        make=_made(
            replace(B_FRAMES, count=110, shift=-70, muxing={"avoid_negative_ts": "disabled"})
        ),
        numbers=range(70, 110),
    ),
    "shared_time": Odd(
        ending="ts",
        make=_made(Making(options=_x264(bf="0"), change=_shared_time)),
        times_s=[
            n * THIRTY if n != 20 else 19 * THIRTY + Fraction(1, _MPEG_TICKS) for n in range(40)
        ],
        told=("no usable times",),
    ),
    "h264_avi": Odd(ending="avi", make=_made(B_FRAMES)),
    # Raw streams.
    "raw_h264": Odd(ending="h264", make=_made(replace(B_FRAMES, format="h264"))),
    "raw_hevc": Odd(ending="hevc", make=_made(replace(OPEN_HEVC, format="hevc"))),
    "raw_mjpeg": Odd(
        ending="mjpeg",
        make=_made(Making(codec="mjpeg", options={"q:v": "3"}, pix_fmt="yuvj420p", format="mjpeg")),
        times_s=[Fraction(n, 25) for n in range(40)],
        told=("25 frames a second are taken for granted",),
    ),
    "raw_mpeg2": Odd(
        ending="m2v",
        make=_made(
            Making(
                codec="mpeg2video", options={"g": "12", "bf": "2", "b": "3M"}, format="mpeg2video"
            )
        ),
    ),
    "two_sizes": Odd(
        ending="h264",
        make=_one_after_another(
            Making(options=_x264(), format="h264", count=24),
            Making(options=_x264(), format="h264", count=20, first_number=24, size=(256, 144)),
        ),
        numbers=range(44),
    ),
    **{
        f"two_sizes_{ending}": Odd(
            ending=ending,
            make=_put_into(
                _one_after_another(
                    Making(options=_x264(bf="0"), format="h264", count=24),
                    Making(
                        options=_x264(bf="0"),
                        format="h264",
                        count=20,
                        first_number=24,
                        size=(256, 144),
                    ),
                )
            ),
            numbers=range(44),
            times_s=_rounded(range(44), 1000) if ending == "mkv" else None,
        )
        for ending in ("mp4", "mkv", "ts")
    },
    # Ways to store a picture.
    "ten_bit_420": Odd(ending="mp4", make=_made(replace(B_FRAMES, pix_fmt="yuv420p10le"))),
    "ten_bit_422_mov": Odd(ending="mov", make=_made(replace(B_FRAMES, pix_fmt="yuv422p10le"))),
    "hevc_ten_bit": Odd(ending="mp4", make=_made(replace(OPEN_HEVC, pix_fmt="yuv420p10le"))),
    "av1": Odd(
        ending="mp4",
        make=_made(
            Making(codec="libsvtav1", options={"preset": "12", "g": "12", "svtav1-params": "lp=1"})
        ),
    ),
    "av1_webm": Odd(
        ending="webm",
        make=_made(
            Making(codec="libsvtav1", options={"preset": "12", "g": "12", "svtav1-params": "lp=1"})
        ),
        times_s=_rounded(range(40), 1000),
    ),
    "vp9_mp4": Odd(
        ending="mp4",
        make=_made(Making(codec="libvpx-vp9", options={"g": "15", "cpu-used": "8", "b": "1M"})),
    ),
    "vp8": Odd(
        ending="webm",
        make=_made(
            Making(
                codec="libvpx",
                options={
                    "g": "60",
                    "b": "1M",
                    "auto-alt-ref": "1",
                    "lag-in-frames": "16",
                    "cpu-used": "4",
                },
                count=60,
            )
        ),
        numbers=range(60),
        times_s=_rounded(range(60), 1000),
    ),
    "prores": Odd(
        ending="mov",
        make=_made(Making(codec="prores_ks", options={}, pix_fmt="yuv422p10le", count=12)),
        numbers=range(12),
    ),
    "dv": Odd(
        ending="dv",
        make=_made(
            Making(
                codec="dvvideo",
                options={"aspect": "8/9"},
                pix_fmt="yuv411p",
                size=(720, 480),
                rate=Fraction(30000, 1001),
                count=6,
            )
        ),
        numbers=range(6),
        times_s=[Fraction(1001 * n, 30000) for n in range(6)],
        size=(640, 480),
    ),
    "dv_avi": Odd(
        ending="avi",
        make=_made(
            Making(
                codec="dvvideo",
                options={"aspect": "32/27"},
                pix_fmt="yuv411p",
                size=(720, 480),
                rate=Fraction(30000, 1001),
                count=6,
            )
        ),
        numbers=range(6),
        times_s=[Fraction(1001 * n, 30000) for n in range(6)],
        size=(853, 480),
    ),
    "odd_size_422": Odd(
        ending="mp4",
        make=_made(replace(B_FRAMES, pix_fmt="yuv444p", size=(193, 109))),
        size=(193, 109),
    ),
    # Rates.
    "variable_b": Odd(
        ending="mp4",
        make=_made(replace(B_FRAMES, ticks=_JITTER, tick_s=Fraction(1, 120))),
        times_s=[Fraction(tick, 120) for tick in _JITTER],
    ),
    "variable_mkv": Odd(
        ending="mkv",
        make=_made(replace(B_FRAMES, ticks=_JITTER, tick_s=Fraction(1, 120))),
        times_s=[Fraction(round(Fraction(tick * 1000, 120)), 1000) for tick in _JITTER],
    ),
    **{
        f"rate_{rate}": Odd(
            ending="mp4",
            make=_made(replace(B_FRAMES, rate=Fraction(rate))),
            times_s=[Fraction(n, rate) for n in range(40)],
        )
        for rate in (24, 50, 120, 240)
    },
    # Fields.
    "woven_mp4": Odd(ending="mp4", make=_made(replace(B_FRAMES, interlaced=True))),
    "woven_mpeg2": Odd(
        ending="mpg",
        make=_made(
            Making(
                codec="mpeg2video",
                options={"g": "12", "bf": "2", "b": "4M"},
                interlaced=True,
                rate=Fraction(25),
            )
        ),
        times_s=[Fraction(n, 25) for n in range(40)],
    ),
    # Shapes and turning.
    "wide_pixels": Odd(
        ending="mp4",
        make=_made(replace(B_FRAMES, options=_x264(aspect="4/3"), size=(144, 108))),
    ),
    "wide_pixels_ts": Odd(
        ending="ts",
        make=_made(replace(B_FRAMES, options=_x264(aspect="4/3"), size=(144, 108))),
    ),
    "wide_pixels_mkv": Odd(
        ending="mkv",
        make=_made(replace(B_FRAMES, options=_x264(aspect="4/3"), size=(144, 108))),
        times_s=_rounded(range(40), 1000),
    ),
    "wide_by_container": Odd(
        ending="mp4",
        make=_changed(
            replace(B_FRAMES, options=_x264(aspect="1/1"), size=(144, 108)),
            _container_aspect((4, 3)),
        ),
    ),
    "wide_two_ways": Odd(
        ending="mp4",
        make=_changed(
            replace(B_FRAMES, options=_x264(aspect="2/1"), size=(144, 108)),
            _container_aspect((4, 3)),
        ),
    ),
    "turned_counter": Odd(
        ending="mp4",
        make=_made(
            replace(
                B_FRAMES,
                size=(HEIGHT, WIDTH),
                prepare=lambda picture: np.rot90(cv2.resize(picture, (WIDTH, HEIGHT)), -1),
                matrix=COUNTER_QUARTER,
            )
        ),
    ),
    "turned_and_mirrored": Odd(
        ending="mp4",
        make=_made(
            replace(
                B_FRAMES,
                size=(HEIGHT, WIDTH),
                prepare=lambda picture: cv2.resize(picture, (WIDTH, HEIGHT)).transpose(1, 0, 2),
                matrix=MIRROR_QUARTER,
            )
        ),
    ),
    "turned_wide": Odd(
        ending="mov",
        make=_made(
            replace(
                B_FRAMES,
                options=_x264(aspect="3/2"),
                size=(72, WIDTH),
                prepare=lambda picture: cv2.resize(_on_its_side(picture), (72, WIDTH)),
                matrix=QUARTER_TURN,
            )
        ),
    ),
    "upside_down_mov": Odd(
        ending="mov",
        make=_made(
            replace(B_FRAMES, prepare=lambda picture: picture[::-1, ::-1], matrix=HALF_TURN)
        ),
    ),
    "mirrored_mov": Odd(
        ending="mov",
        make=_made(replace(B_FRAMES, prepare=lambda picture: picture[:, ::-1], matrix=MIRROR)),
    ),
    # One frame, and fragments.
    **{
        f"one_frame_{ending}": Odd(
            ending=ending, make=_made(replace(B_FRAMES, count=1)), numbers=range(1)
        )
        for ending in ("mp4", "ts", "mkv", "h264")
    },
    "one_frame_mjpeg": Odd(
        ending="avi",
        make=_made(Making(codec="mjpeg", options={"q:v": "3"}, pix_fmt="yuvj420p", count=1)),
        numbers=range(1),
    ),
    "fragments": Odd(
        ending="mp4",
        make=_made(
            replace(B_FRAMES, muxing={"movflags": "frag_keyframe+empty_moov+default_base_moof"})
        ),
    ),
    "fragments_cut": Odd(
        ending="mp4",
        make=_without_last_bytes(
            Making(
                options=_x264(bf="0"),
                muxing={"movflags": "frag_every_frame+empty_moov+skip_trailer"},
            )
        ),
        numbers=range(39),
        told=("its end is cut off",),
    ),
}
"""Films by name, with what each must show."""
