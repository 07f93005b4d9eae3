"""Building an index: one pass over the packets, a look at the first and the last frames."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from os import PathLike
from typing import TypeVar

import av
import numpy as np
from av.container import InputContainer
from av.video.stream import VideoStream

from gradecut.errors import FilmError
from gradecut.film.frame_index import FrameIndex, Keys, StreamFacts, Ticks
from gradecut.film.opening import NO_FILM, check_size, open_container, shown_stream
from gradecut.film.packets import read_packets
from gradecut.film.picture import (
    MATRIX_UNTOLD,
    displayed_size,
    is_full_range,
    turning_of,
)
from gradecut.film.runner import Runner

__all__ = ["build_index"]

MOST_FRAMES = 20_000_000
_LONGEST_TAIL = 600
"""Most frames looked at behind the last key: ten seconds at 60 a second."""
_LONGEST_REORDER = 4
_SURE_BEAT = 12
"""Frames it takes to be sure of a beat."""
_UNKNOWN = np.iinfo(np.int64).min
_Answer = TypeVar("_Answer")


@dataclass
class _Table:
    """What each packet says, in file order."""

    pts: list[int] = field(default_factory=list)
    dts: list[int] = field(default_factory=list)
    pos: list[int] = field(default_factory=list)
    duration: list[int] = field(default_factory=list)
    key: list[bool] = field(default_factory=list)
    discard: list[bool] = field(default_factory=list)
    damaged: list[bool] = field(default_factory=list)

    def add(self, packet: av.Packet[VideoStream]) -> None:
        self.pts.append(_UNKNOWN if packet.pts is None else packet.pts)
        self.dts.append(_UNKNOWN if packet.dts is None else packet.dts)
        self.pos.append(-1 if packet.pos is None else packet.pos)
        self.duration.append(packet.duration or 0)
        self.key.append(packet.is_keyframe)
        self.discard.append(packet.is_discard)
        self.damaged.append(packet.is_corrupt)

    def __len__(self) -> int:
        return len(self.pts)


def build_index(path: str | PathLike[str]) -> FrameIndex:
    """Build the index of a film by reading all its packets, decoding next to nothing.

    Parameters
    ----------
    path : path
        The film. Read it in a child process when nobody has opened it before: a hostile
        file can crash a decoder.

    Raises
    ------
    FilmError
        One sentence when the file is no film, or nothing in it can be shown.
    """
    with open_container(path) as container:
        stream, count = shown_stream(path, container)
        facts = _facts(container, stream, count)
        table = _read_table(path, container, stream)
        claimed = stream.frames
        claimed_s = _claimed_length_s(container)
    index, notes = _order(path, facts, table)
    index = _look_at_first(path, index)
    index, lost = _clamp_tail(path, index)
    if not claimed:
        index, ragged = _clamp_ragged(index)
        lost += ragged
    faults = list(index.faults)
    cut_off = False
    short_s = claimed_s - (index.pts[-1] - index.pts[0]) * facts.time_base if claimed_s else 0
    if not lost and claimed <= len(table) and short_s > 1:
        cut_off = True
        faults.append(f"its end is cut off: about {float(short_s):.0f} s are missing")
    if claimed > len(table) or lost:
        gone = max(claimed - len(table), 0) + lost
        told = "the last frame" if gone == 1 else f"the last {gone} frames"
        cut_off = True
        faults.append(f"its end is cut off or damaged: {told} can't be shown")
    if any(table.damaged):
        faults.append(f"damaged: {_frames(sum(table.damaged))} marked corrupt")
    marked = np.array(table.damaged, dtype=np.int64)[index.decode_at]
    return replace(
        index,
        notes=(*notes, *_notes(index)),
        faults=tuple(faults),
        cut_off=cut_off,
        damaged=np.flatnonzero(marked),
    )


def _facts(container: InputContainer, stream: VideoStream, count: int) -> StreamFacts:
    """Return what the container says; the first frame completes it."""
    context = stream.codec_context
    rate = stream.guessed_rate or stream.average_rate
    return StreamFacts(
        stream=stream.index,
        container=container.format.name,
        codec=context.name,
        pixel_format=context.pix_fmt or "",
        coded_width_px=context.width,
        coded_height_px=context.height,
        width_px=context.width,
        height_px=context.height,
        quarter_turns=0,
        mirrored=False,
        matrix=MATRIX_UNTOLD,
        full_range=False,
        interlaced=False,
        sound=bool(container.streams.audio),
        video_streams=count,
        time_base=Fraction(stream.time_base or Fraction(1, 90_000)),
        declared_rate=Fraction(rate) if rate else None,
    )


def _claimed_length_s(container: InputContainer) -> Fraction | None:
    """Return how long the container says it is, when that is the picture's length."""
    # Transport streams and their like only guess their length from the file's.
    if len(container.streams) > 1 or not container.duration or "mpegts" in container.format.name:
        return None
    return Fraction(container.duration, av.time_base)


