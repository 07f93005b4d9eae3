"""Lines of an observations sheet, one after the other into the book."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from functools import partial
from typing import TypeVar, get_args

from gradecut.book import Book
from gradecut.errors import GradecutError
from gradecut.hints import nearest
from gradecut.records import Angle, Clip, Did, Flag, How, Mark, MomentKind, Rep, Rubric
from gradecut.scheme import Scheme
from gradecut.timebase import Frame, Pts
from gradecut.workflows.counting import set_events, toggle_flag
from gradecut.workflows.expecting import say_owed
from gradecut.workflows.films import pts_of_frame
from gradecut.workflows.judging import judge
from gradecut.workflows.lining_up import say_lined_up
from gradecut.workflows.marking import add_mark
from gradecut.workflows.moments import Timeline, mark_moment, timeline_of
from gradecut.workflows.rep_asked import ask_rep
from gradecut.workflows.sheet_places import SheetPlaces
from gradecut.workflows.sheets import Faults, SheetRow, read_yes_no, whole_number

__all__ = ["JUDGING_COLUMNS", "MOMENT_COLUMNS", "PLACE_COLUMNS", "ObservationLines", "noted"]

T = TypeVar("T")

MOMENT_COLUMNS: Mapping[str, MomentKind] = {
    "snap_frame": "snap",
    "first_step_frame": "first step",
    "go_frame": "go",
    "contact_frame": "contact",
    "whistle_frame": "whistle",
}
PLACE_COLUMNS = ("feet_px", "owed_px", "went_px")
JUDGING_COLUMNS = ("owed", "lined_up", "did", "cause", "effort", "events", "cannot_grade", "note")
"""Columns that say something of a man, besides the rubric's technique."""
_OF_THE_CLIP = ("snap", "whistle")
_AS_OWED = ("right", "as owed")


