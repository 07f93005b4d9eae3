"""Observations and looks from a sheet, as a coach keeps them by hand."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from os import PathLike
from typing import TypeVar, get_args

from gradecut.book import Book
from gradecut.errors import GradecutError, InputError
from gradecut.hints import nearest
from gradecut.records import (
    Angle,
    Clip,
    Did,
    Flag,
    How,
    Mark,
    MomentKind,
    Rep,
    Rubric,
    StoredFilm,
)
from gradecut.reports.packet import SAID_OWED
from gradecut.scheme import Scheme, Value
from gradecut.timebase import Frame, Pts
from gradecut.workflows.answers import record_answers
from gradecut.workflows.booking import scheme_in_force
from gradecut.workflows.expecting import say_owed
from gradecut.workflows.judging import add_event, ask_rep, judge, toggle_flag
from gradecut.workflows.looks import read_value, tell_facts
from gradecut.workflows.moments import Timeline, add_mark, mark_moment, timeline_of
from gradecut.workflows.sheet_places import SheetPlaces
from gradecut.workflows.sheets import Faults, SheetRow, read_sheet, read_yes_no

__all__ = ["Recorded", "observation_columns", "record_looks", "record_observations"]

T = TypeVar("T")

MOMENT_COLUMNS: Mapping[str, MomentKind] = {
    "snap_frame": "snap",
    "first_step_frame": "first step",
    "go_frame": "go",
    "contact_frame": "contact",
    "whistle_frame": "whistle",
}
PLACE_COLUMNS = ("feet_px", "owed_px", "went_px")
OTHER_COLUMNS = (
    "session",
    "angle",
    "position",
    "player",
    "owed",
    "did",
    "cause",
    "effort",
    "events",
    "cannot_grade",
    "how",
    "note",
    "flag",
)
AS_OWED = ("right", "as owed")


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
    return ("play", *OTHER_COLUMNS, *MOMENT_COLUMNS, *PLACE_COLUMNS, *rubric.technique)


def record_observations(book: Book, path: str | PathLike[str]) -> Recorded:
    """Record a sheet of observations: one line a man and play, or a play alone.

    ``did`` holds "right", the fit he played instead, or the miss; ``cannot_grade`` the
    reason. Frames count from 0 in the film of the line's angle. Places are pixels,
    "x y": where his feet were at the snap, where his fit was, where he went.

    A sheet with a column ``says_owed`` holds a player's own answers, and is kept under
    his name whoever brings it in (see ``record_answers``).

    Raises
    ------
    InputError
        With every fault and its line; the book then stays as it was.
    """
    scheme = scheme_in_force(book)
    known = (*observation_columns(scheme)[1:], SAID_OWED)
    rows = read_sheet(path, needed=("play",), known=known)
    if SAID_OWED in rows[0].values:
        return Recorded(lines=len(rows), judged=len(record_answers(book, path).grades))
    faults = Faults(path)
    recorder = _Recorder(book, scheme, faults)
    with book.act("record observations"):
        for row in rows:
            recorder.record(row)
        faults.raise_any()
    return Recorded(lines=len(rows), moments=recorder.moments, judged=recorder.judged)


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
    with book.act("record looks"):
        for row in rows:
            clip = places.clip(row)
            if clip is not None:
                said = _said(partial(_tell_look, book, scheme, clip, row), row, faults)
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


class _Recorder:
    """Records the lines of one observations sheet and counts what it did."""

    def __init__(self, book: Book, scheme: Scheme | None, faults: Faults) -> None:
        self._book = book
        self._scheme = scheme
        self._rubric = scheme.rubric if scheme else Rubric()
        self._faults = faults
        self._places = SheetPlaces(book, faults)
        self.moments = 0
        self.judged = 0

    def record(self, row: SheetRow) -> None:
        """Record one line."""
        clip = self._places.clip(row)
        if clip is None:
            return
        named = bool(row.text("position") or row.text("player"))
        rep = self._places.rep(row, clip, self._scheme) if named else None
        if named and rep is None:
            return
        self._record_moments(row, clip, rep)
        if rep is not None:
            self._record_judgement(row, rep)
            self._record_places(row, clip, rep)
        elif row.text("did") or row.text("cannot_grade"):
            self._fault(row, "a grade needs a man; fill in position or player.")
        if read_yes_no(row, "flag", self._faults):
            self._flag(clip, rep)

    def _flag(self, clip: Clip, rep: Rep | None) -> None:
        book, rep_id = self._book, rep.id if rep else None
        if not book.count(Flag, clip_id=clip.id, rep_id=rep_id, author=book.author):
            toggle_flag(book, clip, rep)

    def _record_moments(self, row: SheetRow, clip: Clip, rep: Rep | None) -> None:
        told = {column: row.text(column) for column in MOMENT_COLUMNS if row.text(column)}
        if not told:
            return
        line = timeline_of(self._book, clip.id)
        angle = self._angle(row, line, clip)
        if angle is None:
            return
        for column, text in told.items():
            kind = MOMENT_COLUMNS[column]
            of_clip = kind in ("snap", "whistle")
            if not of_clip and rep is None:
                self._fault(row, f"{column} needs a man; fill in position or player.")
                continue
            pts = self._pts(text, column, row, line.films[angle.film_id], line.times)
            if pts is None:
                continue
            mark = partial(mark_moment, self._book, angle, kind, pts, None if of_clip else rep)
            self.moments += _said(mark, row, self._faults) is not None

    def _record_judgement(self, row: SheetRow, rep: Rep) -> None:
        owed = row.text("owed")
        if owed and self._scheme and owed not in self._scheme.fits:
            near = nearest(owed, self._scheme.fits)
            self._fault(row, f"“{owed}” is no fit of the scheme; {near}")
            return
        if owed:
            say_owed(self._book, rep, owed)
        for name in filter(None, (one.strip() for one in row.text("events").split(";"))):
            _said(partial(add_event, self._book, rep, name), row, self._faults)
        technique = {
            item: value
            for item in self._rubric.technique
            if (value := self._number(row, item)) is not None
        }
        effort = self._number(row, "effort")
        did = self._did(row, rep)
        if did is None:
            if technique or effort is not None or row.text("cause"):
                self._fault(row, "is graded but does not say what he did; fill in did.")
            return
        grade = partial(
            judge,
            self._book,
            rep,
            did=did[0],
            name=did[1],
            cause=row.text("cause"),
            technique=technique,
            effort=effort,
            note=row.text("note"),
            how=self._how(row),
        )
        self.judged += _said(grade, row, self._faults) is not None

    def _did(self, row: SheetRow, rep: Rep) -> tuple[Did, str] | None:
        """Read what he did: right, another fit, a miss of what he owed, or not to be graded."""
        reason, said = row.text("cannot_grade"), row.text("did")
        if reason and said:
            self._fault(row, f"says both “{said}” and that he can't be graded; keep one.")
            return None
        if reason:
            return ("cannot grade", reason)
        return self._what_he_did(row, rep, said) if said else None

    def _what_he_did(self, row: SheetRow, rep: Rep, said: str) -> tuple[Did, str] | None:
        asked = ask_rep(self._book, rep)
        misses = [name for name, _ in asked.misses]
        fits = list(self._scheme.fits) if self._scheme else []
        if said.lower() in AS_OWED or said == asked.owes:
            return ("as owed", "")
        if said in misses:
            return ("miss", said)
        if said in fits:
            return ("fit", said)
        owes = f"a miss of “{asked.owes}”" if asked.owes else "a miss (what he owed is open)"
        near = nearest(said, [*misses, *fits])
        self._fault(row, f"“{said}” is neither a fit of the scheme nor {owes}; {near}")
        return None

    def _record_places(self, row: SheetRow, clip: Clip, rep: Rep) -> None:
        """Draw bracket, ring and arrow at the snap from the places on the sheet."""
        feet, owed, went = (self._point(row, column) for column in PLACE_COLUMNS)
        if not (feet or owed):
            return
        line = timeline_of(self._book, clip.id)
        angle = self._angle(row, line, clip)
        snap = line.snap(angle) if angle else None
        if angle is None or snap is None:
            self._fault(row, "has places but no snap is marked on that angle.")
            return
        mark = partial(Mark, angle_id=angle.id, from_pts=snap, to_pts=snap, rep_id=rep.id)
        drawn = [mark(kind="bracket", points=(feet,))] if feet else []
        if owed:
            drawn.append(mark(kind="ring", points=(owed,), meaning="owed"))
        end = went or owed
        if feet and end:
            drawn.append(mark(kind="arrow", points=(feet, end), meaning="did"))
        mine = {"angle_id": angle.id, "rep_id": rep.id, "author": self._book.author}
        with self._book.act("draw at the snap") as act:
            act.drop_all(self._book.find(Mark, from_pts=snap, **mine))
            for one in drawn:
                add_mark(self._book, one)

    def _angle(self, row: SheetRow, line: Timeline, clip: Clip) -> Angle | None:
        name = row.text("angle")
        for angle in line.angles:
            if not name or angle.name == name:
                return angle
        what = f"play {clip.order} has no {name} film" if name else f"play {clip.order} has no film"
        self._fault(row, f"{what}; {nearest(name, [angle.name for angle in line.angles])}")
        return None

    def _pts(
        self,
        text: str,
        column: str,
        row: SheetRow,
        film: StoredFilm,
        times: Mapping[str, Sequence[int]],
    ) -> Pts | None:
        last = film.frame_count - 1
        if not text.isdecimal() or int(text) > last:
            self._fault(row, f"“{text}” in {column} is no frame of that film; it has 0 to {last}.")
            return None
        frame = Frame(int(text))
        return Pts(times[film.id][frame]) if film.rate is None else film.pts_of(frame / film.rate)

    def _number(self, row: SheetRow, column: str) -> float | None:
        text = row.text(column)
        if not text:
            return None
        try:
            value = float(text)
        except ValueError:
            self._fault(row, f"“{text}” in {column} is no number.")
            return None
        return int(value) if value.is_integer() else value

    def _how(self, row: SheetRow) -> How:
        text = row.text("how").lower()
        if text and text not in get_args(How):
            self._fault(row, f"“{text}” in how is neither passed nor examined.")
        return "passed" if text == "passed" else "examined"

    def _point(self, row: SheetRow, column: str) -> tuple[float, float] | None:
        text = row.text(column)
        if not text:
            return None
        try:
            across, down = (float(part) for part in text.replace(",", " ").split())
        except ValueError:
            self._fault(row, f"“{text}” in {column} is no place; write two numbers, x y.")
            return None
        return (across, down)

    def _fault(self, row: SheetRow, said: str) -> None:
        self._faults.add(row.line, said)


def _said(work: Callable[[], T], row: SheetRow, faults: Faults) -> T | None:
    """Do what a line asks for, or note its fault with the line."""
    try:
        return work()
    except GradecutError as error:
        faults.add(row.line, str(error))
        return None