def _read_table(
    path: str | PathLike[str], container: InputContainer, stream: VideoStream
) -> _Table:
    table = _Table()
    for packet in read_packets(container, stream):
        table.add(packet)
        if len(table) > MOST_FRAMES:
            raise FilmError(
                path, f"it claims more than {MOST_FRAMES:,} frames; cut it into shorter films."
            )
    if not len(table):
        raise FilmError(path, "it holds no frames at all; copy it again from the camera.")
    return table


def _order(
    path: str | PathLike[str], facts: StreamFacts, table: _Table
) -> tuple[FrameIndex, list[str]]:
    """Put frames in presentation order, by their times or, without times, by decoding."""
    pts = np.array(table.pts, dtype=np.int64)
    shown = ~np.array(table.discard, dtype=bool)
    timed = pts[shown]
    if (timed == _UNKNOWN).any() or len(np.unique(timed)) != len(timed):
        return _count(path, facts, table), ["its frames carry no usable times; they were counted"]
    first_key = table.key.index(True) if any(table.key) else 0
    # Before the first key, in decode order or on screen, nothing can be decoded.
    shown &= (np.arange(len(pts)) >= first_key) & (pts >= pts[first_key])
    places = np.flatnonzero(shown)
    places = places[np.argsort(pts[places], kind="stable")]
    if not len(places):
        raise FilmError(path, f"no frame of it can be shown; {NO_FILM}.")
    index = FrameIndex(
        facts=facts,
        pts=pts[places],
        decode_at=places.astype(np.int64),
        keys=_keys(table, first_key),
        last_ticks=_last_ticks(pts[places], table.duration[int(places[-1])]),
        counted=False,
    )
    left_out = int(len(timed) - len(places))
    return index, (
        [f"it begins without a key picture: its first {_frames(left_out)} are left out"]
        if left_out
        else []
    )


def _keys(table: _Table, first_key: int) -> Keys:
    """Return the keys whose times rise with their places; others are no safe entry."""
    chosen: list[int] = []
    for place in range(first_key, len(table)):
        known = table.pts[place] != _UNKNOWN
        rises = not chosen or table.pts[place] > table.pts[chosen[-1]]
        if place == first_key or (table.key[place] and known and rises):
            chosen.append(place)
    return _keys_at(table, chosen)


def _keys_at(table: _Table, chosen: list[int]) -> Keys:
    at = np.array(chosen, dtype=np.int64)
    pts = np.array(table.pts, dtype=np.int64)[at]
    dts = np.array(table.dts, dtype=np.int64)[at]
    return Keys(
        decode_at=at,
        pts=pts,
        dts=np.where(dts == _UNKNOWN, pts, dts),
        pos=np.array(table.pos, dtype=np.int64)[at],
    )


def _last_ticks(pts: Ticks, told: int) -> int:
    """Return how long the last frame stands: as told, or as long as most."""
    if told > 0 or len(pts) < 2:
        return max(told, 1)
    return int(np.median(np.diff(pts)))


def _count(path: str | PathLike[str], facts: StreamFacts, table: _Table) -> FrameIndex:
    """Decode the whole film once to learn which packet becomes which frame."""
    places: list[int] = []
    pts: list[int] = []
    for place, told in _decode_all(path):
        places.append(place)
        pts.append(_UNKNOWN if told is None else told)
    if not places:
        raise FilmError(path, f"no frame of it can be decoded; {NO_FILM}.")
    times = np.array(pts, dtype=np.int64)
    if (times == _UNKNOWN).any() or (np.diff(times) <= 0).any():
        rate = facts.declared_rate or Fraction(30)
        step = max(round(1 / (rate * facts.time_base)), 1)
        times = np.arange(len(places), dtype=np.int64) * step
    return FrameIndex(
        facts=facts,
        pts=times,
        decode_at=np.array(places, dtype=np.int64),
        keys=_counted_keys(table, min(places)),
        last_ticks=_last_ticks(times, 0),
        counted=True,
    )


def _counted_keys(table: _Table, first: int) -> Keys:
    """Return the keys a byte position finds again; only the start where none does."""
    positions = [table.pos[place] for place in range(len(table)) if table.key[place]]
    findable = len(set(positions)) == len(positions) and -1 not in positions
    dated = findable and _UNKNOWN not in table.dts
    rest = [place for place in range(first + 1, len(table)) if dated and table.key[place]]
    return _keys_at(table, [first, *rest])


def _decode_all(path: str | PathLike[str]) -> list[tuple[int, int | None]]:
    """Return for every picture, in order shown, the packet it came from and its time."""
    found: dict[int, int | None] = {}
    with open_container(path) as container:
        stream, _ = shown_stream(path, container)
        context = stream.codec_context
        context.copy_opaque = True
        packets = enumerate(read_packets(container, stream))
        following: tuple[int, av.Packet[VideoStream]] | None
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
                    found.setdefault(picture.opaque[0], picture.pts)
            if following is None:
                return list(found.items())


