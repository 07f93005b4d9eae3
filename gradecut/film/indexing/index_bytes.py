"""An index as bytes: small enough to lie in a book, checked before it is believed."""

from __future__ import annotations

import hashlib
import json
import zlib
from dataclasses import asdict
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np

from gradecut.film.indexing.frame_index import FrameIndex, Keys, StreamFacts, Ticks

__all__ = ["load_index", "pack", "unpack"]

_MAGIC = b"gradecut frame index 3\n"
_CHECK_BYTES = 16
_MOST_BYTES = 1 << 31
"""Of an index unpacked; twenty million frames need a fraction of it."""
_WIDTHS = {1: "<i1", 2: "<i2", 4: "<i4", 8: "<i8"}
"""Whole numbers by their bytes."""
_FRACTIONS = ("time_base", "declared_rate", "pixel_aspect", "sound_start_s", "sound_length_s")
_NO_INDEX = "This is no frame index we know."
_DAMAGED = "This frame index is damaged."


def pack(index: FrameIndex) -> bytes:
    """Write an index as bytes.

    A mark and a checksum, then squeezed: a line of JSON with the facts, then the arrays.
    Each array is written as its first number, its first step, and by how much each step
    changes, in the narrowest whole numbers that hold it: a steady film is nearly all noughts.
    """
    keys = index.keys
    # A byte position is needed again only where no time finds the key.
    pos = keys.pos if index.counted else np.full(len(keys), -1, dtype=np.int64)
    numbers = np.arange(len(index), dtype=np.int64)
    arrays = {
        "pts": index.pts,
        "decode_at": index.decode_at - numbers,
        "key_decode_at": keys.decode_at,
        "key_pts": keys.pts,
        "key_lead": keys.pts - keys.dts,
        "key_pos": pos,
        "damaged": index.damaged,
    }
    written = {name: _changes(array) for name, array in arrays.items()}
    facts: dict[str, Any] = asdict(index.facts)
    for name in _FRACTIONS:
        facts[name] = None if facts[name] is None else str(facts[name])
    head = {
        "facts": facts,
        "arrays": [_told(name, array, written[name]) for name, array in arrays.items()],
        "last_ticks": index.last_ticks,
        "counted": index.counted,
        "notes": index.notes,
        "faults": index.faults,
        "cut_off": index.cut_off,
    }
    line = json.dumps(head, separators=(",", ":")).encode() + b"\n"
    body = zlib.compress(line + b"".join(changes.tobytes() for changes in written.values()), 6)
    return _MAGIC + _checksum(body) + body


def _told(name: str, array: Ticks, changes: Ticks) -> tuple[str, int, int, int, int]:
    """Return what is needed to rebuild an array from its changes."""
    first = int(array[0]) if len(array) else 0
    step = int(array[1] - array[0]) if len(array) > 1 else 0
    return name, changes.itemsize, len(array), first, step


def unpack(data: bytes) -> FrameIndex:
    """Read back what ``pack`` wrote.

    Raises
    ------
    ValueError
        When the bytes are anything else, or damaged.
    """
    if not data.startswith(_MAGIC):
        raise ValueError(_NO_INDEX)
    start = len(_MAGIC) + _CHECK_BYTES
    body = data[start:]
    if _checksum(body) != data[len(_MAGIC) : start]:
        raise ValueError(_DAMAGED)
    try:
        return _read(_unsqueezed(body))
    except (KeyError, TypeError, AttributeError, ZeroDivisionError, zlib.error) as error:
        # The checksum keeps accidents out, not a program that writes other fields.
        raise ValueError(_NO_INDEX) from error


def load_index(path: Path) -> FrameIndex:
    """Read an index file.

    Raises
    ------
    ValueError
        When it is no index or damaged.
    OSError
        When it can't be read.
    """
    return unpack(path.read_bytes())


def _unsqueezed(body: bytes) -> bytes:
    """Undo the squeezing, within bounds: a book may come from anywhere."""
    squeezed = zlib.decompressobj()
    plain = squeezed.decompress(body, _MOST_BYTES)
    if not squeezed.eof:
        raise ValueError(_DAMAGED)
    return plain


def _read(plain: bytes) -> FrameIndex:
    line, _, body = plain.partition(b"\n")
    head = json.loads(line)
    arrays: dict[str, Ticks] = {}
    start = 0
    for name, width, length, first, step in head["arrays"]:
        count = max(length - 2, 0)
        changes = np.frombuffer(body, dtype=_WIDTHS[width], count=count, offset=start)
        start += changes.nbytes
        arrays[name] = _rebuilt(length, first, step, changes)
    facts = head["facts"]
    for name in _FRACTIONS:
        facts[name] = None if facts[name] is None else Fraction(facts[name])
    index = FrameIndex(
        facts=StreamFacts(**facts),
        pts=arrays["pts"],
        decode_at=arrays["decode_at"] + np.arange(len(arrays["pts"]), dtype=np.int64),
        keys=Keys(
            decode_at=arrays["key_decode_at"],
            pts=arrays["key_pts"],
            dts=arrays["key_pts"] - arrays["key_lead"],
            pos=arrays["key_pos"],
        ),
        last_ticks=head["last_ticks"],
        counted=head["counted"],
        notes=tuple(head["notes"]),
        faults=tuple(head["faults"]),
        cut_off=head["cut_off"],
        damaged=arrays["damaged"],
    )
    _check(index)
    return index


def _check(index: FrameIndex) -> None:
    """Refuse an index that would lead astray."""
    sound = (
        len(index) > 0
        and len(index.keys) > 0
        and bool((np.diff(index.pts) > 0).all())
        and bool((np.diff(index.keys.decode_at) > 0).all())
        and int(index.decode_at.min()) >= 0
        and int(index.decode_at.max()) < 100 * len(index) + 1_000_000
        and index.facts.time_base > 0
    )
    if not sound:
        raise ValueError(_NO_INDEX)


def _changes(array: Ticks) -> Ticks:
    """Return by how much each step changes, in the narrowest whole numbers that hold it."""
    changes = np.diff(array, n=2)
    lowest, highest = int(changes.min(initial=0)), int(changes.max(initial=0))
    for width in _WIDTHS.values():
        holds = np.iinfo(np.dtype(width))
        if holds.min <= lowest and highest <= holds.max:
            break
    return changes.astype(width)


def _rebuilt(length: int, first: int, step: int, changes: Ticks) -> Ticks:
    """Add up changes to steps and steps to the numbers they were."""
    array = np.empty(length, dtype=np.int64)
    array[:1] = first
    array[1:2] = step
    array[2:] = changes
    np.cumsum(array[1:], out=array[1:])
    np.cumsum(array, out=array)
    return array


def _checksum(body: bytes) -> bytes:
    return hashlib.blake2b(body, digest_size=_CHECK_BYTES).digest()
