"""The versions of the scheme a book keeps, and putting one back in force."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from gradecut.counting_words import counted
from gradecut.desk.saying import Refusal, says
from gradecut.workflows.booking import scheme_of

if TYPE_CHECKING:
    from gradecut.desk.scheme_desk import SchemeDesk
    from gradecut.workflows.scheme_changes import KeptVersion

__all__ = ["SchemeVersions", "VersionRow"]


@dataclass(frozen=True, slots=True, kw_only=True)
class VersionRow:
    """One version.

    Attributes
    ----------
    name : str
        "Harbor 2".
    came : str
        Day and by whom.
    grades : str
        How many grades name it.
    in_force : bool
    """

    scheme_id: str
    name: str
    came: str
    grades: str
    in_force: bool


class SchemeVersions:
    """Lists the versions; one put back goes the same way as any other: told what it turns first."""

    def __init__(self, desk: SchemeDesk) -> None:
        self._desk = desk

    def rows(self) -> tuple[VersionRow, ...]:
        """List them, the newest first."""
        from gradecut.workflows.scheme_changes import versions

        return tuple(_row(one) for one in reversed(versions(self._desk.book)))

    @says
    def put_back(self, row: VersionRow) -> None:
        """Put a version in force again, after he has seen what that turns."""
        if row.in_force:
            self._desk.say(Refusal(f"{row.name} is in force already."))
            return
        self._desk.keeping.ask(scheme_of(self._desk.book, row.scheme_id).text)

    @says
    def work_on(self, row: VersionRow) -> None:
        """Take a version as the draft; nothing is in force."""
        text = scheme_of(self._desk.book, row.scheme_id).text
        if not self._desk.begin(f"{row.name} taken as the draft", text):
            self._desk.say(f"{row.name} is what is shown already.")

    def say(self, sentence: str) -> None:
        """Say a sentence."""
        self._desk.say(sentence)


def _row(one: KeptVersion) -> VersionRow:
    day = one.added_at[:10]
    name = f"{one.name} {one.version}".strip() or f"version {one.number}"
    grades = counted(one.grades, "grade") if one.grades else "no grade"
    standing = f", {one.standing} standing" if one.grades and one.standing != one.grades else ""
    return VersionRow(
        scheme_id=one.scheme_id,
        name=name,
        came=" · ".join(part for part in (day, one.by) if part),
        grades=grades + standing,
        in_force=one.in_force,
    )
