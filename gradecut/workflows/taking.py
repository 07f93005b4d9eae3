"""Taking a colleague's hand-off into this book: read, held against it, taken in one act."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Any

from gradecut.book import Book
from gradecut.book.acts import ActDraft
from gradecut.book.schema import table_of
from gradecut.errors import BookError
from gradecut.records import Clip, Grade, Player
from gradecut.workflows._hand_off_form import HandOff
from gradecut.workflows._hand_off_journal import stamp_of, taking_verb
from gradecut.workflows._hand_off_merging import Merge, merge_of
from gradecut.workflows._hand_off_reading import read_hand_off
from gradecut.workflows.differences import Differences, differences
from gradecut.workflows.handing_off import counted_rows
from gradecut.workflows.roster import why_no_grader
from gradecut.workflows.worked_out import act_worked_out, find_by_lots

__all__ = ["Differences", "HandOff", "Taken", "differences", "read_hand_off", "take_hand_off"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """What taking a hand-off came to.

    Attributes
    ----------
    grader : str
        Whose it was.
    new, changed, withdrawn : mapping of table to int
        Rows of his that came, changed, and went.
    kept : int
        Rows that were changed here by somebody else, and stay as they are here.
    left : tuple of str
        What could not be taken, one sentence each.
    """

    grader: str
    new: Mapping[str, int]
    changed: Mapping[str, int]
    withdrawn: Mapping[str, int]
    kept: int
    left: tuple[str, ...]

    @property
    def nothing(self) -> bool:
        """Whether the book is as it was."""
        return not (self.new or self.changed or self.withdrawn)

    @property
    def words(self) -> str:
        """What was done, in one sentence."""
        if self.nothing and self.kept:
            rows = "one row of his stays" if self.kept == 1 else f"{self.kept} rows of his stay"
            return f"Nothing of {self.grader}'s was taken; {rows} as changed here."
        if self.nothing:
            return f"Nothing of {self.grader}'s is new; this book has it all."
        parts = [
            f"{counted_rows(self.new)} taken" if self.new else "",
            f"{counted_rows(self.changed)} brought up to date" if self.changed else "",
            f"{counted_rows(self.withdrawn)} taken back by him" if self.withdrawn else "",
        ]
        return f"{self.grader}: {', '.join(part for part in parts if part)}."


def take_hand_off(book: Book, hand_off: HandOff, *, theirs: Collection[str] = ()) -> Taken:
    """Put a colleague's rows into the book, as one act that can be taken back.

    Taking the same file again changes nothing. Nobody else's rows change; those of his that
    somebody else has changed here stay, unless they are named.

    Parameters
    ----------
    theirs : collection of str
        Keys of conflicting rows (see ``Differences``) for which his word is to count.

    Raises
    ------
    BookError
        When under his name stands a player of this book, or the book refuses; nothing is
        stored then.
    """
    verb = taking_verb(hand_off.grader, stamp_of(hand_off.made_at))
    return act_worked_out(book, verb, lambda: _Take(book, hand_off, theirs), _Take.put).taken


class _Take:
    """What one taking puts in and takes out, worked out while the book can still change."""

    def __init__(self, book: Book, hand_off: HandOff, theirs: Collection[str]) -> None:
        if refusal := why_no_grader(hand_off.grader, book.find(Player)):
            raise BookError(refusal)
        merge = merge_of(book, hand_off, theirs)
        words = [
            row
            for row in merge.clip_rows
            if row.standing in ("new", "changed") or row.key in theirs
        ]
        apart = [row for row in merge.clip_rows if row.standing == "conflicting"]
        new, changed = merge.of("new"), merge.of("changed")
        chosen = [row for row in merge.of("conflicting") if row.key in theirs]
        self._withdrawn = _may_go(book, merge)
        self._coming = [row.his for row in (*new, *changed, *chosen)]
        self._clips = merge.clips_of(words)
        self._needed, self._leaving = merge.needed(self._coming)
        self.taken = Taken(
            grader=hand_off.grader,
            new=_counted(
                [row.his for row in (*new, *chosen) if row.here is None],
                sum(row.standing == "new" for row in words),
            ),
            changed=_counted(
                [row.his for row in (*changed, *chosen) if row.here is not None],
                sum(row.standing != "new" for row in words),
            ),
            withdrawn=_counted(self._withdrawn),
            kept=len(merge.of("conflicting"))
            - len(chosen)
            + sum(row.key not in theirs for row in apart),
            left=tuple(merge.left),
        )

    def put(self, act: ActDraft) -> None:
        """Do it."""
        going = {row.id for row in self._leaving}
        act.drop_all(self._leaving)
        act.drop_all(self._withdrawn)
        act.put(*self._clips)
        act.put(*(row for row in self._needed if row.id not in going), *self._coming)


def _may_go(book: Book, merge: Merge) -> list[Any]:
    """Return the rows he took back that nothing here rests on."""
    gone = [row.here for row in merge.of("withdrawn")]
    ids = {row.id for row in gone if isinstance(row, Grade)}
    later = find_by_lots(book, Grade, "supersedes", ids)
    rested_on = {grade.supersedes for grade in later if grade.id not in ids}
    return [row for row in gone if row.id not in rested_on]


def _counted(rows: list[Any], words: int = 0) -> dict[str, int]:
    found = dict(Counter(table_of(type(row)) for row in rows))
    return found | ({table_of(Clip): words} if words else {})
