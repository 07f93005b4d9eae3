"""The count of pictures that others are built from, which every H.264 picture carries.

Where a packet is gone without trace, FFmpeg shows what it has in its place and says nothing.
But each picture tells how many references came before it (frame_num, ITU-T H.264, 7.4.3): a
number left out is a picture that is missing.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from av.video.codeccontext import VideoCodecContext

from gradecut.film.decoding.packets import VideoPacket

__all__ = ["ReferenceCount"]

_START = b"\x00\x00\x01"
_SLICE, _KEY_SLICE, _SEQUENCE, _PICTURE = 1, 5, 7, 8
_LOOKED_AT_BYTES = 256
_WITH_CHROMA = frozenset({100, 110, 122, 244, 44, 83, 86, 118, 128, 138, 139, 134, 135})
"""Profiles whose sequence headers tell the kind of chroma (7.3.2.1.1)."""


class _Sequence(NamedTuple):
    """How the pictures of a sequence are counted."""

    bits: int
    planes: bool
    gaps: bool


class ReferenceCount:
    """Follows the count from packet to packet; of films that are not H.264 it knows nothing."""

    def __init__(self, codec: str, context: VideoCodecContext) -> None:
        head = context.extradata or b""
        self._possible = codec == "h264"
        self._length_size = (head[4] & 3) + 1 if len(head) > 4 and head[0] == 1 else 0
        self._sequences: dict[int, _Sequence] = {}
        self._sequence_of: dict[int, int] = {}
        self._latest: int | None = None
        for unit in _listed(head) if self._length_size else _marked(head):
            self._learn(unit)

    def begin(self) -> None:
        """Start anew: what comes next follows nothing."""
        self._latest = None

    def lacks(self, packet: VideoPacket) -> bool:
        """Whether a picture that others are built from is missing before a packet's."""
        if not self._possible:
            return False
        data = bytes(memoryview(packet))
        for unit in _measured(data, self._length_size) if self._length_size else _marked(data):
            if unit[0] & 31 in (_SLICE, _KEY_SLICE):
                try:
                    return self._counts_on(unit)
                except (IndexError, KeyError):
                    self._latest = None
                    return False
            self._learn(unit)
        return False

    def _counts_on(self, unit: bytes) -> bool:
        """Take the number of a slice; True when one was left out before it."""
        bits = _Bits(unit)
        bits.golomb()
        bits.golomb()
        sequence = self._sequences[self._sequence_of[bits.golomb()]]
        if sequence.planes:
            bits.take(2)
        number = bits.take(sequence.bits)
        before = self._latest
        if unit[0] & 0x60:
            self._latest = number
        if before is None or sequence.gaps or unit[0] & 31 == _KEY_SLICE:
            return False
        return number not in (before, (before + 1) % (1 << sequence.bits))

    def _learn(self, unit: bytes) -> None:
        try:
            if unit[0] & 31 == _SEQUENCE:
                number, sequence = _sequence(unit)
                self._sequences[number] = sequence
            elif unit[0] & 31 == _PICTURE:
                bits = _Bits(unit)
                self._sequence_of[bits.golomb()] = bits.golomb()
        except IndexError:
            self._latest = None


class _Bits:
    """Bits of a unit behind its first byte."""

    def __init__(self, unit: bytes) -> None:
        data = unit[1:_LOOKED_AT_BYTES].replace(b"\x00\x00\x03", b"\x00\x00")
        self._bits = "".join(f"{byte:08b}" for byte in data)
        self._at = 0

    def take(self, count: int) -> int:
        """Return the next bits as a number."""
        taken = self._bits[self._at : self._at + count]
        if len(taken) < count:
            raise IndexError
        self._at += count
        return int(taken, 2) if count else 0

    def golomb(self) -> int:
        """Return the next ue(v) (9.1)."""
        one = self._bits.find("1", self._at)
        if not 0 <= one - self._at <= 31:
            raise IndexError
        zeros = one - self._at
        self._at = one
        return self.take(zeros + 1) - 1


def _sequence(unit: bytes) -> tuple[int, _Sequence]:
    """Read a sequence header up to what is needed of it (7.3.2.1.1)."""
    bits = _Bits(unit)
    profile = bits.take(8)
    bits.take(16)
    number = bits.golomb()
    planes = False
    if profile in _WITH_CHROMA:
        chroma = bits.golomb()
        planes = chroma == 3 and bool(bits.take(1))
        bits.golomb()
        bits.golomb()
        bits.take(1)
        if bits.take(1):
            _skip_scaling(bits, 12 if chroma == 3 else 8)
    counted_bits = bits.golomb() + 4
    order = bits.golomb()
    if order == 0:
        bits.golomb()
    elif order == 1:
        bits.take(1)
        bits.golomb()
        bits.golomb()
        for _ in range(bits.golomb()):
            bits.golomb()
    bits.golomb()
    return number, _Sequence(bits=counted_bits, planes=planes, gaps=bool(bits.take(1)))


def _skip_scaling(bits: _Bits, lists: int) -> None:
    """Pass over scaling lists (7.3.2.1.1.1)."""
    for place in range(lists):
        if not bits.take(1):
            continue
        last = following = 8
        for _ in range(16 if place < 6 else 64):
            if following:
                code = bits.golomb()
                step = (code + 1) // 2 if code % 2 else -(code // 2)
                following = (last + step) % 256
            last = following or last


def _listed(head: bytes) -> Iterator[bytes]:
    """Yield the headers an MP4 or Matroska film keeps apart (ISO/IEC 14496-15, 5.3.3.1)."""
    at = 5
    for mask in (31, 255):
        count = head[at] & mask if at < len(head) else 0
        at += 1
        for _ in range(count):
            size = int.from_bytes(head[at : at + 2], "big")
            yield from filter(None, [head[at + 2 : at + 2 + size]])
            at += 2 + size


def _measured(data: bytes, length_size: int) -> Iterator[bytes]:
    """Yield the start of every unit that has its length before it."""
    at = 0
    while at + length_size < len(data):
        size = int.from_bytes(data[at : at + length_size], "big")
        at += length_size
        yield data[at : at + min(size, _LOOKED_AT_BYTES)] or b"\x00"
        at += size


def _marked(data: bytes) -> Iterator[bytes]:
    """Yield the start of every unit that has a start mark before it."""
    at = data.find(_START)
    while 0 <= at < len(data) - len(_START):
        following = data.find(_START, at + 3)
        stop = len(data) if following < 0 else following
        yield data[at + 3 : min(stop, at + 3 + _LOOKED_AT_BYTES)] or b"\x00"
        at = following
