"""Small grey pictures of a whole film, as quickly as they can be had.

Nothing is vouched for here: the decoder runs in several threads, leaves out pictures that no
other is built from, and does not smooth the edges of blocks, so a damaged film may give a
damaged picture. That is good enough to look for plays in and to find one's way by; whatever
is marked on is read by ``open_film``.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import chain
from math import ceil, floor
from os import PathLike
from typing import cast

import av
import cv2
import numpy as np
from av.container import InputContainer
from av.video.stream import VideoStream
from numpy.typing import NDArray

from gradecut.errors import FilmError
from gradecut.film.decoding.packets import VideoPacket, read_packets
from gradecut.film.indexing.frame_index import FrameIndex
from gradecut.film.indexing.index_store import index_of
from gradecut.film.opening import open_container
from gradecut.progress import CancelToken, Progress, silent
from gradecut.timebase import Pts

__all__ = ["sample_pictures"]

Grey = NDArray[np.uint8]

_KEYS_ALONE = Fraction(4, 5)
"""Where keys lie no further apart than this share of a step, nothing but keys is decoded."""
_PLANAR = frozenset(
    {"yuv420p", "yuvj420p", "yuv422p", "yuvj422p", "yuv444p", "yuvj444p", "nv12", "nv21", "gray"}
)
"""Formats whose first plane is one byte of luma a pixel."""


def sample_pictures(
    path: str | PathLike[str],
    *,
    every_s: Fraction,
    width_px: int,
    start_s: Fraction = Fraction(0),
    stop_s: Fraction | None = None,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Iterator[tuple[Pts, Grey]]:
    """Yield small grey pictures of a film at about even times.

    Parameters
    ----------
    path : path
        The film.
    every_s : Fraction
        Seconds between pictures; each is the first one had at or after its time, so that two
        may lie up to a group of pictures further apart where only keys are decoded.
    width_px : int
        Width of the pictures, upright and as displayed (never wider than the film); their
        height follows.
    start_s, stop_s : Fraction
        Seconds from the first frame, both in it; to the end when None.
    progress, cancel
        Told how far it is; asks it to stop.

    Yields
    ------
    (Pts, ndarray of shape (h, w), uint8)
        A frame's timestamp and its luma, row 0 at the top, upright. Timestamps rise.

    Raises
    ------
    FilmError
        When the film can't be opened.
    Cancelled
        When asked to stop.
    ValueError
        For a time between samples, or a width, that is not above 0.
    """
    if every_s <= 0 or width_px < 1:
        raise ValueError("Samples lie some time apart and are some pixels wide.")
    _, index = index_of(path)
    first, tick_s = int(index.pts[0]), index.facts.time_base
    step = every_s / tick_s
    begin = first + ceil(start_s / tick_s)
    end = int(index.pts[-1])
    if stop_s is not None:
        end = min(end, first + floor(stop_s / tick_s))
    due: Fraction | int = begin
    for pts, picture in _decoded(path, index, step, begin, end):
        if cancel is not None:
            cancel.check("Looking through the film")
        if pts > end:
            break
        if pts >= due:
            yield Pts(pts), _small(picture, index, width_px)
            # Even times, unless the film has no picture for a while: then from that one on.
            due = due + step if pts < due + step else pts + step
            progress(_share(pts, begin, end), "Looking through the film")
    progress(1.0, "Looked through the film")


def _share(pts: int, begin: int, end: int) -> float:
    return (pts - begin) / (end - begin) if end > begin else 1.0


def _decoded(
    path: str | PathLike[str],
    index: FrameIndex,
    step: Fraction,
    begin: int,
    end: int,
) -> Iterator[tuple[int, av.VideoFrame]]:
    """Yield timestamps and pictures, rising, some of them before ``begin``."""
    keys = np.sort(index.keys.pts)
    inside = keys[(keys >= begin) & (keys <= end)]
    keys_do = len(inside) > 1 and float(np.median(np.diff(inside))) <= step * _KEYS_ALONE
    with open_container(path) as container:
        stream = _quick_stream(path, container, index)
        if index.counted:
            yield from _counted(container, stream, index)
        elif keys_do:
            yield from _key_pictures(container, stream, _spread(inside, step))
        else:
            _enter(container, stream, index, begin)
            yield from _in_order(container, stream)


def _quick_stream(
    path: str | PathLike[str], container: InputContainer, index: FrameIndex
) -> VideoStream:
    """Return the shown stream, its decoder set to be quick rather than certain."""
    for stream in container.streams.video:
        if stream.index == index.facts.stream:
            context = stream.codec_context
            context.thread_type = "FRAME"
            context.thread_count = 0
            context.options = {"skip_loop_filter": "all"}
            if not index.counted:
                context.skip_frame = "NONREF"
            return stream
    raise FilmError(path, "it changed while it was open; open it again.")


def _spread(keys: NDArray[np.int64], step: Fraction) -> list[int]:
    """Choose the first key at or after each step from the first one on."""
    chosen: list[int] = []
    due: Fraction | int = int(keys[0])
    for pts in (int(key) for key in keys):
        if pts >= due:
            chosen.append(pts)
            due = due + step if pts < due + step else pts + step
    return chosen


def _enter(container: InputContainer, stream: VideoStream, index: FrameIndex, begin: int) -> None:
    """Go to the last key at or before a time; stay at the film's start where there is none."""
    before = np.flatnonzero(index.keys.pts <= begin)
    if len(before) and before[-1] > 0:
        _seek(container, stream, int(index.keys.dts[before[-1]]))


