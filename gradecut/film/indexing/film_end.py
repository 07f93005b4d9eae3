"""The end of a film: what is missing, and what of it can't be decoded."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from os import PathLike

import numpy as np

from gradecut.film.decoding.runner import Runner
from gradecut.film.indexing.file_end import FileEnd
from gradecut.film.indexing.frame_index import FrameIndex
from gradecut.film.indexing.frame_order import last_ticks

__all__ = ["clamp_end"]

_LONGEST_TAIL = 600
"""Most frames looked at behind the last key: ten seconds at 60 a second."""
_LONGEST_REORDER = 4
_SURE_BEAT = 12
"""Frames it takes to be sure of a beat."""


def clamp_end(
    path: str | PathLike[str], index: FrameIndex, end: FileEnd, claimed_s: Fraction | None
) -> FrameIndex:
    """End a film where it decodes, and tell what is missing.

    Where the container vouches for the file's end nothing is decoded; a frame that is
    damaged all the same is refused when it is asked for. Otherwise the frames behind the
    last key are decoded once.

    Parameters
    ----------
    claimed_s : Fraction or None
        How long the container says the pictures last.
    """
    if end.whole:
        return index
    index, lost = _clamp_tail(path, index)
    if not end.missing:
        index, ragged = _clamp_ragged(index)
        lost += ragged
    gone = end.missing + lost
    if gone:
        told = "the last frame" if gone == 1 else f"the last {gone} frames"
        said = f"its end is cut off or damaged: {told} can't be shown"
    else:
        short_s = _short_s(index, claimed_s)
        if short_s <= 1 and not end.cut_off:
            return index
        said = "its end is cut off"
        if short_s > 1:
            said += f": about {float(short_s):.0f} s are missing"
    return replace(index, cut_off=True, faults=(*index.faults, said))


def _short_s(index: FrameIndex, claimed_s: Fraction | None) -> Fraction:
    """Return how much shorter the film is than it says."""
    if claimed_s is None:
        return Fraction(0)
    ticks = int(index.pts[-1] - index.pts[0]) + index.last_ticks
    return claimed_s - ticks * index.facts.time_base


def _clamp_tail(path: str | PathLike[str], index: FrameIndex) -> tuple[FrameIndex, int]:
    """Drop the frames at the end that don't decode, and say how many they were."""
    first = int(index.first_of_key[-1])
    if not 0 < len(index) - first <= _LONGEST_TAIL:
        return index, 0
    runner = Runner(path, index)
    try:
        keep = _last_good(runner) + 1
    finally:
        runner.close()
    if keep == len(index) or not keep:
        return index, 0
    return _shortened(index, keep), len(index) - keep


def _last_good(runner: Runner) -> int:
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
        last_ticks=last_ticks(index.pts[:keep], 0),
    )