def _look_at_first(path: str | PathLike[str], index: FrameIndex) -> FrameIndex:
    """Complete the facts from the first frame that decodes."""
    picture = _first_picture(path, index)
    turns, mirrored = turning_of(picture)
    facts = index.facts
    with open_container(path) as container:
        stream = next(s for s in container.streams.video if s.index == facts.stream)
        aspect = stream.sample_aspect_ratio
    width, height = displayed_size(
        picture.width, picture.height, Fraction(aspect) if aspect else None, turns
    )
    check_size(path, width, height)
    return replace(
        index,
        facts=replace(
            facts,
            pixel_format=picture.format.name,
            coded_width_px=picture.width,
            coded_height_px=picture.height,
            width_px=width,
            height_px=height,
            quarter_turns=turns,
            mirrored=mirrored,
            matrix=int(picture.colorspace),
            full_range=is_full_range(picture),
            interlaced=picture.interlaced_frame,
        ),
    )


def _first_picture(path: str | PathLike[str], index: FrameIndex) -> av.VideoFrame:
    return _with_runner(path, index, _first_of)


def _first_of(path: str | PathLike[str], runner: Runner) -> av.VideoFrame:
    while not runner.ended:
        for _, picture in runner.advance():
            if picture is not None:
                return picture
    raise FilmError(path, f"no frame of it can be decoded; {NO_FILM}.")


def _clamp_tail(path: str | PathLike[str], index: FrameIndex) -> tuple[FrameIndex, int]:
    """Drop the frames at the end that don't decode, and say how many they were."""
    first = int(index.first_of_key[-1])
    if not 0 < len(index) - first <= _LONGEST_TAIL:
        return index, 0

    keep = _with_runner(path, index, _last_good) + 1
    if keep == len(index) or not keep:
        return index, 0
    return _shortened(index, keep), len(index) - keep


def _clamp_ragged(index: FrameIndex) -> tuple[FrameIndex, int]:
    """Drop frames behind a cut whose neighbours on screen were to come after them in the file.

    Only where the container doesn't say how many frames it holds, the film decodes out of
    order, and it keeps a steady beat up to a hole of whole beats near its very end.
    """
    reordered = bool((np.diff(index.decode_at) < 0).any())
    if index.rate is None and not index.counted and reordered:
        for ragged in range(1, min(_LONGEST_REORDER, len(index) - _SURE_BEAT) + 1):
            shorter = _shortened(index, len(index) - ragged)
            if shorter.rate is not None:
                hole = int(index.pts[-ragged] - shorter.pts[-1]) * index.facts.time_base
                beats = hole * shorter.rate
                whole = abs(beats - round(beats)) * 20 < 1
                return (shorter, ragged) if beats > Fraction(3, 2) and whole else (index, 0)
    return index, 0


def _shortened(index: FrameIndex, keep: int) -> FrameIndex:
    return replace(
        index,
        pts=index.pts[:keep],
        decode_at=index.decode_at[:keep],
        last_ticks=_last_ticks(index.pts[:keep], 0),
    )


def _last_good(_path: str | PathLike[str], runner: Runner) -> int:
    """Return the last frame that decodes, entering earlier when the last key is no help."""
    index = runner.index
    good = -1
    for steps in (0, 1, 3):
        runner.enter(max(len(index.keys) - 1 - steps, 0))
        while not runner.ended:
            shown = [number for number, picture in runner.advance() if picture is not None]
            good = max([good, *shown])
        if good == len(index) - 1:
            break
    return good


def _with_runner(
    path: str | PathLike[str],
    index: FrameIndex,
    act: Callable[[str | PathLike[str], Runner], _Answer],
) -> _Answer:
    runner = Runner(path, index)
    try:
        return act(path, runner)
    finally:
        runner.close()


def _notes(index: FrameIndex) -> list[str]:
    """Say what a coach may wonder about."""
    facts = index.facts
    notes = []
    if index.rate is None:
        notes.append("its rate varies; every frame has its own time")
    if facts.interlaced:
        notes.append("interlaced: each frame weaves two moments, so moving men show combs")
    if facts.quarter_turns or facts.mirrored:
        turned = f"turned {90 * facts.quarter_turns}°" if facts.quarter_turns else ""
        mirrored = "mirrored" if facts.mirrored else ""
        notes.append(f"shown {' and '.join(filter(None, [mirrored, turned]))}, as it asks for")
    if facts.video_streams > 1:
        notes.append(
            f"it holds {facts.video_streams} pictures; stream {facts.stream} is shown "
            f"({facts.width_px} x {facts.height_px} px)"
        )
    return notes


def _frames(count: int) -> str:
    return f"{count} frame" if count == 1 else f"{count} frames"
