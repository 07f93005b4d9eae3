"""The history of one rep: who did what to it, when, and what stood there before."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, Literal

from gradecut.book import Book, table_of
from gradecut.records import (
    Act,
    Change,
    Clip,
    Grade,
    Moment,
    Player,
    Rep,
)
from gradecut.workflows._history_words import Line, Row, Words, read_row
from gradecut.workflows.blind import is_seen
from gradecut.workflows.moments import timeline_of
from gradecut.workflows.of_a_rep import OF_A_PLAY, SAID_OF_A_REP

__all__ = ["HistoryEntry", "HistoryLine", "history_of"]

HistoryLine = Line
Turn = Literal["done", "taken back", "done again"]

_HIDDEN = "say something of the play"
"""Stands for what others did: "grade Keel on play 7" tells that he was judged."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HistoryEntry:
    """One act, as far as it touched the rep or what he is judged by.

    Attributes
    ----------
    who, computer : str
        Who did it, and where.
    at : str
        When, ISO 8601 in UTC.
    verb : str
        What he did, in the book's words: "grade Keel on play 7".
    turn : "done", "taken back" or "done again"
        Whether it did something, took an act of his back, or did that again.
    stands : bool
        It was not taken back since.
    lines : tuple of HistoryLine
        What it changed, each with what stood there before and after.
    """

    act_id: str
    who: str
    computer: str
    at: str
    verb: str
    turn: Turn
    stands: bool
    lines: tuple[HistoryLine, ...]

    @property
    def of_play(self) -> bool:
        """Whether it touched the play only: its look, its line-up, its snap."""
        return all(line.of_play for line in self.lines)


def history_of(book: Book, rep_id: str) -> tuple[HistoryEntry, ...]:
    """Return all that was done to a rep, the oldest first.

    Judgements with what each superseded, the coach's word on what he owed, moments, events,
    flags, drawings, who was named there; and of the play what he is judged by: its look, its
    snap, his side. Acts that were taken back are told as such. While the book's author grades
    blind, what others judged is left out, and what they called their acts.

    Raises
    ------
    BookError
        When the rep is not in the book.
    """
    rep = book.get(Rep, rep_id)
    timeline = timeline_of(book, rep.clip_id)
    angle_ids = [angle.id for angle in timeline.angles]
    found = book.journal(_rows(book, rep, angle_ids), about=(rep.id, rep.clip_id, *angle_ids))
    words = Words(
        rep=rep,
        players={man.id: man.name for man in book.find(Player)},
        timeline=timeline,
        grades=_grades(found),
        sees=partial(is_seen, book),
    )
    undone = _undone([act for act, _ in found])
    depths = _depths([act for act, _ in found])
    entries = []
    for act, changes in found:
        lines = words.lines(act, changes)
        if lines:
            entries.append(
                HistoryEntry(
                    act_id=act.id,
                    who=act.author or "somebody",
                    computer=act.computer,
                    at=act.at,
                    verb=act.verb if is_seen(book, act.author) else _HIDDEN,
                    turn=_turn(depths[act.id]),
                    stands=act.id not in undone,
                    lines=lines,
                )
            )
    return tuple(entries)


def _rows(book: Book, rep: Rep, angle_ids: Sequence[str]) -> set[tuple[str, str]]:
    """Return the rows that speak of the rep now, and those of its play it is judged by."""
    rows = {(table_of(Rep), rep.id), (table_of(Clip), rep.clip_id)}
    of_rep: list[Any] = [one for kind in SAID_OF_A_REP for one in book.find(kind, rep_id=rep.id)]
    of_play: list[Any] = [one for kind in OF_A_PLAY for one in book.find(kind, clip_id=rep.clip_id)]
    rows |= {(table_of(type(one)), one.id) for one in (*of_rep, *of_play)}
    snaps = book.find(Moment, angle_id=list(angle_ids), rep_id=None)
    return rows | {(table_of(Moment), one.id) for one in snaps}


def _grades(found: Sequence[tuple[Act, tuple[Change, ...]]]) -> dict[str, Row]:
    """Return every judgement the journal tells of, by its id."""
    name = table_of(Grade)
    rows = [
        read_row(told)
        for _, changes in found
        for change in changes
        for told in (change.before, change.after)
        if change.table == name and told is not None
    ]
    return {str(row["id"]): row for row in rows}


def _undone(acts: Sequence[Act]) -> set[str]:
    """Return the acts that another one, which stands itself, took back."""
    gone: set[str] = set()
    for act in reversed(acts):
        if act.undoes is not None and act.id not in gone:
            gone.add(act.undoes)
    return gone


def _depths(acts: Sequence[Act]) -> Mapping[str, int]:
    """Return how many undoings lie between an act and what was done first."""
    depths: dict[str, int] = {}
    for act in acts:
        depths[act.id] = 0 if act.undoes is None else depths.get(act.undoes, 0) + 1
    return depths


def _turn(depth: int) -> Turn:
    if depth == 0:
        return "done"
    return "taken back" if depth % 2 else "done again"
