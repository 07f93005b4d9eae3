"""Which packet becomes which frame, found by decoding the whole film once."""

from __future__ import annotations

from fractions import Fraction
from os import PathLike
from typing import NamedTuple

import av
import numpy as np
from av.video.frame import PictureType

from gradecut.errors import FilmError
from gradecut.film.decoding.packets import VideoPacket, read_packets
from gradecut.film.indexing.frame_index import FrameIndex, Keys, StreamFacts, Ticks
from gradecut.film.indexing.frame_order import keys_at, last_ticks
from gradecut.film.indexing.packet_table import UNKNOWN, PacketTable
from gradecut.film.opening import NO_FILM, open_container, shown_stream

__all__ = ["count_frames"]

_USUAL_RATE = Fraction(30)
_MOST_NUDGED = 2
"""Of so many frames one may share its time with the one before."""


def count_frames(path: str | PathLike[str], facts: StreamFacts, table: PacketTable) -> FrameIndex:
    """Decode the whole film once to learn which packet becomes which frame.

    Raises
    ------
    FilmError
        When nothing decodes.
    """
    found = _decode_all(path)
    if not found:
        raise FilmError(path, f"no frame of it can be decoded, so {NO_FILM}.")
    places = np.array([one.place for one in found], dtype=np.int64)
    told = np.array([UNKNOWN if one.pts is None else one.pts for one in found], dtype=np.int64)
    told = np.where(told == UNKNOWN, UNKNOWN, told + table.late[places])
    whole = places[[one.is_key for one in found]]
    pts = _times(facts, table, places, told)
    return FrameIndex(
        facts=facts,
        pts=pts,
        decode_at=places,
        keys=_findable_keys(table, int(places.min()), whole),
        last_ticks=last_ticks(pts, 0),
        counted=True,
    )


def _times(facts: StreamFacts, table: PacketTable, places: Ticks, told: Ticks) -> Ticks:
    """Return rising times: the pictures' own, the packets' in order, or a steady beat."""
    for times in (told, table.dts[places]):
        known = bool((times != UNKNOWN).all())
        if known and len(np.unique(times)) == len(times):
            # A file that stores times in decode order still has the right set of them.
            return np.sort(times)
        if known and bool((np.diff(times) >= 0).all()):
            nudged = _nudged(times)
            if nudged is not None:
                return nudged
    rate = facts.declared_rate or _USUAL_RATE
    step = max(round(1 / (rate * facts.time_base)), 1)
    return np.arange(len(places), dtype=np.int64) * step


def _nudged(times: Ticks) -> Ticks | None:
    """Move frames that share a time a tick on; None when they are many or have no room."""
    moved = times.copy()
    shared = np.flatnonzero(np.diff(times) == 0) + 1
    if len(shared) * _MOST_NUDGED > len(times):
        return None
    for place in shared:
        moved[place] = moved[place - 1] + 1
    return moved if bool((np.diff(moved) > 0).all()) else None


def _findable_keys(table: PacketTable, first: int, whole: Ticks) -> Keys:
    """Return the keys a byte position finds again; only the start where none does.

    Parameters
    ----------
    whole : (K,) int64
        Places that became whole pictures, in order shown.
    """
    # A placeholder packet may be marked as a key; one that decodes to none is no entry.
    # Where keys are not shown in the order they are stored, the later one is none either.
    rising = whole[whole >= np.maximum.accumulate(whole)] if len(whole) else whole
    keys = np.intersect1d(np.flatnonzero(table.key), rising)
    pos = table.pos[keys]
    findable = len(np.unique(pos)) == len(pos) and bool((pos >= 0).all())
    dated = findable and bool((table.dts != UNKNOWN).all())
    rest = keys[keys > first] if dated else keys[:0]
    return keys_at(table, np.concatenate([[first], rest]).astype(np.int64))


class _Found(NamedTuple):
    """A picture: the packet it came from, its time, and whether it is whole by itself."""

    place: int
    pts: int | None
    is_key: bool


def _decode_all(path: str | PathLike[str]) -> list[_Found]:
    """Return every picture in order shown."""
    found: dict[int, _Found] = {}
    with open_container(path) as container:
        stream, _ = shown_stream(path, container)
        context = stream.codec_context
        context.thread_count = 1
        context.copy_opaque = True
        packets = enumerate(read_packets(container, stream))
        following: tuple[int, VideoPacket] | None
        while True:
            following = next(packets, None)
            try:
                if following is not None:
                    following[1].opaque = (following[0],)
                pictures = context.decode(None if following is None else following[1])
            except (av.FFmpegError, OSError, ValueError):
                pictures = []
            for picture in pictures:
                if isinstance(picture.opaque, tuple):
                    place = int(picture.opaque[0])
                    is_key = bool(picture.key_frame) or picture.pict_type == PictureType.I
                    found.setdefault(place, _Found(place, picture.pts, is_key))
            if following is None:
                return list(found.values())
