"""The plays of a session in one line: done, open, wrong in it, to show."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from gradecut.book import Book
from gradecut.records import MISSED, Change, Clip, Flag, Grade, Rep, RepLine, Session
from gradecut.workflows.booking import graded_group, graded_positions, scheme_in_force
from gradecut.workflows.lines import rep_lines

__all__ = ["PlayBox", "PlaysLine", "last_graded", "read_boxes", "waiting_clips"]

_NEWEST = 40
"""So many acts are looked through for where a grader was."""
_BY_HAND = 30
"""An act with more grades than this was read from a sheet, not given by hand."""

Status = Literal["open", "begun", "done", "wrong", "unsure", "no play"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayBox:
    """One play of the line.

    Attributes
    ----------
    status : str
        "open": nobody graded; "begun": some are; "done": all, and right; "wrong": all, one
        or more not right; "unsure": all, but a grade has gone stale; "no play": not graded.
    wrong : bool
        Somebody was not right, however far the play is.
    flagged : bool
        To be shown tomorrow.
    passed, examined : int
        Fits of its men that were let through at speed, and those looked at closely.
    """

    clip_id: str
    order: int
    period: str
    status: Status
    wrong: bool
    flagged: bool
    passed: int = 0
    examined: int = 0

    @property
    def finished(self) -> bool:
        """Whether nobody waits for a grade."""
        return self.status in ("done", "wrong", "unsure")

    @property
    def waits(self) -> bool:
        """Whether somebody waits for a grade, or for another look at it."""
        return self.status in ("open", "begun", "unsure")

    @property
    def words(self) -> str:
        """What it shows, for whoever can't see it."""
        told = {
            "open": "open", "begun": "begun", "done": "all right", "wrong": "not all right",
            "unsure": "to be looked at again", "no play": "no play",
        }[self.status]  # fmt: skip
        parts = [f"Play {self.order}: {told}"]
        if self.wrong and self.status in ("begun", "unsure"):
            parts.append("not all right")
        if self.passed and self.examined:
            parts.append(f"{self.passed} at speed, {self.examined} looked at closely")
        elif self.passed or self.examined:
            parts.append("graded at speed" if self.passed else "looked at closely")
        if self.flagged:
            parts.append("flagged")
        return ", ".join(parts)


class PlaysLine:
    """The boxes of one session, in order.

    Attributes
    ----------
    boxes : list of PlayBox
    session_id : str
        Whose plays they are.
    """

    def __init__(self, boxes: Sequence[PlayBox] = (), session_id: str = "") -> None:
        self.boxes = list(boxes)
        self.session_id = session_id
        self._places = {box.clip_id: place for place, box in enumerate(self.boxes)}

    @classmethod
    def unread(cls, clips: Sequence[Clip], session_id: str) -> PlaysLine:
        """Make a line whose grades are still to be read."""
        return cls([_box(clip, (), flagged=False) for clip in clips], session_id)

    def place_of(self, clip_id: str) -> int | None:
        """Return where a clip stands; None when it is not in the line."""
        return self._places.get(clip_id)

    def put(self, box: PlayBox) -> None:
        """Put a box in the place of the one before."""
        place = self._places.get(box.clip_id)
        if place is not None:
            self.boxes[place] = box

    def beside(self, clip_id: str, by: int) -> str | None:
        """Return the clip so many plays on; None past either end."""
        place = self._places.get(clip_id)
        if place is None or not 0 <= place + by < len(self.boxes):
            return None
        return self.boxes[place + by].clip_id

    def first_open(self) -> str | None:
        """Return the first clip that waits, else the first there is."""
        waiting = (box for box in self.boxes if box.waits)
        found = next(waiting, None) or next(iter(self.boxes), None)
        return found.clip_id if found else None

    def told(self) -> str:
        """Count them: "16 of 36 graded · 3 flagged"."""
        plays = [box for box in self.boxes if box.status != "no play"]
        finished = sum(box.finished for box in plays)
        parts = [f"{finished} of {len(plays)} graded"]
        flagged = sum(box.flagged for box in self.boxes)
        if flagged:
            parts.append(f"{flagged} flagged")
        return " · ".join(parts)

    @property
    def all_finished(self) -> bool:
        """Whether no play of the session waits for a grade."""
        plays = [box for box in self.boxes if box.status != "no play"]
        return bool(plays) and all(box.finished for box in plays)

    def told_at_end(self) -> str:
        """Say what is left where there is no play to go on to, and what to do next."""
        if not self.all_finished:
            return f"{self.told()}; J goes to the next that waits."
        return f"{self.told()}. All are graded: F9 makes the staff's page, F7 the players' reel."

    def told_in_full(self) -> str:
        """Say what the counts mean, for whoever points at them."""
        plays = [box for box in self.boxes if box.status != "no play"]
        finished = sum(box.finished for box in plays)
        flagged = sum(box.flagged for box in self.boxes)
        graded = f"{finished} of {len(plays)} plays graded"
        passed = sum(box.passed for box in plays)
        examined = sum(box.examined for box in plays)
        if passed or examined:
            graded += f"; reps: {passed} at speed, {examined} looked at closely"
        return f"{graded}; {flagged} flagged for tomorrow" if flagged else graded


