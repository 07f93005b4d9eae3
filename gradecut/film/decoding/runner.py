"""One decoder running forward through a film, and what it can vouch for.

A picture is vouched for only when nothing it may be built from was damaged. FFmpeg hands
out stale pictures without an error after a damaged one; each of them comes, in decode
order, after a picture it flagged or lost and before the next key. So a frame is refused
when such a picture lies between its key and itself, and none is handed out before
everything decoded ahead of it has been seen. What a decoder can't notice nobody can
refuse: H.264 and MPEG-4 show most damage, HEVC and VP9 less.

A film refreshed bit by bit has keys that are whole only some frames later: damage from
before such a key reaches past it, to the next.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections import deque
from collections.abc import Iterator
from math import ceil
from os import PathLike

import av
import numpy as np

from gradecut.film.decoding.decoding_ways import LENIENT, Way
from gradecut.film.decoding.disposable import Disposables
from gradecut.film.decoding.packet_reader import PacketReader, Placed
from gradecut.film.decoding.packets import VideoPacket
from gradecut.film.decoding.reference_count import ReferenceCount
from gradecut.film.indexing.frame_index import FrameIndex, Ticks

__all__ = ["Runner", "Settled"]

Settled = tuple[int, av.VideoFrame | None]
"""A frame number and its picture, None when it was lost or damaged."""

_MARKED_REACH = 3
_NOWHERE = -1
_JUST_BEFORE = 0.5
"""Between a place and the one before it."""


class Runner:
    """Decodes forward from a key; belongs to one thread.

    Attributes
    ----------
    index : FrameIndex
        What it decodes by.
    keep_from : int
        Earlier frames that nothing else is built from may be left out.
    """

    def __init__(self, path: str | PathLike[str], index: FrameIndex, way: Way = LENIENT) -> None:
        self.index = index
        self._way = way
        self._reader = PacketReader(path, index, way)
        self._disposables = Disposables(index, self._reader.context)
        self._references = ReferenceCount(index.facts.codec, self._reader.context)
        self._marked: set[int] = set()
        self._joins = _joins(index)
        for place in index.decode_at[index.damaged].tolist():
            self._marked.update(self._reach(place))
        self._packets: Iterator[Placed] | None = None
        self._waiting: deque[Settled] = deque()
        self._expected = _NOWHERE
        self._ended = False
        self._alone: int | None = None
        self.keep_from = 0

    def close(self) -> None:
        """Let go of the file."""
        self._packets = iter(())
        self._reader.close()

    @property
    def next_number(self) -> int:
        """The first frame not handed out yet; -1 before a key was entered."""
        return self._waiting[0][0] if self._waiting else self._expected

    def enter(
        self,
        key: int,
        *,
        keep_from: int = 0,
        without: frozenset[int] = frozenset(),
        alone: bool = False,
    ) -> None:
        """Go to a key, so that its first frame is the next to come.

        Parameters
        ----------
        key : int
        keep_from : int
            Earlier frames that nothing else is built from may be left out.
        without : frozenset of int
            Places in decode order that are not decoded; their frames count as lost, and
            harm no other.
        alone : bool
            Decode no packet of the next key's group: this one's end counts as the film's. FFmpeg
            may take damage at the beginning of a group for one of the picture before.
        """
        keys = self.index.keys
        self._alone = key + 1 if alone and key + 1 < len(keys) else None
        self._packets = self._reader.read_from(key)
        self._expected = int(self.index.first_of_key[key])
        self._started_at = self._expected
        self._seen = int(self.index.keys.decode_at[key])
        self._given = 0
        self._early: set[int] = set()
        self._left_out: set[int] = set()
        self._without = without
        self._bad: list[float] = sorted(self._marked)
        self._references.begin()
        self._disposable: set[int] = set()
        self._latest: deque[int] = deque(maxlen=self._way.in_work)
        self._first_came = _NOWHERE
        self._gradual: set[int] = set()
        self._waiting.clear()
        self._ended = False
        self.keep_from = keep_from

    def advance(self) -> list[Settled]:
        """Decode one packet on and return the frames that are now certain, in order.

        After the last packet everything left is handed out; after that, nothing.
        """
        if self._packets is None:
            self.enter(0)
        if self._ended or self._packets is None:
            return []
        following = next(self._packets, None)
        if self._alone is not None and following is not None:
            stop = int(self.index.keys.decode_at[self._alone])
            following = following if following[0] < stop else None
        if following is not None and self._leaves_out(*following):
            return self._settle()
        for picture in self._decode(following):
            number = self._number_of(picture)
            if number is not None and number >= self._expected:
                self._take(number, picture, is_sure=following is None or self._is_sure(picture))
        if following is None:
            self._ended = True
            first = self.index.first_of_key
            self._pass_over(len(self.index) if self._alone is None else int(first[self._alone]))
        return self._settle()

    @property
    def ended(self) -> bool:
        """Whether the film's end, or that of a group alone, is reached and all was handed out."""
        return self._ended

    def first_damage(self, key: int) -> int:
        """Return the place of the first damaged picture since a key; past the end if none."""
        first = bisect_left(self._bad, int(self.index.keys.decode_at[key]))
        return ceil(self._bad[first]) if first < len(self._bad) else len(self.index.number_at)

    def damage_alone(self, key: int) -> int | None:
        """Return the place of the first damaged picture since a key, if it harms no other.

        Entering again without it leaves all others whole. None when there is no damage, or
        others may be built from it.
        """
        place = self.first_damage(key)
        return place if place in self._disposable else None

    def _leaves_out(self, place: int, packet: VideoPacket) -> bool:
        """Whether a packet is not to be decoded, and note what that means for its frame."""
        if packet.is_corrupt and place not in self._marked:
            self._marked.update(self._reach(place))
            self._bad = sorted({*self._bad, *self._reach(place)})
        if self._references.lacks(packet):
            # A key is whole without what is missing; frames shown before it may not be.
            insort(self._bad, place - _JUST_BEFORE if packet.is_keyframe else place)
        disposable = place not in self._marked and self._disposables.has(place, packet)
        if disposable:
            self._disposable.add(place)
        early = disposable and self.index.number_at[place] < self.keep_from
        if not early and place not in self._without:
            return False
        self._left_out.add(place)
        self._early.add(place)
        return True

    def _reach(self, place: int) -> range:
        """Return the places a marked packet spoils.

        Where bytes are missing from a stream, the packets that follow are short of them too,
        and only the first is marked. Where two recordings were laid end to end none is
        missing: the last packet of the first is marked for the jump in its count.
        """
        stop = place + _MARKED_REACH
        join = bisect_right(self._joins, place)
        return range(place, min([stop, *self._joins[join : join + 1]]))

    def _decode(self, following: Placed | None) -> list[av.VideoFrame]:
        """Decode a packet, or flush the decoder; damage shows up as lost pictures."""
        context = self._reader.context
        try:
            if following is None:
                return context.decode(None)
            place, packet = following
            self._given += 1
            self._latest.append(place)
            packet.opaque = (place, self._given)
            return context.decode(packet)
        except av.EOFError:
            return []
        except (av.FFmpegError, OSError, ValueError):
            # Which of the packets still being decoded it was isn't told.
            for place in self._latest if self._way.tells_by_error else ():
                insort(self._bad, place)
            return []

    def _is_sure(self, picture: av.VideoFrame) -> bool:
        """Whether a picture comes late enough for its sign of damage to be complete."""
        told = picture.opaque
        return isinstance(told, tuple) and self._given - told[1] >= self._way.least_delay

    def _number_of(self, picture: av.VideoFrame) -> int | None:
        """Return which frame a picture is; None when it is none of the film's."""
        if not self.index.counted:
            return _place_of(picture.pts, self.index.pts)
        place = picture.opaque[0] if isinstance(picture.opaque, tuple) else -1
        if not 0 <= place < len(self.index.number_at):
            return None
        number = int(self.index.number_at[place])
        return None if number < 0 else number

    def _take(self, number: int, picture: av.VideoFrame, *, is_sure: bool) -> None:
        """Take a picture in; the frames it jumps over are lost or were left out."""
        self._pass_over(number)
        place = int(self.index.decode_at[number])
        self._first_came = place if self._first_came < 0 else self._first_came
        key = int(self.index.key_of[number])
        if number == self.index.first_of_key[key] and not picture.key_frame:
            self._gradual.add(key)
        if picture.is_corrupt or not is_sure:
            insort(self._bad, place)
        self._early.add(place)
        self._waiting.append((number, picture))
        self._expected = number + 1

    def _pass_over(self, stop: int) -> None:
        """Count frames before ``stop`` that didn't come as lost, those left out as absent."""
        for number in range(self._expected, stop):
            place = int(self.index.decode_at[number])
            if place not in self._left_out:
                insort(self._bad, place)
                self._early.add(place)
            if place not in self._left_out or place in self._without:
                self._waiting.append((number, None))
        self._expected = stop

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
        key = int(self.index.key_of[number])
        since = int(self.index.keys.decode_at[key])
        if key in self._gradual:
            since = max(int(self.index.keys.decode_at[max(key - 1, 0)]), self._first_came)
        first_bad = bisect_left(self._bad, since)
        return first_bad < len(self._bad) and self._bad[first_bad] <= int(
            self.index.decode_at[number]
        )


def _joins(index: FrameIndex) -> list[int]:
    """Return the places of keys where the clock starts anew: one recording ends there."""
    dts = index.keys.dts
    joins: list[int] = index.keys.decode_at[1:][dts[1:] < dts[:-1]].tolist()
    return joins


def _place_of(stamp: int | None, stamps: Ticks) -> int | None:
    """Return where a timestamp stands among rising ones; None when it isn't there."""
    if stamp is None:
        return None
    place = int(np.searchsorted(stamps, stamp))
    return place if place < len(stamps) and stamps[place] == stamp else None
