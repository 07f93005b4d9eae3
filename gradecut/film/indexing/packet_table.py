"""What every packet of a film says, in file order."""

from __future__ import annotations

from collections.abc import Callable
from os import PathLike

import numpy as np
from av.container import InputContainer
from av.video.stream import VideoStream
from numpy.typing import NDArray

from gradecut.errors import FilmError
from gradecut.film.decoding.packets import VideoPacket, read_packets
from gradecut.film.indexing.frame_index import Ticks

__all__ = ["MOST_FRAMES", "UNKNOWN", "PacketTable", "read_table"]

MOST_FRAMES = 20_000_000
"""Of one film: more than three days at 60 a second."""
UNKNOWN = int(np.iinfo(np.int64).min)
"""Stands for a timestamp that isn't told."""

Watch = Callable[[int, VideoPacket], object]


class PacketTable:
    """The packets of one stream, a row each; read once, then only looked at.

    Attributes
    ----------
    pts, dts : (P,) int64
        Timestamps in ticks; ``UNKNOWN`` where none is told.
    pos : (P,) int64
        Byte position, -1 when unknown.
    duration : (P,) int64
        In ticks, 0 when unknown.
    key, discard, damaged : (P,) bool
        Decoding can begin here; not to be shown; marked damaged by the container.
    late : (P,) int64
        Ticks by which the timestamps were moved on against those the container gives.
    ends_empty : bool
        The last packet is all noughts at its start: its place was kept, but never filled.
    """

    def __init__(self) -> None:
        self._times: list[tuple[int, int, int, int]] = []
        self._marks: list[tuple[bool, bool, bool]] = []
        self._last: VideoPacket | None = None

    def add(self, packet: VideoPacket) -> None:
        """Add the next packet."""
        pts, dts, pos = packet.pts, packet.dts, packet.pos
        self._times.append(
            (
                UNKNOWN if pts is None else pts,
                UNKNOWN if dts is None else dts,
                -1 if pos is None else pos,
                packet.duration or 0,
            )
        )
        self._marks.append((packet.is_keyframe, packet.is_discard, packet.is_corrupt))
        self._last = packet

    def __len__(self) -> int:
        return len(self._times)

    def close(self) -> None:
        """Turn rows into columns; nothing is added after."""
        times = np.array(self._times, dtype=np.int64).reshape(-1, 4)
        marks = np.array(self._marks, dtype=bool).reshape(-1, 3)
        self.pts: Ticks = np.ascontiguousarray(times[:, 0])
        self.dts: Ticks = np.ascontiguousarray(times[:, 1])
        self.pos: Ticks = np.ascontiguousarray(times[:, 2])
        self.duration: Ticks = np.ascontiguousarray(times[:, 3])
        self.key: NDArray[np.bool_] = np.ascontiguousarray(marks[:, 0])
        self.discard: NDArray[np.bool_] = np.ascontiguousarray(marks[:, 1])
        self.damaged: NDArray[np.bool_] = np.ascontiguousarray(marks[:, 2])
        self.ends_empty = self._last is not None and not any(bytes(self._last)[:64])
        self._last = None
        self.late: Ticks = np.zeros(len(times), dtype=np.int64)

    def move(self, late: Ticks) -> None:
        """Move timestamps on, where they are told."""
        self.late = self.late + late
        self.pts = np.where(self.pts == UNKNOWN, UNKNOWN, self.pts + late)
        self.dts = np.where(self.dts == UNKNOWN, UNKNOWN, self.dts + late)

    @property
    def first_key(self) -> int:
        """Place of the first packet decoding can begin at; 0 when none says so."""
        return int(self.key.argmax())


def read_table(
    path: str | PathLike[str],
    container: InputContainer,
    stream: VideoStream,
    watch: Watch,
) -> PacketTable:
    """Read all packets of a stream, from where the container stands.

    Parameters
    ----------
    watch : callable
        Called with each packet and its place before the next is read.

    Raises
    ------
    FilmError
        When there are none, or absurdly many.
    """
    table = PacketTable()
    for place, packet in enumerate(read_packets(container, stream)):
        table.add(packet)
        watch(place, packet)
        if place >= MOST_FRAMES:
            raise FilmError(
                path, f"it claims more than {MOST_FRAMES:,} frames; cut it into shorter films."
            )
    if not len(table):
        raise FilmError(path, "it holds no frames at all; copy it again from the camera.")
    table.close()
    return table