def read_boxes(
    book: Book, session: Session, *, clip_ids: Sequence[str] | None = None
) -> list[PlayBox]:
    """Read the boxes of a session, or of some of its clips."""
    return book.reading(lambda: _read_boxes(book, session, clip_ids))


def _read_boxes(book: Book, session: Session, clip_ids: Sequence[str] | None) -> list[PlayBox]:
    wanted = {"id": list(clip_ids)} if clip_ids is not None else {"session_id": session.id}
    clips = book.find(Clip, **wanted)
    ids = [clip.id for clip in clips]
    lines = rep_lines(book, clip_ids=ids, author=book.author)
    flagged = {flag.clip_id for flag in book.find(Flag, clip_id=ids, author=book.author)}
    scheme = scheme_in_force(book)
    graded = graded_positions(scheme, graded_group(book))
    of_clip: Mapping[str, list[RepLine]] = defaultdict(list)
    for line in lines:
        if scheme is None or line.rep.position in graded:
            of_clip[line.clip.id].append(line)
    return [_box(clip, of_clip[clip.id], flagged=clip.id in flagged) for clip in clips]


def last_graded(book: Book) -> str:
    """Return the clip this grader judged a man on last, by his newest acts; empty for none."""
    acts = [act for act in book.history(_NEWEST) if act.author == book.author]
    for act in acts:
        if not 0 < book.count(Change, act_id=act.id, table="grades") <= _BY_HAND:
            continue
        rows = [one.row_id for one in book.find(Change, act_id=act.id, table="grades")]
        grades = book.find(Grade, id=rows)
        if grades:
            return book.get(Rep, grades[-1].rep_id).clip_id
    return ""


def waiting_clips(book: Book, clip_ids: Sequence[str]) -> list[str]:
    """Return those of some clips where a man still waits for this grader, in their order."""
    scheme = scheme_in_force(book)
    graded = graded_positions(scheme, graded_group(book))
    reps = [
        rep
        for rep in book.find(Rep, clip_id=list(clip_ids))
        if scheme is None or rep.position in graded
    ]
    grades = book.find(Grade, rep_id=[rep.id for rep in reps], author=book.author)
    done = {grade.rep_id for grade in grades}
    manned = {rep.clip_id for rep in reps}
    waiting = {rep.clip_id for rep in reps if rep.id not in done}
    return [one for one in clip_ids if one in waiting or one not in manned]


def _box(clip: Clip, lines: Sequence[RepLine], *, flagged: bool) -> PlayBox:
    results = [line.grade.fit_result for line in lines if line.grade]
    how = [line.grade.how for line in lines if line.grade and line.grade.fitted]
    wrong = any(result in MISSED for result in results)
    status: Status
    if clip.kind == "no play":
        status = "no play"
    elif not results:
        status = "open"
    elif len(results) < len(lines):
        status = "begun"
    elif any(line.stale for line in lines):
        status = "unsure"
    else:
        status = "wrong" if wrong else "done"
    return PlayBox(
        clip_id=clip.id,
        order=clip.order,
        period=clip.period,
        status=status,
        wrong=wrong,
        flagged=flagged,
        passed=how.count("passed"),
        examined=how.count("examined"),
    )
