"""Pictures nothing else is built from: they can be left out without harm to the rest."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from av.video.codeccontext import VideoCodecContext

from gradecut.film.decoding.packets import VideoPacket
from gradecut.film.indexing.frame_index import FrameIndex

__all__ = ["Disposables"]

_LOOKED_AT_BYTES = 2048
_START = b"\x00\x00\x01"
_SLICE, _KEY_SLICE = 1, 5


class Disposables:
    """Tells which pictures of an H.264 film can be left out; of other films none.

    The picture must say so itself (nal_ref_idc 0 in its first slice, ITU-T H.264, 7.4.1)
    and be shown before one that comes earlier in the file, so that one damaged byte is not
    enough to leave out what others are built from.
    """

    def __init__(self, index: FrameIndex, context: VideoCodecContext) -> None:
        self._index = index
        facts = index.facts
        self._possible = facts.codec == "h264" and not facts.interlaced and not index.counted
        head = context.extradata or b""
        self._length_size = (head[4] & 3) + 1 if len(head) > 4 and head[0] == 1 else 0
        self._latest: np.ndarray[tuple[int], np.dtype[np.int64]] | None = None

    def has(self, place: int, packet: VideoPacket) -> bool:
        """Whether the picture of a packet can be left out."""
        numbers = self._index.number_at
        if not self._possible or not 0 < place < len(numbers) or numbers[place] < 0:
            return False
        if self._latest is None:
            self._latest = np.maximum.accumulate(numbers)
        return bool(self._latest[place] > numbers[place]) and self._says_so(packet)

    def _says_so(self, packet: VideoPacket) -> bool:
        start = bytes(memoryview(packet)[:_LOOKED_AT_BYTES])
        for head in self._unit_heads(start):
            if head & 31 in (_SLICE, _KEY_SLICE):
                return head & 31 == _SLICE and not head & 0x60
        return False

    def _unit_heads(self, data: bytes) -> Iterator[int]:
        """Yield the first byte of every unit of a packet's start."""
        size = self._length_size
        if not size:
            at = data.find(_START)
            while 0 <= at < len(data) - len(_START):
                yield data[at + 3]
                at = data.find(_START, at + 3)
            return
        at = 0
        while at + size < len(data):
            yield data[at + size]
            at += size + int.from_bytes(data[at : at + size], "big")
