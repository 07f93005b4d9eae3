"""Holes in an AVI film: its packets have no times of their own, they are only counted.

Where some are destroyed, all that follow are counted too low, and a reader that jumps counts
them otherwise than one that reads on. The list at the file's end knows every packet's place.
"""

from __future__ import annotations

import numpy as np
from av.container import InputContainer
from av.video.stream import VideoStream

from gradecut.film.indexing.frame_index import Ticks
from gradecut.film.indexing.packet_table import UNKNOWN, PacketTable

__all__ = ["close_holes"]

_CHUNK_HEAD_BYTES = 8
"""Name and length before a packet's own bytes."""


def close_holes(container: InputContainer, stream: VideoStream, table: PacketTable) -> int:
    """Give packets behind holes their true times, and return how many packets are missing.

    The first behind a hole is marked damaged, unless it is a key.

    Only where the container counts packets instead of dating them, and keeps a list of
    them; otherwise the table stays as it is and the answer is 0.
    """
    if container.format.name != "avi" or bool((table.dts == UNKNOWN).any()):
        return 0
    listed = {entry.pos + _CHUNK_HEAD_BYTES: entry.timestamp for entry in stream.index_entries}
    late = _late_ticks(table, listed)
    missing = int(late.max(initial=0))
    if missing:
        table.move(late)
        # What comes next, up to a key, is built from what is missing.
        table.damaged[1:] |= (np.diff(late) > 0) & ~table.key[1:]
    return missing


def _late_ticks(table: PacketTable, listed: dict[int, int]) -> Ticks:
    """Return (P,) int64: ticks each packet is counted too low; as the one before if not listed."""
    late = np.zeros(len(table), dtype=np.int64)
    found = np.array([int(pos) in listed for pos in table.pos], dtype=bool)
    if found.sum() * 2 < len(table):
        return late
    told = np.array([listed.get(int(pos), 0) for pos in table.pos], dtype=np.int64)
    late[found] = (told - table.dts)[found]
    last_found = np.maximum.accumulate(np.where(found, np.arange(len(table)), -1))
    late = np.where(last_found < 0, 0, late[last_found])
    return late if bool((np.diff(late) >= 0).all()) and late[0] >= 0 else np.zeros_like(late)
