"""The boxes of an MP4 or MOV (ISO/IEC 14496-12, 4.2), walked within bounds."""

from __future__ import annotations

import os
from collections.abc import Iterator
from os import PathLike
from typing import BinaryIO, NamedTuple

__all__ = ["Box", "boxes_in", "claimed_pictures", "ends_whole", "outer_boxes"]

_MOST_BOXES = 200_000
_HOLDS = {"trak": "mdia", "mdia": "minf", "minf": "stbl"}
"""The way from a track to its tables."""


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


def claimed_pictures(path: str | PathLike[str]) -> int:
    """Return the most pictures a track's table claims; 0 when there is no table.

    Raises
    ------
    OSError
        When the file can't be read.
    """
    most = 0
    with open(path, "rb") as file:
        for moov in boxes_in(file, 0, os.fstat(file.fileno()).st_size):
            if moov.name == "moof":
                break  # The tables of a film in fragments lie before the first of them.
            if moov.name == "moov":
                for track in boxes_in(file, moov.start, moov.stop):
                    if track.name == "trak":
                        most = max(most, _pictures_of(file, track))
    return most


def _pictures_of(file: BinaryIO, track: Box) -> int:
    """Return the length of a track's table of samples, 0 for a track of another kind."""
    kind, count = b"", 0
    waiting = [track]
    while waiting:
        holder = waiting.pop()
        for box in boxes_in(file, holder.start, holder.stop):
            if box.name == _HOLDS.get(holder.name):
                waiting.append(box)
            elif box.name == "hdlr":
                kind = kind or _at(file, box.start + 8)
            elif box.name == "stsz":
                count = max(count, int.from_bytes(_at(file, box.start + 8), "big"))
    return count if kind == b"vide" else 0


def _at(file: BinaryIO, place: int) -> bytes:
    file.seek(place)
    return file.read(4)
