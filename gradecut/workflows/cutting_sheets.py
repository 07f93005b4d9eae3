"""The plays of a recording as a sheet a coach can correct: play, from, to."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from os import PathLike
from pathlib import Path

from gradecut.film import Film, open_film
from gradecut.outfile import whole_file
from gradecut.records import Stretch
from gradecut.timebase import pts_at
from gradecut.workflows.sheets import Faults, SheetRow, read_sheet, whole_number

__all__ = ["SheetPlays", "clock_of", "read_clock", "read_stretches", "write_stretches"]

_COLUMNS = ("play", "from", "to")
_MORE = ("sure", "why")
_CLOCK = re.compile(r"(?:(?:(\d{1,3}):)?(\d{1,3}):)?(\d{1,6})(?:[.,](\d{1,9}))?")


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPlays:
    """The plays of a sheet, as it was corrected.

    Attributes
    ----------
    plays : tuple of Stretch or None
        In order, counted from 1 on; None for a play the recording lacks.
    notes : tuple of str
        Which lines were taken out, and how the others count on.
    """

    plays: tuple[Stretch | None, ...]
    notes: tuple[str, ...] = ()


def clock_of(time_s: Fraction) -> str:
    """Write seconds as ``h:mm:ss.fff``.

    >>> clock_of(Fraction(3723400, 1000))
    '1:02:03.400'
    """
    thousandths = pts_at(time_s, Fraction(1, 1000))
    seconds, rest = divmod(int(thousandths), 1000)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02d}:{seconds:02d}.{rest:03d}"


def read_clock(text: str) -> Fraction | None:
    """Read ``h:mm:ss.fff``, ``m:ss`` or seconds; None for anything else.

    >>> read_clock("1:02:03.4")
    Fraction(18617, 5)
    """
    found = _CLOCK.fullmatch(text.strip())
    if found is None or not text.isascii():
        return None
    hours, minutes, seconds, part = found.groups()
    if (minutes and int(seconds) > 59) or (hours and int(minutes) > 59):
        return None
    whole = 3600 * int(hours or 0) + 60 * int(minutes or 0) + int(seconds)
    return whole + (Fraction(int(part), 10 ** len(part)) if part else Fraction(0))


def write_stretches(
    sheet: str | PathLike[str],
    stretches: Sequence[Stretch | None],
    path: str | PathLike[str],
) -> None:
    """Write the plays of a recording as a CSV sheet.

    Parameters
    ----------
    sheet : path
        Where to write; appears whole or not at all.
    stretches : sequence of Stretch or None
        None for a play the recording does not show: its line has no times.
    path : path
        The recording.

    Raises
    ------
    FilmError, OutputError
    """
    with (
        open_film(path) as film,
        whole_file(sheet) as draft,
        open(draft, "w", encoding="utf-8", newline="") as file,
    ):
        out = csv.writer(file)
        out.writerow([*_COLUMNS, *_MORE])
        for number, one in enumerate(stretches, start=1):
            if one is None:
                out.writerow([number, "", "", "", ""])
                continue
            times = [
                clock_of(film.time_of(film.frame_at_pts(pts)))
                for pts in (one.start_pts, one.stop_pts)
            ]
            out.writerow([number, *times, f"{one.confidence:.2f}", " ".join(one.why)])


def read_stretches(sheet: str | PathLike[str], path: str | PathLike[str]) -> SheetPlays:
    """Read the plays of a recording from a sheet; a line without times is a play it lacks.

    A line that was taken out is a play that was dropped: those after it count on, as they do
    on the strip.

    Parameters
    ----------
    sheet : path
        A CSV with the columns play, from and to; times are ``h:mm:ss.fff``, ``m:ss`` or
        seconds from the film's first frame, and mean the nearest frame. Plays rise.
    path : path
        The recording.

    Raises
    ------
    InputError
        With every fault and its line.
    FilmError
        When the recording can't be opened.
    """
    rows = read_sheet(sheet, needed=_COLUMNS, known=_MORE)
    faults = Faults(sheet)
    numbers = _numbers(rows, faults)
    plays: list[Stretch | None] = []
    last: Stretch | None = None
    with open_film(path) as film:
        for row in rows:
            one = _read(film, row, faults)
            if one is not None and last is not None and one.start_pts <= last.stop_pts:
                faults.add(row.line, "begins before the play ahead of it ends.")
            last = one or last
            plays.append(one)
    faults.raise_any()
    return SheetPlays(plays=tuple(plays), notes=_dropped_words(Path(sheet).name, numbers))


def _numbers(rows: Sequence[SheetRow], faults: Faults) -> list[int]:
    """Read the numbers of the plays, which must rise."""
    numbers: list[int] = []
    for row in rows:
        number, before = whole_number(row.text("play")), numbers[-1] if numbers else 0
        if number is None or number <= before:
            after = f"a number above {before}" if before else "a number from 1 on"
            faults.add(row.line, f"“{row.text('play')}” should be {after}: plays count up.")
        else:
            numbers.append(number)
    return numbers


def _dropped_words(name: str, numbers: Sequence[int]) -> tuple[str, ...]:
    """Tell which numbers are missing, and by one play how the others count now."""
    gaps = [
        (before + 1, number - 1)
        for before, number in pairwise([0, *numbers])
        if number > before + 1
    ]
    if not gaps:
        return ()
    told = [f"{first}" if first == last else f"{first} to {last}" for first, last in gaps]
    many = len(gaps) > 1 or gaps[0][0] < gaps[0][1]
    listed = f"{', '.join(told[:-1])} and {told[-1]}" if len(told) > 1 else told[0]
    plays, were = ("Plays", "were") if many else ("Play", "was")
    after = gaps[0][1] + 1
    return (
        f"{plays} {listed} of {name} {were} taken out, and those after count on: play {after} of "
        f"the sheet is play {numbers.index(after) + 1} now. A play that this film does not show "
        "keeps its number when its line stays and only its times are emptied.",
    )


def _read(film: Film, row: SheetRow, faults: Faults) -> Stretch | None:
    """Read one line; None where it has no times, or has a fault."""
    texts = [row.text("from"), row.text("to")]
    if not any(texts):
        return None
    times = [read_clock(text) for text in texts]
    for text, time in zip(texts, times, strict=True):
        if time is None:
            faults.add(row.line, f"“{text}” is no time; write it as 0:12:34.500.")
    start_s, stop_s = times
    if start_s is None or stop_s is None:
        return None
    if stop_s <= start_s:
        faults.add(row.line, "ends before it begins.")
        return None
    if stop_s > film.duration_s:
        faults.add(row.line, f"ends after the film, which is {clock_of(film.duration_s)} long.")
        return None
    first = film.pts_of(0)
    edges = [
        film.pts_of(film.frame_at_pts(first + pts_at(time, film.time_base)))
        for time in (start_s, stop_s)
    ]
    return Stretch(start_pts=edges[0], stop_pts=edges[1])
