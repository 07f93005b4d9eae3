"""What ties facts together: where one applies, and what can't be."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from graphlib import TopologicalSorter

from gradecut.errors import LookError
from gradecut.scheme._reading import (
    Answer,
    Reading,
    holds,
    may_hold,
    read,
    references_of,
)
from gradecut.scheme._tables import Table
from gradecut.scheme.parts import Fact, Impossible, Value

__all__ = ["Barred", "Present", "Tie", "Ties", "Ways", "completion", "too_open"]

Ways = Mapping[str, tuple[Answer, ...]]
"""The values each reference may still have; None among them where it may have none."""

_SIDES: tuple[Answer, ...] = ("left", "right")
_STEPS = 100_000


@dataclass(frozen=True, slots=True)
class Barred:
    """A reading that cannot be; `entry` is its place in the file's list."""

    reading: Reading
    references: tuple[str, ...]
    entry: int

    def allows(self, values: Mapping[str, Answer]) -> bool:
        """Tell whether a look with every fact known may be."""
        return not holds(self.reading, values)


@dataclass(frozen=True, slots=True)
class Present:
    """A reference that has a value exactly where a reading holds."""

    reference: str
    reading: Reading
    references: tuple[str, ...]

    def allows(self, values: Mapping[str, Answer]) -> bool:
        """Tell whether a look with every fact known may be."""
        return holds(self.reading, values) == (values[self.reference] is not None)


Tie = Barred | Present


def too_open(count: int) -> LookError:
    """Say that too much is open to answer exactly."""
    return LookError(
        f"{count} facts that hang together are still open, too many to answer exactly; "
        "record some of them first"
    )


class Ties:
    """The facts of a scheme as references, and all that ties them.

    Parameters
    ----------
    facts : mapping of str to Fact
        In file order.
    references : sequence of str
        All references in file order, sides told for each rep among them.
    impossible : sequence of Impossible
        What cannot be.
    """

    def __init__(
        self,
        facts: Mapping[str, Fact],
        references: Sequence[str],
        impossible: Sequence[Impossible],
    ) -> None:
        self.references = tuple(references)
        self._values: dict[str, tuple[Value, ...]] = dict.fromkeys(references, ("left", "right"))
        self._fact: dict[str, Fact] = {}
        for fact in facts.values():
            for reference in fact.references:
                self._values[reference] = fact.values
                self._fact[reference] = fact
        self._barred = tuple(_barred(impossible, facts))
        self._barred_table = Table([tie.reading for tie in self._barred], self.values_of)
        self._present = _presents(facts)
        ties: list[Tie] = [*self._barred, *self._present.values()]
        self.ties: tuple[Tie, ...] = tuple(ties)
        self._order = _in_order(self.references, self._present)
        named = [reference for tie in self._barred for reference in tie.references]
        for present in self._present.values():
            named += [word for word in present.references if word != present.reference]
        self.ends = frozenset(self._present) - frozenset(named)

    def values_of(self, reference: str) -> tuple[Value, ...]:
        """Give the values a reference may have."""
        return self._values[reference]

    def fact_of(self, reference: str) -> Fact | None:
        """Give the fact of a reference; None for the side of a man."""
        return self._fact.get(reference)

    def present(self, reference: str) -> Present | None:
        """Give where a reference has a value; None: everywhere."""
        return self._present.get(reference)

    def ways(self, look: Mapping[str, Value]) -> dict[str, tuple[Answer, ...]]:
        """Give the values each reference may still have, in file order.

        Parameters
        ----------
        look : mapping of str to value
            What is known, already checked by name and value.

        Raises
        ------
        LookError
            When a value is recorded for a fact that does not apply.
        """
        ways: dict[str, tuple[Answer, ...]] = dict.fromkeys(self.references, ())
        for reference, present in self._order:
            known = (look[reference],) if reference in look else None
            if present is None:
                ways[reference] = known or self._values[reference]
                continue
            needed = [word for word in present.references if word != reference]
            if any(len(ways[word]) > 1 for word in needed):
                ways[reference] = known or (*self._values[reference], None)
            elif holds(present.reading, {word: ways[word][0] for word in needed}):
                ways[reference] = known or self._values[reference]
            elif known:
                raise _idle(reference)
            else:
                ways[reference] = (None,)
        return ways

    def whole(self, look: Mapping[str, Value]) -> dict[str, Answer] | None:
        """Give every reference its value on a look that leaves nothing open; None for others.

        Raises
        ------
        LookError
            When the look can't be.
        """
        values: dict[str, Answer] = {}
        for reference, present in self._order:
            value = look.get(reference)
            if present is None or holds(present.reading, values):
                if value is None:
                    return None
            elif value is not None:
                raise _idle(reference)
            values[reference] = value
        broken = self._barred_table.holding(values)
        if broken:
            raise _cannot_be(self._barred[broken[0]])
        return values

    def fitting(self, look: Mapping[str, Value]) -> dict[str, Value]:
        """Leave out of a look what is recorded for facts that can't apply with the rest of it."""
        kept: dict[str, Value] = {}
        ways: dict[str, tuple[Answer, ...]] = {}
        for reference, present in self._order:
            may = present is None or may_hold(present.reading, ways)
            if reference in look and may:
                kept[reference] = look[reference]
                ways[reference] = (look[reference],)
            elif not may:
                ways[reference] = (None,)
            else:
                ways[reference] = (*self._values[reference], None)
        return kept

    def bearing_on(self, references: Iterable[str]) -> frozenset[str]:
        """Give the references that can bear on some others: these, and all they are tied to."""
        home = self._homes
        places = {_root(home, reference) for reference in references}
        return frozenset(word for word in self.references if _root(home, word) in places)

    @cached_property
    def _homes(self) -> dict[str, str]:
        home = {reference: reference for reference in self.references}
        for tie in self.ties:
            for word in tie.references[1:]:
                home[_root(home, word)] = _root(home, tie.references[0])
        return home

    def groups(self, ways: Ways) -> tuple[dict[str, int], list[list[str]], list[list[Tie]]]:
        """Part the open references into groups that nothing ties to each other.

        Returns
        -------
        tuple
            The group of each open reference, the references of each group in file order, and
            the ties of each group.

        Raises
        ------
        LookError
            When what is known can't be.
        """
        home = {reference: reference for reference, way in ways.items() if len(way) > 1}
        lasting: list[tuple[Tie, str]] = []
        for tie in self.ties:
            loose = [reference for reference in tie.references if reference in home]
            if not loose:
                if not tie.allows({word: ways[word][0] for word in tie.references}):
                    raise _cannot_be(tie)
                continue
            lasting.append((tie, loose[0]))
            first = _root(home, loose[0])
            for reference in loose[1:]:
                home[_root(home, reference)] = first
        number: dict[str, int] = {}
        group_of: dict[str, int] = {}
        members: list[list[str]] = []
        for reference in home:
            place = number.setdefault(_root(home, reference), len(number))
            if place == len(members):
                members.append([])
            members[place].append(reference)
            group_of[reference] = place
        ties: list[list[Tie]] = [[] for _ in members]
        for tie, reference in lasting:
            ties[group_of[reference]].append(tie)
        return group_of, members, ties


