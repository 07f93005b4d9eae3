"""Reading packets: a damaged stretch ends or skips, it never raises."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeAlias

import av
from av.container import InputContainer
from av.video.stream import VideoStream

__all__ = ["VideoPacket", "read_packets"]

VideoPacket: TypeAlias = "av.Packet[VideoStream]"

_MOST_ERRORS = 20


def read_packets(container: InputContainer, stream: VideoStream) -> Iterator[VideoPacket]:
    """Yield a stream's packets in file order, from where the container stands.

    Empty packets are left out: they hold no picture. A read error is passed over while the
    reader still gets on, and otherwise ends the film there.
    """
    for _ in range(_MOST_ERRORS):
        came = False
        try:
            for packet in container.demux(stream):
                came = True
                if packet.size:
                    yield packet
        except (av.FFmpegError, OSError, ValueError):
            if came:
                continue
        return
