"""A film's packets from any key on, each with its place in decode order."""

from __future__ import annotations

from collections.abc import Iterator
from os import PathLike
from typing import TypeAlias

import av
import numpy as np
from av.video.codeccontext import VideoCodecContext

from gradecut.errors import FilmError
from gradecut.film.decoding.decoding_ways import Way
from gradecut.film.decoding.packets import VideoPacket, read_packets
from gradecut.film.indexing.frame_index import FrameIndex
from gradecut.film.opening import open_container

__all__ = ["PacketReader", "Placed"]

Placed: TypeAlias = tuple[int, VideoPacket]
"""A packet and its place in decode order."""

_SEEK_TRIES = 4


class PacketReader:
    """Reads packets from keys; holds the open file and the decoder that goes with it.

    Parameters
    ----------
    path : path
    index : FrameIndex
    way : Way
        How the decoder is set up.

    Raises
    ------
    FilmError
        When the film is gone or has become another.
    """

    def __init__(self, path: str | PathLike[str], index: FrameIndex, way: Way) -> None:
        self._path = path
        self._index = index
        self._way = way
        self._key_by_pos = (
            {int(pos): key for key, pos in enumerate(index.keys.pos)} if index.counted else {}
        )
        self._open()

    def _open(self) -> None:
        self._container = open_container(self._path)
        try:
            videos = self._container.streams.video
            place = [stream.index for stream in videos].index(self._index.facts.stream)
            self._stream = videos[place]
            self.context: VideoCodecContext = self._stream.codec_context
            self._way.set_up(self.context)
        except (av.FFmpegError, IndexError, ValueError) as error:
            self._container.close()
            raise FilmError(self._path, "it changed while it was open; open it again.") from error
        self._fresh = True

    def close(self) -> None:
        """Let go of the file."""
        self._container.close()

    def read_from(self, key: int) -> Iterator[Placed]:
        """Return packets from a key on.

        A seek may land late, early or on a packet that is no key. Early costs reading;
        late is tried again from keys before, and at last from the start of the film.
        """
        keys = self._index.keys
        wanted = int(keys.decode_at[key])
        tries = [key - (2**n - 1) for n in range(_SEEK_TRIES) if key - (2**n - 1) > 0]
        for tried in tries:
            packets = self._seek(int(keys.dts[tried]))
            found = self._find(packets, wanted)
            if found is not None:
                return found
        if not self._fresh:
            self._container.close()
            self._open()
        self._fresh = False
        return self._from_start(wanted)

    def _seek(self, dts: int) -> Iterator[VideoPacket]:
        self._fresh = False
        try:
            self._container.seek(dts, stream=self._stream, backward=True, any_frame=False)
        except (av.FFmpegError, OSError, OverflowError):
            return iter(())
        return read_packets(self._container, self._stream)

    def _find(self, packets: Iterator[VideoPacket], wanted: int) -> Iterator[Placed] | None:
        """Skip to the wanted packet; None when it was overshot or can't be told."""
        decode_at = self._index.keys.decode_at
        for packet in packets:
            key = self._key_of(packet)
            if key is None:
                continue
            if decode_at[key] > wanted:
                return None
            if decode_at[key] == wanted:
                return _numbered(packet, packets, wanted)
        return None

    def _key_of(self, packet: VideoPacket) -> int | None:
        if self._index.counted:
            return None if packet.pos is None else self._key_by_pos.get(packet.pos)
        stamps = self._index.keys.pts
        if packet.pts is None:
            return None
        key = int(np.searchsorted(stamps, packet.pts))
        return key if key < len(stamps) and stamps[key] == packet.pts else None

    def _from_start(self, wanted: int) -> Iterator[Placed]:
        for place, packet in enumerate(read_packets(self._container, self._stream)):
            if place >= wanted:
                yield place, packet


def _numbered(first: VideoPacket, rest: Iterator[VideoPacket], place: int) -> Iterator[Placed]:
    yield place, first
    for offset, packet in enumerate(rest, start=1):
        yield place + offset, packet