def _root(home: dict[str, str], reference: str) -> str:
    while home[reference] != reference:
        home[reference] = home[home[reference]]
        reference = home[reference]
    return reference


def _idle(reference: str) -> LookError:
    return LookError(
        f'"{reference}" has a value, but with the rest of this look it does not apply; '
        "take it out or correct the others"
    )


def _cannot_be(tie: Tie) -> LookError:
    told = ", ".join(f'"{reference}"' for reference in sorted(set(tie.references)))
    if isinstance(tie, Present):
        return LookError(f"This look can't be: {told} don't go together")
    return LookError(f"The scheme calls this look impossible: {told} don't go together so")


def _barred(impossible: Sequence[Impossible], facts: Mapping[str, Fact]) -> Iterable[Barred]:
    for place, entry in enumerate(impossible):
        if entry.each_side:
            readings = [read(entry.when, facts, "left"), read(entry.when, facts, "right")]
        else:
            readings = [read(entry.when, facts)]
        for reading in readings:
            yield Barred(reading, tuple(sorted(references_of(reading))), place)


def _presents(facts: Mapping[str, Fact]) -> dict[str, Present]:
    found: dict[str, Present] = {}
    for fact in facts.values():
        if fact.applies is None:
            continue
        reading = read(fact.applies, facts)
        needed = sorted(references_of(reading))
        for reference in fact.references:
            found[reference] = Present(reference, reading, (*needed, reference))
    return found


def _in_order(
    references: Sequence[str], present: Mapping[str, Present]
) -> tuple[tuple[str, Present | None], ...]:
    """Order references so that each comes after those its fact's `applies` names."""
    before = {
        reference: present[reference].references[:-1] if reference in present else ()
        for reference in references
    }
    order = TopologicalSorter(before).static_order()
    return tuple((reference, present.get(reference)) for reference in order)


def completion(
    references: Sequence[str], ways: Ways, ties: Sequence[Tie]
) -> dict[str, Answer] | None:
    """Find one way in which these open references may be filled in; None when there is none.

    Raises
    ------
    LookError
        When the search is not at its end after a bounded number of steps.
    """
    place_of = {reference: place for place, reference in enumerate(references)}
    due: list[list[Tie]] = [[] for _ in references]
    values: dict[str, Answer] = {}
    for tie in ties:
        for word in tie.references:
            if word not in place_of:
                values[word] = ways[word][0]
        due[max(place_of[word] for word in tie.references if word in place_of)].append(tie)
    tried = [0] * len(references)
    place = steps = 0
    while 0 <= place < len(references):
        reference = references[place]
        if tried[place] == len(ways[reference]):
            tried[place] = 0
            place -= 1
            continue
        values[reference] = ways[reference][tried[place]]
        tried[place] += 1
        steps += 1
        if steps > _STEPS:
            raise too_open(len(references))
        if all(tie.allows(values) for tie in due[place]):
            place += 1
    return None if place < 0 else values
