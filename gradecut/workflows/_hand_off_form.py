"""What a hand-off holds: one coach's own rows, and what they rest on.

In the file each row stands as its table keeps it, so that what comes out is what went in. Of
players go only what tells them apart and whether they are of age: no remark, and nothing the
medical staff said.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from gradecut.records import (
    AGE_NOT_TOLD,
    Angle,
    Clip,
    FactValue,
    LineUp,
    Player,
    Rep,
    SchemeVersion,
    Session,
    StoredFilm,
)
from gradecut.workflows.of_a_rep import SAID_OF_A_REP

__all__ = [
    "ENDING",
    "KIND",
    "OWN",
    "RESTS_ON",
    "VERSION",
    "ClipWord",
    "HandOff",
    "is_own",
    "rep_ids_of",
    "told_of",
]

KIND, VERSION, ENDING = "gradecut hand-off", 1, ".hand"

OWN: tuple[type, ...] = (FactValue, *SAID_OF_A_REP)
"""What one coach says, in the order it is put into a book."""
RESTS_ON: tuple[type, ...] = (
    StoredFilm, Session, Clip, Angle, Player, SchemeVersion, Rep, LineUp,
)  # fmt: skip
"""What that rests on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClipWord:
    """Who said a word on what a play was.

    Attributes
    ----------
    how : "typed" or "script"
        By a person, who may also have moved the script along the plays; or by a script that was
        only brought in.
    by, at : str
        Who, and when, ISO 8601 in UTC.
    taken : str
        The stamp of the hand-off it came with; empty where it came with none.
    """

    how: Literal["typed", "script"]
    by: str = ""
    at: str = ""
    taken: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HandOff:
    """What a coach handed over, read and checked; nothing of it is in any book by that.

    Attributes
    ----------
    path : str
        The file as it was named by the caller; empty while it is none.
    grader : str
        Whose rows they are.
    book_name : str
        What his book is called.
    made_at : str
        When it was written, ISO 8601 in UTC.
    rows : mapping of kind to tuple of records
        Each kind of OWN and RESTS_ON.
    clip_words : mapping of (clip id, name) to ClipWord
        What he said himself of what a play was; of the plays in ``rows``.
    changed_at : mapping of (table, id) to str
        When he last touched each row of his own, ISO 8601 in UTC.
    dropped_at : mapping of (table, id) to str
        Rows of his own he has taken back, and when.
    """

    path: str = ""
    grader: str
    book_name: str
    made_at: str
    rows: Mapping[type, tuple[Any, ...]]
    clip_words: Mapping[tuple[str, str], ClipWord] = field(default_factory=dict)
    changed_at: Mapping[tuple[str, str], str] = field(default_factory=dict)
    dropped_at: Mapping[tuple[str, str], str] = field(default_factory=dict)

    def of(self, kind: type) -> tuple[Any, ...]:
        """Return the records of one kind."""
        return self.rows.get(kind, ())

    @property
    def players(self) -> tuple[Player, ...]:
        """The men whose grades it carries."""
        return self.of(Player)


def is_own(row: Any, grader: str) -> bool:
    """Tell whether a row is something this coach said, and nobody else."""
    return bool(grader) and row.author == grader


def rep_ids_of(rows: Iterable[Any]) -> set[str]:
    """Return the reps that rows are about."""
    found = (getattr(row, "rep_id", None) for row in rows)
    return {rep_id for rep_id in found if rep_id}


def told_of(player: Player) -> Player:
    """Return of a man only what a colleague needs: who he is, and whether he is of age.

    Consent stays out: it is on file with those who keep the roster, and no file a coach gets
    may say in their stead that a minor's film can be shared.
    """
    return replace(
        player,
        year="",
        consent=False,
        held_out=False,
        remark="" if player.age_told else AGE_NOT_TOLD,
    )
