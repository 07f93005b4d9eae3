"""Observations and looks from a sheet, as a coach keeps them by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from os import PathLike

from gradecut.book import Book
from gradecut.errors import BookError, InputError
from gradecut.records import Clip, Player, Rubric
from gradecut.reports.packet import SAID_OWED
from gradecut.scheme import Scheme, Value
from gradecut.workflows.answers import record_answers
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.looks import read_value, tell_facts
from gradecut.workflows.observation_lines import (
    JUDGING_COLUMNS,
    MOMENT_COLUMNS,
    PLACE_COLUMNS,
    ObservationLines,
    noted,
)
from gradecut.workflows.roster import why_no_grader
from gradecut.workflows.sheet_places import SheetPlaces
from gradecut.workflows.sheets import Faults, SheetRow, read_sheet

__all__ = ["Recorded", "observation_columns", "record_looks", "record_observations"]

_PLACE = ("play", "session", "angle", "position", "player")
_HOW = ("how", "flag")


@dataclass(frozen=True, slots=True, kw_only=True)
class Recorded:
    """What a sheet came to: lines read, moments marked, reps judged, looks told."""

    lines: int = 0
    moments: int = 0
    judged: int = 0
    looks: int = 0


def observation_columns(scheme: Scheme | None) -> tuple[str, ...]:
    """Return the columns an observations sheet may have; only ``play`` is needed."""
    rubric = scheme.rubric if scheme else Rubric()
    columns = (*MOMENT_COLUMNS, *JUDGING_COLUMNS, *rubric.technique, *PLACE_COLUMNS)
    return (*_PLACE, *columns, *_HOW)


def record_observations(book: Book, path: str | PathLike[str]) -> Recorded:
    """Record a sheet of observations: one line a man and play, or a play alone.

    ``did`` holds "right", the fit he played instead, or the miss; ``cannot_grade`` the
    reason. ``lined_up`` holds "right", "can't tell", or how he was off, such as "too deep"
    ("too deep; too wide" where it was both). Frames count from 0 in the film of the line's
    angle. Places are pixels, "x y": where his feet were at the snap, where his fit was, where
    he went.

    A sheet with a column ``says_owed`` holds a player's own answers, and is kept under
    his name whoever brings it in (see ``record_answers``).

    Raises
    ------
    InputError
        With every fault and its line; the book then stays as it was.
    BookError
        When the grader is on the roster: his grades would count as a player's own.
    """
    scheme = scheme_in_force(book)
    known = (*observation_columns(scheme)[1:], SAID_OWED)
    rows = read_sheet(path, needed=("play",), known=known)
    if SAID_OWED in rows[0].values:
        return Recorded(lines=len(rows), judged=len(record_answers(book, path).grades))
    if refusal := why_no_grader(book.author, book.find(Player)):
        raise BookError(f"{refusal.removesuffix('.')} (--grader).")
    faults = Faults(path)
    lines = ObservationLines(book, scheme, faults)
    with book.act("bring in a sheet of grades"):
        for row in rows:
            lines.take(row)
        faults.raise_any()
    return Recorded(lines=len(rows), moments=lines.moments, judged=lines.judged)


def record_looks(book: Book, path: str | PathLike[str]) -> Recorded:
    """Record a sheet of looks: ``play`` and any references of the scheme's facts.

    Raises
    ------
    InputError
        With every fault and its line; the book then stays as it was.
    """
    scheme = scheme_in_force(book)
    if scheme is None:
        raise InputError(path, [(0, "the book has no scheme yet, so it knows no facts.")])
    rows = read_sheet(path, needed=("play",), known=("session", *scheme.references))
    faults = Faults(path)
    places = SheetPlaces(book, faults)
    looks = 0
    with book.act("bring in a sheet of looks"):
        for row in rows:
            clip = places.clip(row)
            if clip is not None:
                said = noted(partial(_tell_look, book, scheme, clip, row), row, faults)
                looks += said is not None
        faults.raise_any()
    return Recorded(lines=len(rows), looks=looks)


def _tell_look(book: Book, scheme: Scheme, clip: Clip, row: SheetRow) -> Mapping[str, Value]:
    told = {
        reference: read_value(scheme.fact_of(reference), row.text(reference))
        for reference in scheme.references
        if row.text(reference)
    }
    return tell_facts(book, scheme, clip, told, source="marked")
