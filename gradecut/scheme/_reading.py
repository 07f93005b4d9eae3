"""Conditions made ready to be asked: read from one side, as sets of allowed values."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from gradecut.records.people import Side
from gradecut.scheme.parts import Condition, Entry, Fact, Value

__all__ = [
    "ALWAYS",
    "Answer",
    "Check",
    "PointedCheck",
    "Reading",
    "allowed_values",
    "holds",
    "may_hold",
    "other",
    "read",
    "references_of",
]

Answer = Value | None
"""A value of a reference; None where it has none, because its fact does not apply."""


@dataclass(frozen=True, slots=True)
class Check:
    """One reference has one of the allowed values (None: it may have none)."""

    reference: str
    allowed: frozenset[Answer]

    def holds(self, values: Mapping[str, Answer]) -> bool:
        """Tell whether it holds on one look with every fact known."""
        return values[self.reference] in self.allowed

    def may_hold(self, ways: Mapping[str, tuple[Answer, ...]]) -> bool:
        """Tell whether it holds in any of the ways its reference may still be."""
        return not self.allowed.isdisjoint(ways[self.reference])

    @property
    def references(self) -> tuple[str, ...]:
        """Give what it depends on."""
        return (self.reference,)


@dataclass(frozen=True, slots=True)
class PointedCheck:
    """A fact recorded per side has an allowed value on the side where a sided fact points."""

    pointer: str
    left: str
    right: str
    allowed: frozenset[Answer]

    def holds(self, values: Mapping[str, Answer]) -> bool:
        """Tell whether it holds on one look with every fact known."""
        side = values[self.pointer]
        if side == "left":
            return values[self.left] in self.allowed
        if side == "right":
            return values[self.right] in self.allowed
        return None in self.allowed

    def may_hold(self, ways: Mapping[str, tuple[Answer, ...]]) -> bool:
        """Tell whether it holds in any of the ways its references may still be."""
        pointed: dict[Answer, tuple[Answer, ...]] = {
            "left": ways[self.left],
            "right": ways[self.right],
        }
        return any(
            not self.allowed.isdisjoint(pointed.get(point, (None,))) for point in ways[self.pointer]
        )

    @property
    def references(self) -> tuple[str, ...]:
        """Give what it depends on."""
        return (self.pointer, self.left, self.right)


Reading = tuple[tuple[Check | PointedCheck, ...], ...]
"""Any of these must hold; each holds when all its checks do."""

ALWAYS: Reading = ((),)


def other(side: Side) -> Side:
    """Give the other side."""
    return "right" if side == "left" else "left"


def _seen_from(value: Value, side: Side | None) -> Value:
    if side is None:
        return value
    if value == "to":
        return side
    if value == "away":
        return other(side)
    return value


def allowed_values(
    entry: Entry, values: tuple[Value, ...], *, sided: bool, side: Side | None
) -> frozenset[Answer]:
    """Give the declared values that satisfy an entry, and None where having none does."""
    view = side if sided else None
    barred = {_seen_from(value, view) for value in entry.barred}
    allowed: set[Answer] = {value for value in values if value not in barred}
    if entry.among is not None:
        allowed &= {_seen_from(value, view) for value in entry.among}
    least, most = entry.least, entry.most
    if least is not None:
        allowed = {value for value in allowed if isinstance(value, int) and value >= least}
    if most is not None:
        allowed = {value for value in allowed if isinstance(value, int) and value <= most}
    if entry.among is None and least is None and most is None:
        allowed.add(None)
    return frozenset(allowed)


def _check(entry: Entry, facts: Mapping[str, Fact], side: Side | None) -> Check | PointedCheck:
    fact = facts[entry.fact]
    allowed = allowed_values(entry, fact.values, sided=fact.sided, side=side)
    where = entry.where
    if where is None:
        return Check(fact.name, allowed)
    if where in {"to", "away"} and side is not None:
        where = side if where == "to" else other(side)
    if where in {"left", "right"}:
        return Check(f"{fact.name}.{where}", allowed)
    return PointedCheck(where, f"{fact.name}.left", f"{fact.name}.right", allowed)


def read(condition: Condition, facts: Mapping[str, Fact], side: Side | None = None) -> Reading:
    """Make a condition ready.

    Parameters
    ----------
    condition : Condition
        As written.
    facts : mapping of str to Fact
        The facts it names.
    side : "left", "right" or None
        The side from which to and away are read; None where left and right are written.

    Returns
    -------
    Reading
        What can be asked of a look.
    """
    return tuple(tuple(_check(entry, facts, side) for entry in all_of) for all_of in condition)


def references_of(reading: Reading) -> frozenset[str]:
    """Give the references a reading depends on."""
    return frozenset(
        reference for all_of in reading for check in all_of for reference in check.references
    )


def holds(reading: Reading, values: Mapping[str, Answer]) -> bool:
    """Tell whether a reading holds on one look with every fact known."""
    for all_of in reading:  # plain loops: three times as fast as any() and all() here
        for check in all_of:
            if not check.holds(values):
                break
        else:
            return True
    return False


def may_hold(reading: Reading, ways: Mapping[str, tuple[Answer, ...]]) -> bool:
    """Tell whether each check of some alternative may hold, taken by itself."""
    return any(all(check.may_hold(ways) for check in all_of) for all_of in reading)
