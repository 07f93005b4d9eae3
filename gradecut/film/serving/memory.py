"""Memory of decoded pictures: who owns it, and giving it back."""

from __future__ import annotations

import ctypes
import sys
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import av

    from gradecut.film.decoding.picture import PictureMaker

__all__ = ["copied", "look_the_same", "return_memory"]


def copied(picture: av.VideoFrame) -> av.VideoFrame:
    """Return a copy of a decoded picture in memory of its own, its colour tags with it.

    Where its colour samples lie is not copied: PyAV does not tell. See ``look_the_same``.
    """
    import av

    copy = av.VideoFrame(picture.width, picture.height, picture.format.name)
    for source, goal in zip(picture.planes, copy.planes, strict=True):
        rows = goal.buffer_size // goal.line_size
        width = min(source.line_size, goal.line_size)
        given = np.asarray(memoryview(source))[: rows * source.line_size]
        taken = np.asarray(memoryview(goal))[: rows * goal.line_size]
        np.copyto(
            taken.reshape(rows, goal.line_size)[:, :width],
            given.reshape(rows, source.line_size)[:, :width],
        )
    copy.pts = picture.pts
    if picture.time_base is not None:
        copy.time_base = picture.time_base
    copy.colorspace, copy.color_range = picture.colorspace, picture.color_range
    return copy


def look_the_same(maker: PictureMaker, picture: av.VideoFrame, copy: av.VideoFrame) -> bool:
    """Whether a picture and its copy are displayed alike, to the last pixel."""
    import av

    try:
        return np.array_equal(maker.rgb(picture), maker.rgb(copy))
    except (av.FFmpegError, ValueError):
        return False


def return_memory() -> None:
    """Give memory that is free back to the system where the C library holds on to it.

    The GNU library keeps freed pictures, being below its greatest threshold for memory
    maps, until the end of their heap is free; others give back by themselves.
    """
    if sys.platform.startswith("linux"):
        trim = getattr(ctypes.CDLL(None), "malloc_trim", None)
        if trim is not None:
            trim(0)
