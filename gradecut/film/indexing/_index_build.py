"""Building an index: one pass over the packets, and a look at both ends."""

from __future__ import annotations

import os
from dataclasses import replace
from fractions import Fraction
from os import PathLike

import av
import numpy as np
from av.container import InputContainer

from gradecut.counting_words import counted
from gradecut.errors import FilmError
from gradecut.film.indexing.counted_order import count_frames
from gradecut.film.indexing.file_end import file_end
from gradecut.film.indexing.film_end import clamp_end
from gradecut.film.indexing.first_look import FirstLook
from gradecut.film.indexing.frame_index import FrameIndex, StreamFacts
from gradecut.film.indexing.frame_order import order_by_times
from gradecut.film.indexing.holes import close_holes
from gradecut.film.indexing.mp4_boxes import claimed_pictures
from gradecut.film.indexing.packet_table import MOST_FRAMES, PacketTable, read_table
from gradecut.film.indexing.stream_facts import told_facts, with_sound
from gradecut.film.opening import first_words, open_container, shown_stream

__all__ = ["build_index"]

_BARE = frozenset({"h264", "hevc", "mjpeg", "mpegvideo", "m4v", "obu", "dirac", "vvc"})
"""Formats that hold pictures and nothing else, not even times."""

_HIGH_RANGE = {16: "PQ", 18: "HLG"}
"""TransferCharacteristics of ITU-T H.273 made for brighter screens."""
_MP4_STARTS = frozenset({b"ftyp", b"moov", b"mdat", b"wide", b"free", b"skip"})


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
    _check_claim(path)
    with open_container(path) as container:
        stream, count = shown_stream(path, container)
        facts = told_facts(container, stream, count)
        look = FirstLook(stream)
        table = read_table(path, container, stream, look.see)
        look.end()
        missing = close_holes(container, stream, table)
        aspect = stream.sample_aspect_ratio
        facts = look.completed(path, facts, Fraction(aspect) if aspect else None)
        index, notes = _order(path, facts, table, look)
        index = with_sound(index, container)
        end = file_end(path, container, stream, table)
        claimed_s = _claimed_length_s(container)
    index = clamp_end(path, index, end, claimed_s)
    faults = list(index.faults)
    if missing:
        faults.append(f"damaged: {counted(missing, 'frame')} missing in the middle of it")
    if table.damaged.any():
        faults.append(f"damaged: {counted(int(table.damaged.sum()), 'frame')} marked corrupt")
    return replace(
        index,
        notes=(*notes, *_notes(index)),
        faults=tuple(faults),
        damaged=np.flatnonzero(table.damaged[index.decode_at]),
    )


def _check_claim(path: str | PathLike[str]) -> None:
    """Refuse a table that claims more pictures than there can be, before memory is taken."""
    if first_words(path, 8)[4:] not in _MP4_STARTS:
        return
    claimed = claimed_pictures(path)
    if claimed > min(MOST_FRAMES, os.path.getsize(path)):
        raise FilmError(
            path,
            f"its index claims {claimed:,} frames, more than the file can hold; it is damaged: "
            "copy it again from the camera.",
        )


def _claimed_length_s(container: InputContainer) -> Fraction | None:
    """Return how long the container says it is, when that is the picture's length."""
    # Transport streams and their like only guess their length from the file's.
    if len(container.streams) > 1 or not container.duration or "mpeg" in container.format.name:
        return None
    return Fraction(container.duration, av.time_base)


def _order(
    path: str | PathLike[str], facts: StreamFacts, table: PacketTable, look: FirstLook
) -> tuple[FrameIndex, list[str]]:
    """Put frames in presentation order: by their times, or by decoding where those fail."""
    if table.late.any():
        # Who jumps gets other times than who reads on: only counting tells frames apart.
        return count_frames(path, facts, table), []
    ordered = order_by_times(path, facts, table)
    if ordered is None:
        return count_frames(path, facts, table), [
            "its frames carry no usable times; they were counted"
        ]
    index, left_out = ordered
    if not look.keeps_word(index):
        return count_frames(path, facts, table), [
            "its pictures come out otherwise than its index says; they were counted"
        ]
    if not left_out:
        return index, []
    told = "its first frame is" if left_out == 1 else f"its first {left_out} frames are"
    return index, [f"it begins without a key picture: {told} left out"]


def _notes(index: FrameIndex) -> list[str]:
    """Return what is worth telling a person of a film."""
    facts = index.facts
    notes = []
    if facts.container in _BARE and facts.declared_rate:
        rate = f"{float(facts.declared_rate):.3f}".rstrip("0").rstrip(".")
        notes.append(f"a bare stream without times; {rate} frames a second are taken for granted")
    if index.rate is None:
        notes.append("its rate varies; every frame has its own time")
    if facts.interlaced:
        notes.append("interlaced: each frame weaves two moments, so moving men show combs")
    if facts.transfer in _HIGH_RANGE:
        notes.append(
            f"filmed in high dynamic range ({_HIGH_RANGE[facts.transfer]}): it looks pale here"
        )
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
