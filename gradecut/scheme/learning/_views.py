"""Looks as one man sees them: to and away from him, and what is attached where the ball goes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from gradecut.records.people import Side
from gradecut.scheme._reading import Answer, other
from gradecut.scheme._ties import Ties
from gradecut.scheme.parts import Fact, FollowedSide, Position, SideRule, Value

__all__ = ["Box", "Trait", "View", "written_when"]

_SIDES: tuple[Side, ...] = ("left", "right")
_NAMED: Mapping[Answer, Side] = {"left": "left", "right": "right"}
_Ways = Mapping[str, tuple[Answer, ...]]

Box = tuple[int, ...]
"""One set of values (as bits over the trait's values) for each trait of a view."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Trait:
    """Something a rule for this man can ask of a look.

    Attributes
    ----------
    word : str
        As a condition writes it: "run", "surface.to", "surface.run".
    fact, pointer : str, str or None
        The fact it is about, and the sided fact that says on which side.
    values : tuple
        What it may be, as a condition writes it; None last, where it may have none.
    """

    word: str
    fact: str
    pointer: str | None
    values: tuple[Answer, ...]

    @property
    def full(self) -> int:
        """Give the set of all its values."""
        return (1 << len(self.values)) - 1

    def spread(self, values: frozenset[Answer]) -> int:
        """Give a set of values as bits."""
        return sum(1 << place for place, value in enumerate(self.values) if value in values)


class View:
    """One man's eyes.

    Parameters
    ----------
    man : Position
        The man.
    facts : mapping of str to Fact
        The scheme's facts.
    ties : Ties
        What ties them.

    Attributes
    ----------
    traits : tuple of Trait
        All that can differ between two looks as he sees them.
    fixed : dict of str to Answer
        What is always the same: the strength, for a man who goes with it.
    """

    def __init__(self, man: Position, facts: Mapping[str, Fact], ties: Ties) -> None:
        self.man = man
        self._facts = facts
        self._ties = ties
        words = tuple(_words(man, facts))
        seen: dict[str, set[Answer]] = {word: set() for word, _, _ in words}
        for side, ways in self._standing(ties.ways({}), None):
            for word, fact, where in words:
                seen[word] |= self._seen(fact, where, side, ways)
        self.traits = tuple(
            Trait(
                word=word,
                fact=fact,
                pointer=where if where in facts else None,
                values=_in_order(facts[fact], man, seen[word]),
            )
            for word, fact, where in words
            if len(seen[word]) > 1
        )
        self.fixed = {
            word: values.copy().pop() for word, values in seen.items() if len(values) == 1
        }
        self._wheres = {word: where for word, _, where in words}

    def boxes(self, look: Mapping[str, Value], side: Side | None) -> tuple[Box, ...]:
        """Give what a look may be as he sees it: a box for each way he may be standing.

        Returns
        -------
        tuple of Box
            None at all where he has no side on this look.
        """
        found: dict[Box, None] = {}
        for own, ways in self._standing(self._ties.ways(look), side):
            box = tuple(
                trait.spread(frozenset(self._seen(trait.fact, self._wheres[trait.word], own, ways)))
                for trait in self.traits
            )
            found[box] = None
        return tuple(found)

    def _standing(self, ways: _Ways, told: Side | None) -> Iterator[tuple[Side | None, _Ways]]:
        man = self.man
        if not man.sided:
            yield None, ways
            return
        if man.side == "as aligned":
            word = f"side.{man.name}"
            for side in _SIDES:
                if side in ways[word] and told in (None, side):
                    yield side, ways
            return
        for own, narrowed in _followed(man.side, ways):
            if own is not None and told in (None, own):
                yield own, narrowed

    def _seen(self, name: str, where: str | None, side: Side | None, ways: _Ways) -> set[Answer]:
        fact = self._facts[name]
        if where is None:
            values = set(ways[name])
            return {_from(value, side) for value in values} if fact.sided else values
        if where in ("to", "away") and side is not None:
            where = side if where == "to" else other(side)
        if where in _SIDES:
            return set(ways[f"{name}.{where}"])
        found: set[Answer] = set()
        for points in ways[where]:
            if points in _SIDES:
                found |= set(ways[f"{name}.{points}"])
            else:
                found.add(None)
        return found


def _words(man: Position, facts: Mapping[str, Fact]) -> Iterator[tuple[str, str, str | None]]:
    own = man.side.fact if isinstance(man.side, FollowedSide) else None
    places = ("to", "away") if man.sided else _SIDES
    pointers = [fact.name for fact in facts.values() if fact.sided and fact.name != own]
    for fact in facts.values():
        if not fact.per_side:
            yield fact.name, fact.name, None
            continue
        for where in (*places, *pointers):
            yield f"{fact.name}.{where}", fact.name, where


def _in_order(fact: Fact, man: Position, seen: set[Answer]) -> tuple[Answer, ...]:
    values: list[Answer] = list(fact.values)
    if fact.sided and man.sided:
        values = ["to", "away", *(value for value in values if value not in _SIDES)]
    return (*(value for value in values if value in seen), *((None,) if None in seen else ()))


def _from(value: Answer, side: Side | None) -> Answer:
    if side is None or value not in _SIDES:
        return value
    return "to" if value == side else "away"


def _followed(rule: SideRule | None, ways: _Ways) -> Iterator[tuple[Side | None, _Ways]]:
    """Walk through every side he may have, with the ways of the look that go with it."""
    if not isinstance(rule, FollowedSide):
        yield ("left" if rule == "left" else "right" if rule == "right" else None), ways
        return
    rest: list[Answer] = []
    for points in ways[rule.fact]:
        side = _NAMED.get(points)
        if side is not None:
            yield other(side) if rule.opposite else side, {**ways, rule.fact: (points,)}
        else:
            rest.append(points)
    if rest:
        yield from _followed(rule.otherwise, {**ways, rule.fact: tuple(rest)})


def written_when(traits: tuple[Trait, ...], condition: Mapping[int, int]) -> dict[str, object]:
    """Write a condition (allowed values by trait) as the scheme file does."""
    return {
        traits[place].word: _test(traits[place], condition[place]) for place in sorted(condition)
    }


def _test(trait: Trait, allowed: int) -> object:
    inside = [value for place, value in enumerate(trait.values) if allowed >> place & 1]
    outside = [value for place, value in enumerate(trait.values) if not allowed >> place & 1]
    if None in inside:
        return {"not": outside[0] if len(outside) == 1 else outside}
    return inside[0] if len(inside) == 1 else inside
