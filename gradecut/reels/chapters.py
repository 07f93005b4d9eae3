"""Chapters of a reel, as WebVTT (W3C): one for each piece."""

from __future__ import annotations

from fractions import Fraction
from itertools import groupby
from os import PathLike
from pathlib import Path

from gradecut.outfile import whole_file
from gradecut.reels.planned import Plan
from gradecut.timebase import cue_time

__all__ = ["Chapter", "chapters", "write_chapters"]

Chapter = tuple[Fraction, Fraction, str]
"""Start and end in seconds, and what it is called."""


def chapters(plan: Plan) -> tuple[Chapter, ...]:
    """Return a chapter for each piece that is shown, its title card included."""
    found: list[Chapter] = []
    for number, (_, run) in enumerate(groupby(plan.steps, key=lambda step: step.piece_id), start=1):
        steps = list(run)
        start = steps[0].first_frame
        stop = steps[-1].first_frame + steps[-1].frame_count
        text = steps[0].title or steps[-1].caption or f"Piece {number}"
        found.append((start / plan.rate, stop / plan.rate, text))
    return tuple(found)


def write_chapters(plan: Plan, path: str | PathLike[str]) -> Path:
    """Write a plan's chapters beside its reel and return the path.

    The syntax is that of W3C WebVTT: UTF-8, three digits of a second, ``&`` and ``<``
    escaped; ``>`` is escaped too, so that no title can hold an arrow.

    Raises
    ------
    OutputError
        When the file can't be written; nothing is left behind.
    """
    cues = "".join(
        f"\n{number}\n{cue_time(start_s)} --> {cue_time(end_s)}\n{_payload(text)}\n"
        for number, (start_s, end_s, text) in enumerate(chapters(plan), start=1)
    )
    with whole_file(path) as draft:
        draft.write_text(f"WEBVTT\n{cues}", encoding="utf-8", newline="\n")
    return Path(path)


def _payload(text: str) -> str:
    """Write a title as cue text on one line."""
    plain = " ".join(text.split())
    return plain.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
