"""Film out: H.264 that browsers and phones play, whole or not at all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from itertools import pairwise
from math import lcm
from os import PathLike
from typing import Any

import av
import numpy as np
from av.container import OutputContainer
from av.video.reformatter import ColorPrimaries, ColorRange, Colorspace, ColorTrc, VideoReformatter
from av.video.stream import VideoStream
from numpy.typing import NDArray

from gradecut.errors import OutputError
from gradecut.outfile import whole_file
from gradecut.progress import CancelToken, Progress, silent

__all__ = ["write_film"]

_FINEST_TICKS = 1_000_000
_USUAL_TICKS = 90_000


def write_film(
    path: str | PathLike[str],
    frames: Iterable[NDArray[np.uint8]],
    *,
    rate: Fraction,
    times_s: Iterable[Fraction] | None = None,
    quality: int = 21,
    preset: str = "medium",
    keyframe_every: int = 60,
    threads: int = 0,
    progress: Progress = silent,
    total: int | None = None,
    cancel: CancelToken | None = None,
) -> None:
    """Write frames as an H.264 film that browsers and phones play.

    The film is MP4 with its index first, 8-bit 4:2:0, converted to BT.709 limited range
    (ITU-R BT.709) and tagged so. It appears whole or not at all, and comes out the same,
    byte for byte, for the same frames, settings and number of threads.

    Parameters
    ----------
    path : path
        Where the film goes; its folder is made if need be.
    frames : iterable of (H, W, 3) uint8 arrays
        RGB, row 0 at the top, all of one size. H.264 4:2:0 needs even sizes: an odd one is
        padded by repeating its last row or last column.
    rate : Fraction
        Frames a second. With ``times_s`` it only says how long the last frame stands.
    times_s : iterable of Fraction, optional
        When each frame begins, in seconds from 0, rising, one for each frame: the film
        then has a variable rate. Times are exact when their common denominator is at most
        1,000,000, otherwise rounded to 1/90,000 s.
    quality : int
        The encoder's constant-quality setting (crf), 1 to 51: 18 very good, 51 worst.
        (0 would be lossless, which phones don't play.)
    preset : str
        The encoder's preset: slower makes smaller films.
    keyframe_every : int
        At most this many frames from one frame that stands alone to the next.
    threads : int
        Encoder threads; 0 is one for each core.
    progress : Progress
        Told the share done when ``total`` is known, otherwise only the words.
    total : int, optional
        How many frames will come.
    cancel : CancelToken, optional
        Checked before each frame.

    Raises
    ------
    OutputError
        When there are no frames or the film can't be written; nothing is left behind.
    Cancelled
        When asked to stop; nothing is left behind.
    ValueError
        For a frame of another shape, size or type, a rate or quality out of range, or times
        that don't begin at 0, don't rise or don't match the frames in number.
    """
    if not 1 <= quality <= 51:
        raise ValueError(f"Quality goes from 1 to 51, not {quality}.")
    if rate <= 0:
        raise ValueError(f"A rate is a positive number of frames a second, not {rate}.")
    clock = _Clock.steady(rate) if times_s is None else _Clock.of_times(list(times_s), rate)
    with whole_file(path) as draft:
        try:
            count = _encode(
                str(draft), _told(frames, progress, total, cancel), clock, rate,
                options={"crf": str(quality), "preset": preset, "g": str(keyframe_every)},
                threads=threads,
            )  # fmt: skip
        except av.FFmpegError as error:
            raise OutputError(
                path, f"the film could not be written ({error.strerror}); free some space or "
                "choose another folder."
            ) from error  # fmt: skip
        if not count:
            raise OutputError(path, "there are no frames to write; choose at least one.")
    progress(1.0, "Film written")


class _Clock:
    """When each frame begins, in ticks of the film's time base."""

    def __init__(self, tick_s: Fraction, ticks: list[int] | None) -> None:
        self.tick_s = tick_s
        self._ticks = ticks

    @classmethod
    def steady(cls, rate: Fraction) -> _Clock:
        """Make a clock with one tick a frame."""
        return cls(1 / rate, None)

    @classmethod
    def of_times(cls, times_s: list[Fraction], rate: Fraction) -> _Clock:
        """Make a clock fine enough for given times; the end of the last frame included."""
        if times_s and times_s[0] != 0:
            raise ValueError(f"Times begin at 0 s, not at {times_s[0]} s.")
        if any(later <= earlier for earlier, later in pairwise(times_s)):
            raise ValueError("Times of frames must rise.")
        shared = lcm(rate.numerator, *(time_s.denominator for time_s in times_s))
        per_s = shared if shared <= _FINEST_TICKS else _USUAL_TICKS
        ends_s = [*times_s, times_s[-1] + 1 / rate] if times_s else []
        ticks = [round(time_s * per_s) for time_s in ends_s]
        if any(later <= earlier for earlier, later in pairwise(ticks)):
            raise ValueError(f"Times of frames lie closer together than 1/{per_s} s.")
        return cls(Fraction(1, per_s), ticks)

    def span(self, number: int) -> tuple[int, int]:
        """Return a frame's beginning and length in ticks."""
        if self._ticks is None:
            return number, 1
        if number + 1 >= len(self._ticks):
            raise ValueError("There are more frames than times; give one time for each frame.")
        return self._ticks[number], self._ticks[number + 1] - self._ticks[number]

    def check_count(self, count: int) -> None:
        """Refuse times that are left over."""
        if self._ticks is not None and len(self._ticks) != count + 1:
            raise ValueError("There are more times than frames; give one time for each frame.")


def _told(
    frames: Iterable[NDArray[np.uint8]],
    progress: Progress,
    total: int | None,
    cancel: CancelToken | None,
) -> Iterator[NDArray[np.uint8]]:
    """Pass frames on, telling how far they are and stopping when asked."""
    for number, frame in enumerate(frames):
        if cancel is not None:
            cancel.check("Writing the film")
        if total:
            progress(min(number / total, 1.0), f"Writing frame {number + 1} of {total}")
        else:
            progress(0.0, f"Writing frame {number + 1}")
        yield frame


def _encode(
    name: str,
    frames: Iterator[NDArray[np.uint8]],
    clock: _Clock,
    rate: Fraction,
    *,
    options: dict[str, str],
    threads: int,
) -> int:
    """Encode frames into a file and return how many there were."""
    first = next(frames, None)
    if first is None:
        return 0
    width, height = _size_of(first)
    # A timescale of our own choosing keeps the times exact: the muxer would pick another.
    per_s = clock.tick_s.denominator
    muxing = {"movflags": "+faststart", "video_track_timescale": str(per_s)}
    with av.open(name, "w", format="mp4", options=muxing) as container:
        stream = container.add_stream("libx264", rate=rate, options=options)
        _set_up(stream, width + width % 2, height + height % 2, clock.tick_s, threads)
        converter = VideoReformatter()
        count = 0
        for count, array in enumerate(_chain(first, frames), start=1):
            if _size_of(array) != (width, height):
                raise ValueError(
                    f"Frame {count - 1} is {array.shape[1]} x {array.shape[0]} px in a film of "
                    f"{width} x {height} px."
                )
            picture = _to_bt709(converter, _made_even(array))
            picture.pts, picture.duration = clock.span(count - 1)
            picture.time_base = clock.tick_s
            _mux(container, stream, picture)
        clock.check_count(count)
        _mux(container, stream, None)
    return count


def _set_up(stream: VideoStream, width: int, height: int, tick_s: Fraction, threads: int) -> None:
    """Set what the encoder makes and how it is tagged."""
    stream.pix_fmt = "yuv420p"
    stream.width, stream.height = width, height
    context = stream.codec_context
    context.time_base = tick_s
    context.profile = "High"
    context.thread_count = threads
    context.colorspace = Colorspace.ITU709
    context.color_range = ColorRange.MPEG
    context.color_primaries = ColorPrimaries.BT709
    context.color_trc = ColorTrc.BT709


def _mux(container: OutputContainer, stream: VideoStream, picture: av.VideoFrame | None) -> None:
    for packet in stream.encode(picture):
        container.mux(packet)


def _chain(
    first: NDArray[np.uint8], rest: Iterator[NDArray[np.uint8]]
) -> Iterator[NDArray[np.uint8]]:
    yield first
    yield from rest


def _size_of(array: NDArray[Any]) -> tuple[int, int]:
    """Return (width, height) of an RGB frame, or refuse it."""
    if array.ndim != 3 or array.shape[2] != 3 or array.dtype != np.uint8 or not array.size:
        raise ValueError(
            f"A frame is an (H, W, 3) uint8 array, not {array.shape} of {array.dtype}."
        )
    return array.shape[1], array.shape[0]


def _made_even(array: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Repeat the last row or column of an odd size."""
    height, width = array.shape[:2]
    if height % 2 or width % 2:
        array = np.pad(array, ((0, height % 2), (0, width % 2), (0, 0)), mode="edge")
    return np.ascontiguousarray(array)


def _to_bt709(converter: VideoReformatter, array: NDArray[np.uint8]) -> av.VideoFrame:
    """Convert an RGB array to BT.709 limited range and tag it."""
    picture = converter.reformat(
        av.VideoFrame.from_ndarray(array, format="rgb24"),
        format="yuv420p",
        dst_colorspace=Colorspace.ITU709,
        src_color_range=ColorRange.JPEG,
        dst_color_range=ColorRange.MPEG,
    )
    picture.color_primaries = ColorPrimaries.BT709
    picture.color_trc = ColorTrc.BT709
    return picture
