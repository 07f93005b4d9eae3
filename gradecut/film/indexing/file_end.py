"""Whether a file holds all that its container says it holds."""

from __future__ import annotations

import os
from dataclasses import dataclass
from os import PathLike

from av.container import InputContainer
from av.video.stream import VideoStream

from gradecut.film.indexing.mp4_boxes import ends_whole
from gradecut.film.indexing.packet_table import PacketTable
from gradecut.film.opening import first_words

__all__ = ["FileEnd", "file_end"]

_SEGMENT = b"\x18\x53\x80\x67"
"""The element that holds all of a Matroska film (RFC 9559, 5.1)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FileEnd:
    """What is known of a file's end without decoding.

    Attributes
    ----------
    whole : bool
        The container vouches for every byte up to the last.
    cut_off : bool
        The container says that bytes are missing at the end.
    missing : int
        Frames it names that are not in the file; 0 when it names none.
    """

    whole: bool
    cut_off: bool
    missing: int = 0


def file_end(
    path: str | PathLike[str], container: InputContainer, stream: VideoStream, table: PacketTable
) -> FileEnd:
    """Compare a file with what its container says, after all packets were read."""
    end = _told(path, container, stream, table)
    # A copy that stopped may have kept its place on the disk with noughts; damaged packets
    # at the end are looked at too.
    doubtful = table.ends_empty or bool(table.damaged[-_LAST_PACKETS:].any())
    return FileEnd(whole=end.whole and not doubtful, cut_off=end.cut_off, missing=end.missing)


_LAST_PACKETS = 16


def _told(
    path: str | PathLike[str], container: InputContainer, stream: VideoStream, table: PacketTable
) -> FileEnd:
    size = os.path.getsize(path)
    form = container.format.name
    if "mp4" in form:
        if not stream.frames:
            whole = ends_whole(path)
            return FileEnd(whole=whole, cut_off=not whole)
        missing = max(len(stream.index_entries) - len(table), 0)
        last = int(table.pos.max(initial=0))
        return FileEnd(whole=not missing and last < size, cut_off=missing > 0, missing=missing)
    if "matroska" in form:
        return _of_end(_segment_end(first_words(path)), size)
    if form == "avi":
        return _of_end(_riff_end(first_words(path, 12)), size)
    return FileEnd(whole=False, cut_off=False)


def _of_end(told: int | None, size: int) -> FileEnd:
    """Compare the end a container tells, None when it doesn't, with the file's."""
    return FileEnd(
        whole=told is not None and told <= size, cut_off=told is not None and told > size
    )


def _riff_end(start: bytes) -> int | None:
    """Return where the first RIFF chunk ends; a recorder that stopped short leaves 0."""
    told = int.from_bytes(start[4:8], "little")
    return told + 8 if told else None


def _segment_end(start: bytes) -> int | None:
    """Return where a Matroska segment ends; None when its length was never written."""
    at = start.find(_SEGMENT)
    if at < 0 or at + 12 > len(start):
        return None
    at += len(_SEGMENT)
    width = 9 - start[at].bit_length()
    told = int.from_bytes(start[at : at + width], "big") & ((1 << 7 * width) - 1)
    unknown = told == (1 << 7 * width) - 1
    return None if unknown else at + width + told
