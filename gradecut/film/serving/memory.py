"""Memory of decoded pictures: who owns it, and giving it back."""

from __future__ import annotations

import ctypes
import sys
from threading import Lock
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    import av

    from gradecut.film.decoding.picture import PictureMaker

__all__ = ["Freed", "copied", "look_the_same", "return_memory"]

_MUCH_BYTES = 128 * 1024 * 1024
"""Let go of so much, memory is given back even while a key is held."""


class Freed:
    """Counts what was let go of, and gives it back to the system where that is worth it.

    While memory is given back, which takes ten milliseconds, whoever needs some waits.

    Attributes
    ----------
    bytes : int
        Let go of since memory was last given back.
    """

    def __init__(self) -> None:
        self._counting = Lock()
        self.bytes = 0

    def count(self, size_bytes: int) -> None:
        """Take in that memory was let go of; in any thread."""
        with self._counting:
            self.bytes += size_bytes

    def give_back(self, *, at_rest: bool) -> None:
        """Give back what there is at rest; while a key is held, only when it is much."""
        if self.bytes == 0 or (self.bytes < _MUCH_BYTES and not at_rest):
            return
        with self._counting:
            self.bytes = 0
        return_memory()


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
