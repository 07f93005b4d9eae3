"""What the book says of itself: its name, its schemes, its acts."""

from __future__ import annotations

from dataclasses import dataclass, field

from gradecut.records.ids import new_id, now_utc

__all__ = ["Act", "BookInfo", "Change", "SchemeVersion"]


@dataclass(frozen=True, slots=True, kw_only=True)
class BookInfo:
    """The one row that names the book; its id is always "book".

    Attributes
    ----------
    scheme_id : str or None
        The scheme version in force.
    graded_group : str
        The group of positions this staff grades; empty for all graded men.
    """

    id: str = "book"
    name: str
    season: str = ""
    scheme_id: str | None = None
    graded_group: str = ""
    made_at: str = field(default_factory=now_utc)


@dataclass(frozen=True, slots=True, kw_only=True)
class SchemeVersion:
    """The whole text of a scheme file, as it was on one day."""

    id: str = field(default_factory=new_id)
    sha256: str
    name: str
    version: str = ""
    text: str
    added_at: str = field(default_factory=now_utc)


@dataclass(frozen=True, slots=True, kw_only=True)
class Act:
    """One thing somebody did, with all its changes.

    Attributes
    ----------
    verb : str
        A few words for the coach: "mark the snap".
    schema : str
        The store's schema when it was done; acts from before are history, not undo.
    undoes : str or None
        The act this one takes back.
    """

    id: str = field(default_factory=new_id)
    author: str
    computer: str
    at: str = field(default_factory=now_utc)
    verb: str
    schema: str
    undoes: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One row before and after; None where it was not there."""

    id: str = field(default_factory=new_id)
    act_id: str
    order: int
    table: str
    row_id: str
    before: str | None
    after: str | None