class ObservationLines:
    """Takes the lines of one sheet into the book, noting every fault.

    Attributes
    ----------
    judged : int
        Reps judged so far.
    """

    def __init__(self, book: Book, scheme: Scheme | None, faults: Faults) -> None:
        self._book = book
        self._scheme = scheme
        self._rubric = scheme.rubric if scheme else Rubric()
        self._faults = faults
        self._places = SheetPlaces(book, faults)
        self._marked: dict[tuple[str, str, str | None], tuple[str, int]] = {}
        self.judged = 0

    @property
    def moments(self) -> int:
        """Moments marked so far; one told on several lines counts once."""
        return len(self._marked)

    def take(self, row: SheetRow) -> None:
        """Take one line in."""
        clip = self._places.clip(row)
        if clip is None:
            return
        named = bool(row.text("position") or row.text("player"))
        rep = self._places.rep(row, clip, self._scheme) if named else None
        if named and rep is None:
            return
        self._take_moments(row, clip, rep)
        if rep is not None:
            self._take_judgement(row, rep)
            self._take_places(row, clip, rep)
        else:
            self._refuse_without_man(row)
        if read_yes_no(row, "flag", self._faults):
            self._flag(clip, rep)

    def _refuse_without_man(self, row: SheetRow) -> None:
        columns = (*JUDGING_COLUMNS, *self._rubric.technique, *PLACE_COLUMNS)
        told = [column for column in columns if row.text(column)]
        if told:
            self._fault(row, f"{told[0]} needs a man; fill in position or player.")

    def _flag(self, clip: Clip, rep: Rep | None) -> None:
        book, rep_id = self._book, rep.id if rep else None
        if not book.count(Flag, clip_id=clip.id, rep_id=rep_id, author=book.author):
            toggle_flag(book, clip, rep)

    def _take_moments(self, row: SheetRow, clip: Clip, rep: Rep | None) -> None:
        told = {column: row.text(column) for column in MOMENT_COLUMNS if row.text(column)}
        if not told:
            return
        line = timeline_of(self._book, clip.id)
        angle = self._angle(row, line, clip)
        if angle is None:
            return
        for column, text in told.items():
            man = None if MOMENT_COLUMNS[column] in _OF_THE_CLIP else rep
            if man is None and MOMENT_COLUMNS[column] not in _OF_THE_CLIP:
                self._fault(row, f"{column} needs a man; fill in position or player.")
                continue
            pts = self._pts(text, column, row, line, angle)
            if pts is not None and self._is_new(text, column, row, angle, man):
                mark = partial(mark_moment, self._book, angle, MOMENT_COLUMNS[column], pts, man)
                noted(mark, row, self._faults)

    def _is_new(self, text: str, column: str, row: SheetRow, angle: Angle, man: Rep | None) -> bool:
        """Tell whether no line above marks this moment; refuse one that marks it elsewhere."""
        key = (column, angle.id, man.id if man else None)
        before, line = self._marked.setdefault(key, (text, row.line))
        if int(before) != int(text):
            self._fault(row, f"{column} is {text} here and {before} in line {line}; keep one.")
        return line == row.line

    def _take_judgement(self, row: SheetRow, rep: Rep) -> None:
        owed = _spelt(row.text("owed"), self._scheme.fits if self._scheme else ())
        if owed and self._scheme and owed not in self._scheme.fits:
            near = nearest(owed, self._scheme.fits)
            self._fault(row, f"“{owed}” is no fit of the scheme; {near}")
            return
        if owed:
            say_owed(self._book, rep, owed)
        self._take_lined_up(row, rep)
        self._take_events(row, rep)
        technique = {
            item: value
            for item in self._rubric.technique
            if (value := self._number(row, item)) is not None
        }
        effort = self._number(row, "effort")
        did = self._did(row, rep)
        if did is None:
            return
        grade = partial(
            judge,
            self._book,
            rep,
            did=did[0],
            name=did[1],
            cause=_spelt(row.text("cause"), self._rubric.causes),
            technique=technique,
            effort=effort,
            note=row.text("note"),
            how=self._how(row),
        )
        self.judged += noted(grade, row, self._faults) is not None

    def _take_lined_up(self, row: SheetRow, rep: Rep) -> None:
        """Keep how he lined up: "right", "can't tell", or ways he was off, apart by ";"."""
        told = [one.strip().lower() for one in row.text("lined_up").split(";") if one.strip()]
        if told:
            cannot = told in (["can't tell"], ["cannot grade"])
            off = [] if cannot or told == ["right"] else told
            say = partial(say_lined_up, self._book, rep, off=off, cannot=cannot)
            noted(say, row, self._faults)

    def _take_events(self, row: SheetRow, rep: Rep) -> None:
        """Count the events of a line, in the place of those counted for this rep before."""
        names = [one.strip() for one in row.text("events").split(";") if one.strip()]
        if names:
            told = [_spelt(name, self._rubric.events) for name in names]
            noted(partial(set_events, self._book, rep, told), row, self._faults)

    def _did(self, row: SheetRow, rep: Rep) -> tuple[Did, str] | None:
        """Read what he did: right, another fit, a miss of what he owed, or not to be graded."""
        reason, said = row.text("cannot_grade"), row.text("did")
        if reason and said:
            self._fault(row, f"says both “{said}” and that he can't be graded; keep one.")
        elif reason:
            return ("cannot grade", reason)
        elif said:
            return self._what_he_did(row, rep, said)
        elif any(
            row.text(column) for column in ("cause", "effort", "note", *self._rubric.technique)
        ):
            self._fault(row, "is graded but does not say what he did; fill in did.")
        return None

    def _what_he_did(self, row: SheetRow, rep: Rep, said: str) -> tuple[Did, str] | None:
        asked = ask_rep(self._book, rep)
        misses = [name for name, _ in asked.misses]
        fits = list(self._scheme.fits) if self._scheme else []
        told = _spelt(said, [*misses, *fits])
        if told.lower() in _AS_OWED or told == asked.owes:
            return ("as owed", "")
        if told in misses:
            return ("miss", told)
        if told in fits:
            return ("fit", told)
        owes = f"a miss of “{asked.owes}”" if asked.owes else "a miss (what he owed is open)"
        near = nearest(said, [*misses, *fits])
        self._fault(row, f"“{said}” is neither a fit of the scheme nor {owes}; {near}")
        return None

    def _take_places(self, row: SheetRow, clip: Clip, rep: Rep) -> None:
        """Draw bracket, ring and arrow at the snap from the places on the sheet."""
        feet, owed, went = (self._point(row, column) for column in PLACE_COLUMNS)
        if not (feet or owed or went):
            return
        line = timeline_of(self._book, clip.id)
        angle = self._angle(row, line, clip)
        if angle is None:
            return
        snap = line.snap(angle)
        if snap is None:
            self._fault(row, f"has places, but no snap is marked on the {angle.name} film yet.")
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
            if not name or angle.name.lower() == name.lower():
                return angle
        what = f"play {clip.order} has no {name} film" if name else f"play {clip.order} has no film"
        self._fault(row, f"{what}; {nearest(name, [angle.name for angle in line.angles])}")
        return None

    def _pts(
        self, text: str, column: str, row: SheetRow, line: Timeline, angle: Angle
    ) -> Pts | None:
        film = line.films[angle.film_id]
        last = film.frame_count - 1
        frame = whole_number(text)
        if frame is None or frame > last:
            self._fault(row, f"“{text}” in {column} is no frame of that film; it has 0 to {last}.")
            return None
        return pts_of_frame(film, Frame(frame), line.times)

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
            across = down = math.nan
        if not (math.isfinite(across) and math.isfinite(down)):
            self._fault(row, f"“{text}” in {column} is no place; write two numbers, x y.")
            return None
        return (across, down)

    def _fault(self, row: SheetRow, said: str) -> None:
        self._faults.add(row.line, said)


def noted(work: Callable[[], T], row: SheetRow, faults: Faults) -> T | None:
    """Do what a line asks for, or note its fault with the line."""
    try:
        return work()
    except GradecutError as error:
        faults.add(row.line, str(error))
        return None


def _spelt(said: str, known: Iterable[str]) -> str:
    """Write a word as it is known, whatever its capitals; an unknown one stays as said."""
    return next((word for word in known if word.lower() == said.lower()), said)
