"""What an audit says of a scheme."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from gradecut.scheme.parts import Value

__all__ = ["Audit", "Finding", "Kind"]

Kind = Literal["hole", "overlap", "masked", "dead", "idle", "duty"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Finding:
    """One thing an audit found.

    Attributes
    ----------
    kind : str
        "hole", "overlap", "masked", "dead", "idle" or "duty".
    message : str
        One sentence for the coach.
    rules : tuple of str
        The rules or alignments meant, by id, in file order.
    position : str or None
        The man, for a hole or an overlap.
    fact : str or None
        The idle fact.
    duty : str or None
        The broken duty.
    look : mapping of str to value, or None
        For a hole, an overlap or a duty: a smallest look, all of whose completions show it; empty
        where every look does.
    """

    kind: Kind
    message: str
    rules: tuple[str, ...] = ()
    position: str | None = None
    fact: str | None = None
    duty: str | None = None
    look: Mapping[str, Value] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Audit:
    """All findings over every look that can be; true when the scheme is sound.

    Attributes
    ----------
    looks : int
        How many looks it was proven over, exactly.
    holes : tuple of Finding
        One for each man without an answer somewhere, in file order.
    overlaps : tuple of Finding
        One for each man and two rules of the answering tier that disagree.
    masked, dead : tuple of Finding
        One for each rule or alignment that never answers, or never matches.
    idle : tuple of Finding
        One for each fact on which nothing depends.
    duties : tuple of Finding
        One for each duty that is broken somewhere.
    unproven : tuple of str
        What could not be settled in bounded time, a sentence each: that nothing depends on a fact,
        or that the look shown is a smallest one (none of its references can be left out). All
        else is proven.
    """

    looks: int
    holes: tuple[Finding, ...] = field(default=())
    overlaps: tuple[Finding, ...] = field(default=())
    masked: tuple[Finding, ...] = field(default=())
    dead: tuple[Finding, ...] = field(default=())
    idle: tuple[Finding, ...] = field(default=())
    duties: tuple[Finding, ...] = field(default=())
    unproven: tuple[str, ...] = field(default=())

    def __bool__(self) -> bool:
        """Tell whether there is no hole, no overlap and no broken duty."""
        return not (self.holes or self.overlaps or self.duties)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """Give all of them: holes, overlaps, masked, dead, idle, duties."""
        return (
            *self.holes, *self.overlaps, *self.masked, *self.dead, *self.idle, *self.duties,
        )  # fmt: skip
