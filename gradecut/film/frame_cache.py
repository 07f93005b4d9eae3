"""Decoded pictures kept under a budget of bytes."""

from __future__ import annotations

import os

import av

__all__ = ["FrameCache", "usual_budget"]

_MOST_BYTES = 512 * 1024 * 1024
_ASSUMED_MACHINE_BYTES = 4 * 1024**3


def usual_budget() -> int:
    """Return how many bytes of pictures to keep: 512 MB or an eighth of the machine."""
    try:
        machine = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    except (AttributeError, ValueError, OSError):
        machine = _ASSUMED_MACHINE_BYTES
    return min(_MOST_BYTES, machine // 8)


class FrameCache:
    """Keeps pictures around the playhead; those far from it go first.

    A picture ahead of the playhead counts as twice as far as one behind it: forward is what
    a decoder gives for nothing, backward costs a whole group.

    Attributes
    ----------
    bytes : int
        What the pictures kept take.
    """

    def __init__(self, budget_bytes: int) -> None:
        self._budget = budget_bytes
        self._pictures: dict[int, av.VideoFrame] = {}
        self._sizes: dict[int, int] = {}
        self.bytes = 0

    def __contains__(self, number: int) -> bool:
        return number in self._pictures

    def get(self, number: int) -> av.VideoFrame | None:
        """Return a frame's picture when it is kept."""
        return self._pictures.get(number)

    def put(self, number: int, picture: av.VideoFrame, playhead: int) -> None:
        """Keep a picture, letting go of those farthest from the playhead."""
        if number in self._pictures:
            return
        size = sum(plane.buffer_size for plane in picture.planes)
        self._pictures[number] = picture
        self._sizes[number] = size
        self.bytes += size
        while self.bytes > self._budget and len(self._pictures) > 1:
            self._drop(self._farthest(playhead))

    def _farthest(self, playhead: int) -> int:
        first, last = min(self._pictures), max(self._pictures)
        return last if 2 * (last - playhead) > playhead - first else first

    def _drop(self, number: int) -> None:
        del self._pictures[number]
        self.bytes -= self._sizes.pop(number)

    def clear(self) -> None:
        """Let go of everything."""
        self._pictures.clear()
        self._sizes.clear()
        self.bytes = 0
