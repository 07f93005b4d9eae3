"""Reps with everything a table, a sheet or a reel asks of them, read at once."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from typing import Any, TypeVar

from gradecut.book import Book
from gradecut.grading import film_order
from gradecut.records import (
    Clip,
    Event,
    FactValue,
    Flag,
    Grade,
    LinedUp,
    LineUp,
    Owed,
    Player,
    Rep,
    RepLine,
    Session,
)
from gradecut.scheme import Scheme, Value
from gradecut.workflows.blind import seen
from gradecut.workflows.booking import book_info, scheme_in_force
from gradecut.workflows.expecting import expect_rep, owed_by_word, run_side
from gradecut.workflows.lining_up import lined_up_of
from gradecut.workflows.looks import merge_facts, sides_on
from gradecut.workflows.moments import timelines_of
from gradecut.workflows.rep_asked import RepAsked, own_side
from gradecut.workflows.roster import by_staff
from gradecut.workflows.staleness import is_stale

__all__ = ["rep_lines"]

T = TypeVar("T")


def rep_lines(
    book: Book,
    *,
    session_ids: Collection[str] | None = None,
    clip_ids: Collection[str] | None = None,
    author: str | None = None,
) -> list[RepLine]:
    """Read reps in film order.

    Parameters
    ----------
    session_ids, clip_ids : collection of str or None
        Only these; None: all.
    author : str or None
        Whose grades, and whose word on how men lined up; None: on each rep the newest that
        anybody of the staff gave. What a player says of himself counts only where he is asked
        for by name. A measurement of how a man lined up belongs to everybody, and is read
        where none of those persons looked.
    """
    clips = _clips(book, session_ids, clip_ids)
    if not clips:
        return []
    rows = _Rows(book, clips, author)
    info = book_info(book)
    scheme = scheme_in_force(book)
    lines = [rows.line(rep, clips[rep.clip_id], scheme, info.scheme_id) for rep in rows.reps]
    return sorted(lines, key=film_order)


class _Rows:
    """All rows of some clips, each kind read once."""

    def __init__(self, book: Book, clips: Mapping[str, Clip], author: str | None) -> None:
        clip_ids = list(clips)
        self._author = author if author is not None else book.author
        self.reps = book.find(Rep, clip_id=clip_ids)
        rep_ids = [rep.id for rep in self.reps]
        homes = {clip.session_id for clip in clips.values()}
        self._sessions = {one.id: one for one in book.find(Session, id=homes)}
        self._players = {one.id: one for one in book.find(Player)}
        self._facts = _by(book.find(FactValue, clip_id=clip_ids), "clip_id")
        self._line_ups = _by(book.find(LineUp, clip_id=clip_ids), "clip_id")
        self._reps_of = _by(self.reps, "clip_id")
        players = self._players.values()
        self._owed = _by(by_staff(book.find(Owed, rep_id=rep_ids), players), "rep_id")
        self._events = _by(seen(book, book.find(Event, rep_id=rep_ids)), "rep_id")
        lined_up = seen(book, book.find(LinedUp, rep_id=rep_ids))
        measured = [one for one in lined_up if one.source == "estimated"]
        said = [one for one in lined_up if one.source != "estimated"]
        said = (
            by_staff(said, players)
            if author is None
            else [one for one in said if one.author in (author, "")]
        )
        self._lined_up = _by([*measured, *said], "rep_id")
        self._flags = seen(book, book.find(Flag, clip_id=clip_ids))
        grades = seen(book, book.find(Grade, rep_id=rep_ids))
        counted = (
            by_staff(grades, players)
            if author is None
            else [grade for grade in grades if grade.author == author]
        )
        self._grades = {grade.rep_id: grade for grade in counted}
        self._timelines = {
            key: replace(line, author=self._author)
            for key, line in timelines_of(book, clip_ids).items()
        }
        self._flagged_clips = {flag.clip_id for flag in self._flags if flag.rep_id is None}
        self._flagged_reps = {flag.rep_id for flag in self._flags}
        self._added_up: dict[str, tuple[Mapping[str, Value], Mapping[str, str]]] = {}

    def line(self, rep: Rep, clip: Clip, scheme: Scheme | None, scheme_id: str | None) -> RepLine:
        """Put one rep together."""
        look, sides = self._look_and_sides(clip, scheme)
        asked = RepAsked(
            rep=rep,
            clip=clip,
            scheme=scheme,
            scheme_id=scheme_id,
            look=look,
            own_side=own_side(scheme, rep.position, look, sides),
            expectation=expect_rep(scheme, rep, look, sides, kind=clip.kind),
            owed=owed_by_word(self._owed[rep.id], self._author),
        )
        expectation, owed = asked.expectation, asked.owed
        grade = self._grades.get(rep.id)
        return RepLine(
            session=self._sessions[clip.session_id],
            clip=clip,
            rep=rep,
            player=self._players[rep.player_id],
            look=look,
            own_side=asked.own_side,
            run_side=run_side(look, asked.own_side),
            expected_fit=owed.fit if owed else expectation.fit,
            expected_side=owed.side if owed else expectation.side,
            expected_rule=None if owed else expectation.rule,
            grade=grade,
            stale=grade is not None and is_stale(grade, asked),
            reaction=self._timelines[clip.id].reaction(rep),
            events=tuple(event.name for event in self._events[rep.id]),
            flagged=rep.id in self._flagged_reps or clip.id in self._flagged_clips,
            lined_up=lined_up_of(self._lined_up[rep.id], self._author),
        )

    def _look_and_sides(
        self, clip: Clip, scheme: Scheme | None
    ) -> tuple[Mapping[str, Value], Mapping[str, str]]:
        """Add a clip's facts up once for all its reps."""
        if clip.id not in self._added_up:
            men = (self._reps_of[clip.id], self._line_ups[clip.id])
            self._added_up[clip.id] = (
                merge_facts(self._facts[clip.id], self._author),
                sides_on(scheme, *men) if scheme else {},
            )
        return self._added_up[clip.id]


def _clips(
    book: Book, session_ids: Collection[str] | None, clip_ids: Collection[str] | None
) -> dict[str, Clip]:
    wanted: dict[str, Any] = {}
    if session_ids is not None:
        wanted["session_id"] = list(session_ids)
    if clip_ids is not None:
        wanted["id"] = list(clip_ids)
    return {clip.id: clip for clip in book.find(Clip, **wanted)}


def _by(rows: Iterable[T], key: str) -> Mapping[str, list[T]]:
    grouped: defaultdict[str, list[T]] = defaultdict(list)
    for row in rows:
        grouped[getattr(row, key)].append(row)
    return grouped
