"""The boxes of an MP4 or MOV (ISO/IEC 14496-12, 4.2), walked within bounds."""

from __future__ import annotations

import os
from collections.abc import Iterator
from os import PathLike
from typing import BinaryIO, NamedTuple

__all__ = ["Box", "boxes_in", "claimed_samples", "ends_whole", "outer_boxes"]

_MOST_BOXES = 200_000
_HOLD_BOXES = frozenset({"moov", "trak", "mdia", "minf", "stbl"})
"""Boxes on the way to the sample tables."""


class Box(NamedTuple):
    """A box: its name and where its content lies in the file.

    A box that runs past the end of what holds it keeps the ``stop`` it claims.
    """

    name: str
    start: int
    stop: int


def outer_boxes(path: str | PathLike[str]) -> list[Box]:
    """Return a file's outermost boxes, in file order.

    Raises
    ------
    OSError
        When it can't be read.
    """
    with open(path, "rb") as file:
        return list(boxes_in(file, 0, os.fstat(file.fileno()).st_size))


def boxes_in(file: BinaryIO, start: int, stop: int) -> Iterator[Box]:
    """Yield the boxes that lie one after another between two places of a file."""
    at = start
    for _ in range(_MOST_BOXES):
        file.seek(at)
        head = file.read(16)
        if len(head) < 8 or at + 8 > stop:
            return
        size, content = int.from_bytes(head[:4], "big"), at + 8
        if size == 1:
            size, content = int.from_bytes(head[8:16], "big"), at + 16
        elif size == 0:
            size = stop - at
        if size < content - at:
            return
        yield Box(head[4:8].decode("latin-1"), content, at + size)
        at += size


def ends_whole(path: str | PathLike[str]) -> bool:
    """Whether a file's last outer box ends where the file ends."""
    boxes = outer_boxes(path)
    return bool(boxes) and boxes[-1].stop == os.path.getsize(path)


def claimed_samples(path: str | PathLike[str]) -> int:
    """Return the most samples a track's table claims; 0 when there is no table.

    Raises
    ------
    OSError
        When the file can't be read.
    """
    with open(path, "rb") as file:
        return _most_samples(file, 0, os.fstat(file.fileno()).st_size, 0)


def _most_samples(file: BinaryIO, start: int, stop: int, depth: int) -> int:
    most = 0
    for box in boxes_in(file, start, stop):
        if box.name in _HOLD_BOXES and depth < len(_HOLD_BOXES):
            most = max(most, _most_samples(file, box.start, min(box.stop, stop), depth + 1))
        elif box.name == "stsz":
            file.seek(box.start + 8)
            most = max(most, int.from_bytes(file.read(4), "big"))
    return most
