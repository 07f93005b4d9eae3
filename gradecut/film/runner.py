"""One decoder running forward through a film, and what it can vouch for.

A picture is vouched for only when nothing it may be built from was damaged. FFmpeg hands
out stale pictures without an error after a damaged one; each of them comes, in decode
order, after a picture it flagged or lost and before the next key. So a frame is refused
when such a picture lies between its key and itself, and none is handed out before
everything decoded ahead of it has been seen. What a decoder can't notice nobody can
refuse: H.264 and MPEG-4 show most damage, HEVC and VP9 only missing pictures.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections import deque
from collections.abc import Iterator
from os import PathLike

import av

from gradecut.errors import FilmError
from gradecut.film.frame_index import FrameIndex
from gradecut.film.opening import open_container
from gradecut.film.packets import VideoPacket, read_packets

__all__ = ["Runner", "Settled"]

Settled = tuple[int, av.VideoFrame | None]
"""A frame number and its picture, None when it was lost or damaged."""

_SEEK_TRIES = 4
_MARKED_REACH = 3


class Runner:
    """Decodes forward from a key; belongs to one thread.

    Attributes
    ----------
    index : FrameIndex
        What it decodes by.
    """

    def __init__(self, path: str | PathLike[str], index: FrameIndex) -> None:
        self._path = path
        self.index = index
        self._by_pts = {int(pts): number for number, pts in enumerate(index.pts)}
        self._key_by_pts = {int(pts): key for key, pts in enumerate(index.keys.pts)}
        self._key_by_pos = {int(pos): key for key, pos in enumerate(index.keys.pos)}
        self._open()
        self.enter(0)

    def _open(self) -> None:
        self._container = open_container(self._path)
        try:
            self._stream = self._container.streams.video[self._place()]
            context = self._stream.codec_context
            # Threads lose error flags: slice threads some, frame threads by a race. One
            # thread is slower and never vouches for a damaged picture.
            context.thread_count = 1
            context.copy_opaque = True
        except (av.FFmpegError, IndexError, ValueError) as error:
            self._container.close()
            raise FilmError(self._path, "it changed while it was open; open it again.") from error
        self._fresh = True

    def _place(self) -> int:
        """Return the place of the shown stream among the video streams."""
        numbers = [stream.index for stream in self._container.streams.video]
        return numbers.index(self.index.facts.stream)

    def close(self) -> None:
        """Let go of the file."""
        self._packets: Iterator[tuple[int, VideoPacket]] = iter(())
        self._container.close()

    @property
    def next_number(self) -> int:
        """The first frame not handed out yet."""
        return self._waiting[0][0] if self._waiting else self._expected

    def enter(self, key: int) -> None:
        """Go to a key, so that its first frame is the next to come."""
        self._packets = self._land(key)
        self._expected = int(self.index.first_of_key[key])
        self._started_at = self._expected
        self._seen = int(self.index.keys.decode_at[key])
        self._early: set[int] = set()
        self._bad: list[int] = []
        self._waiting: deque[Settled] = deque()
        self._ended = False

    def _land(self, key: int) -> Iterator[tuple[int, VideoPacket]]:
        """Return packets from a key on, each with its place in decode order.

        A seek may land late, early or on a packet that is no key. Early costs reading;
        late is tried again from keys before, and at last from the start of the film.
        """
        keys = self.index.keys
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

    def _find(
        self, packets: Iterator[VideoPacket], wanted: int
    ) -> Iterator[tuple[int, VideoPacket]] | None:
        """Skip to the wanted packet; None when it was overshot or can't be told."""
        decode_at = self.index.keys.decode_at
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
        if self.index.counted:
            return None if packet.pos is None else self._key_by_pos.get(packet.pos)
        return None if packet.pts is None else self._key_by_pts.get(packet.pts)

    def _from_start(self, wanted: int) -> Iterator[tuple[int, VideoPacket]]:
        for place, packet in enumerate(read_packets(self._container, self._stream)):
            if place >= wanted:
                yield place, packet

    def advance(self) -> list[Settled]:
        """Decode one packet on and return the frames that are now certain, in order.

        After the last packet everything left is handed out; after that, nothing.
        """
        if self._ended:
            return []
        following = next(self._packets, None)
        for picture in self._decode(following):
            number = self._number_of(picture)
            if number is not None and number >= self._expected:
                self._take(number, picture)
        if following is None:
            self._ended = True
            for number in range(self._expected, len(self.index)):
                self._lose(number)
            self._expected = len(self.index)
        return self._settle()

    @property
    def ended(self) -> bool:
        """Whether the film's end is reached and everything was handed out."""
        return self._ended

    def _decode(self, following: tuple[int, VideoPacket] | None) -> list[av.VideoFrame]:
        """Decode a packet, or flush the decoder; damage shows up as lost pictures."""
        try:
            if following is None:
                return self._stream.codec_context.decode(None)
            place, packet = following
            if packet.is_corrupt:
                # Where bytes are missing from a stream, the packets that follow are short
                # of them too, and only the first is marked.
                self._bad.extend(range(place, place + _MARKED_REACH))
                self._bad.sort()
            packet.opaque = (place,)
            return self._stream.codec_context.decode(packet)
        except av.EOFError:
            return []
        except (av.FFmpegError, OSError, ValueError):
            return []

    def _number_of(self, picture: av.VideoFrame) -> int | None:
        """Return which frame a picture is; None when it is none of the film's."""
        if not self.index.counted:
            return None if picture.pts is None else self._by_pts.get(picture.pts)
        place = picture.opaque[0] if isinstance(picture.opaque, tuple) else -1
        if not 0 <= place < len(self.index.number_at):
            return None
        number = int(self.index.number_at[place])
        return None if number < 0 else number

    def _take(self, number: int, picture: av.VideoFrame) -> None:
        """Take a picture in; the frames it jumps over are lost."""
        for missed in range(self._expected, number):
            self._lose(missed)
        place = int(self.index.decode_at[number])
        if picture.is_corrupt:
            insort(self._bad, place)
        self._early.add(place)
        self._waiting.append((number, picture))
        self._expected = number + 1

    def _lose(self, number: int) -> None:
        place = int(self.index.decode_at[number])
        insort(self._bad, place)
        self._early.add(place)
        self._waiting.append((number, None))

    def _settle(self) -> list[Settled]:
        """Hand out waiting frames whose every possible source has been seen."""
        numbers = self.index.number_at
        while self._seen in self._early or (
            self._seen < len(numbers) and numbers[self._seen] < self._started_at
        ):
            self._early.discard(self._seen)
            self._seen += 1
        settled: list[Settled] = []
        while self._waiting and (
            self._ended or self.index.decode_at[self._waiting[0][0]] < self._seen
        ):
            number, picture = self._waiting.popleft()
            settled.append((number, None if self._is_tainted(number) else picture))
        return settled

    def _is_tainted(self, number: int) -> bool:
        """Whether damage lies between a frame's key and the frame, in decode order."""
        key_at = int(self.index.keys.decode_at[self.index.key_of[number]])
        first_bad = bisect_left(self._bad, key_at)
        return first_bad < len(self._bad) and self._bad[first_bad] <= int(
            self.index.decode_at[number]
        )


def _numbered(
    first: VideoPacket, rest: Iterator[VideoPacket], place: int
) -> Iterator[tuple[int, VideoPacket]]:
    yield place, first
    for offset, packet in enumerate(rest, start=1):
        yield place + offset, packet
