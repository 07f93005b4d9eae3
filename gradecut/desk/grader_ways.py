"""How each grader works in each book on this computer: which men are his, and whether blind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from gradecut.book import Book
from gradecut.records import now_utc

if TYPE_CHECKING:
    from gradecut.desk.remembered import Remembered

__all__ = ["GraderWays", "Ways", "read_ways", "take_up_ways", "ways_of", "with_ways"]


@dataclass(frozen=True, slots=True, kw_only=True)
class GraderWays:
    """How one grader works in one book.

    Attributes
    ----------
    group : str or None
        The group of men he grades, "" for all; None: as the book says.
    blind_since : str
        When he began to grade blind, ISO 8601 in UTC; empty while he does not.
    lifted_at, lifted_where : str
        When he lifted it for the first time, and on which play he was; empty before that. What
        he judges from then on is no judgement of its own, however often he grades blind again.
    """

    group: str | None = None
    blind_since: str = ""
    lifted_at: str = ""
    lifted_where: str = ""

    @property
    def blind(self) -> bool:
        """Whether what others judged is hidden from him now."""
        return bool(self.blind_since) and self.blind_since >= self.lifted_at

    def begin_blind(self) -> GraderWays:
        """Grade blind from now on."""
        return self if self.blind else replace(self, blind_since=now_utc())

    def lift_blind(self, where: str) -> GraderWays:
        """See what others judged from now on; kept is when he first did, and where he was."""
        if not self.blind:
            return self
        first = (self.lifted_at, self.lifted_where) if self.lifted_at else (now_utc(), where)
        return replace(self, blind_since="", lifted_at=first[0], lifted_where=first[1])


Ways = Mapping[str, Mapping[str, GraderWays]]
"""By the book's path, then by the grader's name."""


def ways_of(remembered: Remembered, book: Book, grader: str = "") -> GraderWays:
    """Return how a grader works in a book; the book's author where nobody is named."""
    return remembered.ways.get(str(book.path), {}).get(grader or book.author, GraderWays())


def with_ways(remembered: Remembered, path: str, grader: str, ways: GraderWays) -> Remembered:
    """Keep how a grader works in the book at a path."""
    there = {**remembered.ways.get(path, {}), grader: ways}
    return replace(remembered, ways={**remembered.ways, path: there})


def take_up_ways(book: Book, ways: GraderWays) -> None:
    """Let the book show its author what he is to see: his men, and others' work or not."""
    book.group, book.blind = ways.group, ways.blind


def read_ways(told: object) -> dict[str, dict[str, GraderWays]]:
    """Read what was remembered; what can't be read is forgotten."""
    found: dict[str, dict[str, GraderWays]] = {}
    for path, graders in told.items() if isinstance(told, dict) else ():
        for name, ways in graders.items() if isinstance(graders, dict) else ():
            if isinstance(ways, dict):
                found.setdefault(str(path), {})[str(name)] = _read_one(ways)
    return found


def _read_one(told: Mapping[str, object]) -> GraderWays:
    group = told.get("group")
    return GraderWays(
        group=group if isinstance(group, str) else None,
        blind_since=str(told.get("blind_since") or ""),
        lifted_at=str(told.get("lifted_at") or ""),
        lifted_where=str(told.get("lifted_where") or ""),
    )
