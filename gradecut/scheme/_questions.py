"""One man's rules made ready to be asked."""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from gradecut.records.people import Side
from gradecut.scheme._men import followed_facts
from gradecut.scheme._reading import Answer, Reading, may_hold, other, read, references_of
from gradecut.scheme._tables import Table
from gradecut.scheme.parts import (
    AlignmentRule,
    Fact,
    Fit,
    FollowedSide,
    Position,
    Rule,
    SideRule,
    Value,
)

__all__ = [
    "Choice",
    "Question",
    "alignment_question",
    "fit_question",
    "live",
    "own_side",
    "side_at",
    "sides_of",
]

_SIDES: dict[object, Side] = {"left": "left", "right": "right"}


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Choice:
    """One rule or alignment, as one man reads it.

    Attributes
    ----------
    item : Rule or AlignmentRule
        As written.
    rank : int
        Its tier, counted from the lowest.
    order : int
        Its place in the file.
    answer : hashable
        What it says, but for the side.
    side : SideRule or None
        Whose side the answer is on.
    readings : mapping of (side or None) to Reading
        Its condition from each side the man may have.
    """

    item: Rule | AlignmentRule
    rank: int
    order: int
    answer: Hashable
    side: SideRule | None
    readings: Mapping[Side | None, Reading]


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """All rules (or alignments) of one man, highest tier first, else in file order."""

    man: Position
    choices: tuple[Choice, ...]
    references: frozenset[str]
    tables: Mapping[Side | None, Table] = field(default_factory=dict)

    def matching(self, own: Side | None, values: Mapping[str, Answer]) -> list[Choice]:
        """Give the choices that match on one look with every fact known, from his side."""
        table = self.tables.get(own)
        if table is None:  # nothing is asked
            return []
        return [self.choices[place] for place in table.holding(values)]


def _question(man: Position, choices: list[Choice], facts: Mapping[str, Fact]) -> Question:
    references = set(_side_references(man))
    for choice in choices:
        references.update(followed_facts(choice.side))
        for reading in choice.readings.values():
            references |= references_of(reading)
    ordered = sorted(choices, key=lambda choice: (-choice.rank, choice.order))
    sides: tuple[Side | None, ...] = ("left", "right") if man.sided else (None,)

    def values_of(reference: str) -> tuple[Value, ...]:
        return facts[reference.partition(".")[0]].values

    return Question(
        man=man,
        choices=tuple(ordered),
        references=frozenset(references),
        tables={
            side: Table([choice.readings[side] for choice in ordered], values_of)
            for side in sides
            if ordered
        },
    )


def _side_references(man: Position) -> tuple[str, ...]:
    if man.side == "as aligned":
        return (f"side.{man.name}",)
    return followed_facts(man.side)


def sides_of(question: Question) -> set[str]:
    """Give the references that the sides of a man and of his answers follow."""
    found = set(_side_references(question.man))
    for choice in question.choices:
        found.update(followed_facts(choice.side))
    return found


def live(question: Question, ways: Mapping[str, tuple[Answer, ...]]) -> Question:
    """Leave out of a question what can't match in any of the ways a look may still be.

    Parameters
    ----------
    question : Question
        A man's rules or alignments.
    ways : mapping of str to tuple
        The values each reference may still have.
    """
    man = question.man
    sides = set(_sides_left(man, ways)) if man.sided else {None}
    choices: list[Choice] = []
    references = set(_side_references(man))
    for choice in question.choices:
        readings = {
            side: tuple(checks for checks in reading if may_hold((checks,), ways))
            for side, reading in choice.readings.items()
            if side in sides
        }
        if any(readings.values()):
            references.update(followed_facts(choice.side))
            references.update(*(references_of(reading) for reading in readings.values()))
            choices.append(replace(choice, readings=readings))
    return replace(question, choices=tuple(choices), references=frozenset(references))


def _sides_left(man: Position, ways: Mapping[str, tuple[Answer, ...]]) -> Iterator[Side | None]:
    """Give the sides a man may still be on."""
    rule: SideRule | None = man.side
    if rule == "as aligned":
        yield from (_SIDES[way] for way in ways[f"side.{man.name}"])
        return
    while isinstance(rule, FollowedSide):
        points = {_SIDES.get(way) for way in ways[rule.fact]}
        yield from (other(way) if rule.opposite else way for way in points if way is not None)
        if None not in points:
            return
        rule = rule.otherwise
    yield _SIDES.get(rule)


def _readings(
    item: Rule | AlignmentRule, man: Position, facts: Mapping[str, Fact]
) -> dict[Side | None, Reading]:
    if not man.sided:
        return {None: read(item.when, facts)}
    return {"left": read(item.when, facts, "left"), "right": read(item.when, facts, "right")}


def _ranks(tiers: Sequence[str]) -> dict[str, int]:
    return {tier: rank for rank, tier in enumerate(tiers)}


def fit_question(
    man: Position,
    rules: Sequence[Rule],
    fits: Mapping[str, Fit],
    facts: Mapping[str, Fact],
    tiers: Sequence[str],
) -> Question:
    """Make a man's rules ready."""
    choices: list[Choice] = []
    ranks = _ranks(tiers)
    for order, rule in enumerate(rules):
        if man.name not in rule.men:
            continue
        fit = fits[rule.fit]
        side = fit.side
        if side is None and fit.gap is not None and man.sided:
            side = "to"
        choices.append(
            Choice(
                item=rule,
                rank=ranks[rule.tier],
                order=order,
                answer=(rule.fit, frozenset(rule.also)),
                side=side,
                readings=_readings(rule, man, facts),
            )
        )
    return _question(man, choices, facts)


def alignment_question(
    man: Position,
    alignments: Sequence[AlignmentRule],
    facts: Mapping[str, Fact],
    tiers: Sequence[str],
) -> Question:
    """Make a man's alignments ready."""
    ranks = _ranks(tiers)
    choices = [
        Choice(
            item=item,
            rank=ranks[item.tier],
            order=order,
            answer=(item.depth_yd, item.landmark, item.tolerance_yd, item.eyes),
            side=item.side,
            readings=_readings(item, man, facts),
        )
        for order, item in enumerate(alignments)
        if man.name in item.men
    ]
    return _question(man, choices, facts)


def own_side(man: Position, values: Mapping[str, Answer]) -> Side | None:
    """Give a man's side on one look with every fact known; None where he has none."""
    if man.side == "as aligned":
        return "left" if values[f"side.{man.name}"] == "left" else "right"
    return side_at(man.side, None, values)


def side_at(rule: SideRule | None, own: Side | None, values: Mapping[str, Answer]) -> Side | None:
    """Give a side that may follow facts, on one look with every fact known."""
    while isinstance(rule, FollowedSide):
        found = _SIDES.get(values[rule.fact])
        if found is not None:
            return other(found) if rule.opposite else found
        rule = rule.otherwise
    if own is not None and rule in ("to", "away"):
        return own if rule == "to" else other(own)
    return _SIDES.get(rule)
