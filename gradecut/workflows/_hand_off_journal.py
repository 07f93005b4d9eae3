"""Who touched a row last, and when: what decides between two books' words of one coach."""

from __future__ import annotations

import json
import re
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gradecut.book import Book
from gradecut.records import Act, Change
from gradecut.workflows.worked_out import find_by_lots

__all__ = ["Journal", "Touch", "stamp_of", "taken_from", "taking_verb"]

Key = tuple[str, str]
_STAMP = re.compile(r"\d{4}-\d\d-\d\d \d\d:\d\d:\d\d UTC")
_TAKING = re.compile(rf"take (.+)'s hand-off of ({_STAMP.pattern})")


@dataclass(frozen=True, slots=True, kw_only=True)
class Touch:
    """The last thing done to a row.

    Attributes
    ----------
    by : str
        Who did it.
    at : str
        When, ISO 8601 in UTC.
    taken : str
        The stamp of the hand-off it came with; empty where it came with none.
    """

    by: str
    at: str
    taken: str = ""


class Journal:
    """The journal of a book, asked about the rows of one coach.

    Parameters
    ----------
    grader : str
        Whose rows are looked at.
    """

    def __init__(self, book: Book, grader: str) -> None:
        self._book = book
        self._grader = grader
        self._acts: dict[str, Act] = {}

    def touched(self, table: str, row_ids: Iterable[str]) -> dict[Key, str]:
        """Return when each of some rows was changed last, by whomever."""
        newest = {key: changes[0] for key, changes in self.changes(table, row_ids).items()}
        return {key: self._acts[change.act_id].at for key, change in newest.items()}

    def last(self, table: str, row_ids: Iterable[str]) -> dict[Key, Touch]:
        """Return the last thing done to each row that still stands.

        What others did and took back counts for nothing, so that a hand-off that was taken and
        undone can be taken again; what the coach himself took back is his word.
        """
        found = {}
        for key, changes in self.changes(table, row_ids).items():
            change = self.standing(changes)
            if change is not None:
                act = self.act_of(change)
                found[key] = Touch(by=act.author, at=act.at, taken=self.taken(act))
        return found

    def dropped(self, tables: Sequence[str]) -> dict[Key, str]:
        """Return the rows of the coach's own that are gone, and when they went."""
        gone = self._book.find(Change, table=list(tables), after=None)
        his = [change for change in gone if self._was_his(change)]
        found: dict[Key, str] = {}
        for table in tables:
            ids = {change.row_id for change in his if change.table == table}
            for key, changes in self.changes(table, ids).items():
                if changes[0].after is None:
                    found[key] = self._acts[changes[0].act_id].at
        return found

    def taken(self, act: Act) -> str:
        """Return the stamp of the coach's hand-off that an act took; empty for other acts."""
        before = taking_verb(self._grader, "")
        stamp = act.verb.removeprefix(before) if act.verb.startswith(before) else ""
        return stamp if _STAMP.fullmatch(stamp) else ""

    def newest_taken(self) -> str:
        """Return the stamp of the newest hand-off of his that was taken and still stands."""
        acts = self._book.find(Act)
        undone = {act.undoes for act in acts if act.undoes}
        return max((self.taken(act) for act in acts if act.id not in undone), default="")

    def standing(self, changes: Sequence[Change]) -> Change | None:
        """Return of changes, the newest first, the last one that still stands; see ``last``."""
        passed_over: set[str] = set()
        for change in changes:
            act = self._acts[change.act_id]
            if act.id in passed_over:
                continue
            undone = self._act(act.undoes) if act.undoes else None
            if undone is None or (act.author == self._grader and not self.taken(undone)):
                return change
            passed_over.add(undone.id)
        return None

    def act_of(self, change: Change) -> Act:
        """Return the act of a change that was read here."""
        return self._acts[change.act_id]

    def changes(self, table: str, row_ids: Iterable[str]) -> dict[Key, list[Change]]:
        """Return all changes of some rows, the newest first, and know their acts."""
        found: defaultdict[Key, list[Change]] = defaultdict(list)
        for change in find_by_lots(self._book, Change, "row_id", list(row_ids), table=table):
            found[table, change.row_id].append(change)
        wanted = {change.act_id for changes in found.values() for change in changes}
        for act in find_by_lots(self._book, Act, "id", wanted - self._acts.keys()):
            self._acts[act.id] = act
        for changes in found.values():
            changes.sort(key=lambda one: one.id, reverse=True)
        return found

    def _act(self, act_id: str) -> Act | None:
        if act_id not in self._acts:
            self._acts.update({act.id: act for act in self._book.find(Act, id=act_id)})
        return self._acts.get(act_id)

    def _was_his(self, change: Change) -> bool:
        row = json.loads(change.before) if change.before else {}
        return isinstance(row, dict) and row.get("author") == self._grader


def taking_verb(grader: str, stamp: str) -> str:
    """Say what taking a hand-off is: the verb of its act, and how the journal knows it again."""
    return f"take {grader}'s hand-off of {stamp}"


def taken_from(verb: str) -> tuple[str, str] | None:
    """Return whose hand-off an act took, and its stamp; None of an act that took none."""
    found = _TAKING.fullmatch(verb)
    return (found[1], found[2]) if found else None


def stamp_of(made_at: str) -> str:
    """Write when a hand-off was made as its taking is called: to the second, in UTC."""
    return f"{made_at[:10]} {made_at[11:19]} UTC"