def _seek(container: InputContainer, stream: VideoStream, ticks: int) -> bool:
    try:
        container.seek(ticks, stream=stream, backward=True)
    except (av.FFmpegError, OSError):
        return False
    return True


def _key_pictures(
    container: InputContainer, stream: VideoStream, wanted: list[int]
) -> Iterator[tuple[int, av.VideoFrame]]:
    """Yield the pictures of keys, sought one after another."""
    newest = None
    for ticks in wanted:
        if not _seek(container, stream, ticks):
            continue
        for packet in read_packets(container, stream):
            if not packet.is_keyframe:
                continue
            # One picture is wanted: the decoder is emptied at once instead of waiting for what
            # follows, and made ready again for the next key.
            pictures = (*_decode(stream, packet), *_decode(stream, None))
            stream.codec_context.flush_buffers()
            for picture in pictures[:1]:
                if picture.pts is not None and (newest is None or picture.pts > newest):
                    newest = picture.pts
                    yield picture.pts, picture
            break


def _in_order(
    container: InputContainer, stream: VideoStream
) -> Iterator[tuple[int, av.VideoFrame]]:
    """Yield pictures from where the container stands; what can't be decoded is left out."""
    newest = None
    for packet in chain(read_packets(container, stream), [None]):
        for picture in _decode(stream, packet):
            if picture.pts is not None and (newest is None or picture.pts > newest):
                newest = picture.pts
                yield picture.pts, picture


def _counted(
    container: InputContainer, stream: VideoStream, index: FrameIndex
) -> Iterator[tuple[int, av.VideoFrame]]:
    """Yield the pictures of a film without times, each counted."""
    pictures = (
        picture
        for packet in chain(read_packets(container, stream), [None])
        for picture in _decode(stream, packet)
    )
    for pts, picture in zip(index.pts, pictures, strict=False):
        yield int(pts), picture


def _decode(stream: VideoStream, packet: VideoPacket | None) -> list[av.VideoFrame]:
    """Decode a packet, or empty the decoder; damage shows up as lost pictures."""
    try:
        return stream.codec_context.decode(packet)
    except (av.FFmpegError, OSError, ValueError):
        return []


def _small(picture: av.VideoFrame, index: FrameIndex, width_px: int) -> Grey:
    """Return a picture's luma, small and upright."""
    facts = index.facts
    width = min(width_px, facts.width_px)
    height = max(round(facts.height_px * width / facts.width_px), 1)
    size = (height, width) if facts.quarter_turns % 2 else (width, height)
    if picture.format.name in _PLANAR:
        plane = picture.planes[0]
        rows = np.frombuffer(cast("bytes", plane), np.uint8).reshape(plane.height, plane.line_size)
        luma: Grey = rows[:, : plane.width]
    else:
        luma = picture.reformat(format="gray8").to_ndarray().astype(np.uint8, copy=False)
    small = np.asarray(cv2.resize(luma, size, interpolation=cv2.INTER_AREA), dtype=np.uint8)
    if facts.mirrored:
        small = small[:, ::-1]
    return np.ascontiguousarray(np.rot90(small, -facts.quarter_turns))
