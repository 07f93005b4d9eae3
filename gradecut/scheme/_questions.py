"""One man's rules made ready, and their answer on every way the look may still be."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from dataclasses import dataclass, field

from gradecut.records.people import Side
from gradecut.scheme._men import followed_facts
from gradecut.scheme._reading import Answer, Reading, holds_where, other, read, references_of
from gradecut.scheme._space import Space
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
    "Picture",
    "Question",
    "alignment_question",
    "fit_question",
    "own_side",
    "own_sides",
    "picture",
    "picture_at",
]

_SIDES: dict[object, Side] = {"left": "left", "right": "right"}
_LEFT: frozenset[Answer] = frozenset({"left"})
_RIGHT: frozenset[Answer] = frozenset({"right"})


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


@dataclass(slots=True)
class Picture:
    """What a man's rules say on each combination of a space.

    Attributes
    ----------
    told : list of (Choice, side, int)
        Who answers where, with the side of the answer; sets of bits that do not meet.
    nothing : int
        Where there is no answer.
    clash : list of Choice
        The choices that disagree somewhere with another of the answering tier.
    holes : int
        Where there is no answer because nothing matches.
    overridden : list of (Choice, int)
        Where a choice matches below the answering tier.
    sideless : bool
        The man has no side anywhere, so that none of his rules can match.
    """

    told: list[tuple[Choice, Side | None, int]] = field(default_factory=list)
    nothing: int = 0
    holes: int = 0
    clash: list[Choice] = field(default_factory=list)
    overridden: list[tuple[Choice, int]] = field(default_factory=list)
    sideless: bool = False


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
    return _side_at(man.side, None, values)


def _side_at(rule: SideRule | None, own: Side | None, values: Mapping[str, Answer]) -> Side | None:
    while isinstance(rule, FollowedSide):
        found = _SIDES.get(values[rule.fact])
        if found is not None:
            return other(found) if rule.opposite else found
        rule = rule.otherwise
    if own is not None and rule in ("to", "away"):
        return own if rule == "to" else other(own)
    return _SIDES.get(rule)


def own_sides(man: Position, space: Space) -> dict[Side | None, int]:
    """Give where a man is on the left, on the right, and without a side."""
    if man.side == "as aligned":
        reference = f"side.{man.name}"
        return {"left": space.where(reference, _LEFT), "right": space.where(reference, _RIGHT)}
    return _sides_where(man.side, None, space)


def _sides_where(rule: SideRule | None, own: Side | None, space: Space) -> dict[Side | None, int]:
    found: dict[Side | None, int] = {}
    rest = space.full
    while isinstance(rule, FollowedSide):
        left = space.where(rule.fact, _LEFT) & rest
        right = space.where(rule.fact, _RIGHT) & rest
        if rule.opposite:
            left, right = right, left
        found["left"] = found.get("left", 0) | left
        found["right"] = found.get("right", 0) | right
        rest &= ~(left | right)
        rule = rule.otherwise
    end = _side_at(rule, own, {})
    found[end] = found.get(end, 0) | rest
    return found


def picture_at(question: Question, values: Mapping[str, Answer]) -> Picture:
    """Answer a question on one look with every fact known; the picture has a single bit."""
    own = own_side(question.man, values)
    found = Picture()
    if own is None and question.man.sided:
        return Picture(nothing=1, holes=1, sideless=True)
    matching = question.matching(own, values)
    if not matching:
        return Picture(nothing=1, holes=1)
    top = matching[0]
    side = _side_at(top.side, own, values)
    for choice in matching:
        if choice.rank != top.rank:
            found.overridden.append((choice, 1))
        elif choice.answer != top.answer or _side_at(choice.side, own, values) != side:
            found.clash.append(choice)
    if found.clash:
        return Picture(nothing=1, clash=[top, *found.clash])
    found.told.append((top, side, 1))
    return found


def picture(question: Question, space: Space, valid: int) -> Picture:
    """Answer a question on every combination of a space at once.

    Parameters
    ----------
    question : Question
        A man's rules or alignments.
    space : Space
        Holds every reference the question depends on.
    valid : int
        The combinations that may be.
    """
    sides = own_sides(question.man, space)
    found = Picture()
    if question.man.sided:
        found.sideless = not valid & ~sides.pop(None, 0)
    pieces = _matches(question, sides, space, valid)
    left = valid
    for rank in sorted({choice.rank for choice, _, _ in pieces}, reverse=True):
        left = _one_tier([piece for piece in pieces if piece[0].rank == rank], left, found)
    found.holes = left
    found.nothing |= left
    below = valid
    for rank in sorted({choice.rank for choice, _, _ in pieces}, reverse=True):
        here = 0
        for choice, _, bits in pieces:
            if choice.rank == rank:
                here |= bits
                if bits & ~below:
                    found.overridden.append((choice, bits & ~below))
        below &= ~here
    return found


_Piece = tuple[Choice, Side | None, int]


def _matches(
    question: Question, sides: Mapping[Side | None, int], space: Space, valid: int
) -> list[_Piece]:
    pieces: list[_Piece] = []
    for choice in question.choices:
        for own, place in sides.items():
            here = place & valid
            if not here:
                continue
            here &= holds_where(choice.readings[own], space)
            if not here:
                continue
            for side, where in _sides_where(choice.side, own, space).items():
                if here & where:
                    pieces.append((choice, side, here & where))
    return pieces


def _one_tier(pieces: list[_Piece], left: int, found: Picture) -> int:
    said: dict[tuple[Hashable, Side | None], int] = {}
    for choice, side, bits in pieces:
        key = (choice.answer, side)
        said[key] = said.get(key, 0) | bits
    once = twice = 0
    for bits in said.values():
        twice |= once & bits
        once |= bits
    clash = twice & left
    found.nothing |= clash
    told: dict[tuple[Hashable, Side | None], int] = {}
    for choice, side, bits in pieces:
        key = (choice.answer, side)
        mine = bits & left & ~clash & ~told.get(key, 0)
        told[key] = told.get(key, 0) | bits
        if bits & clash and choice not in found.clash:
            found.clash.append(choice)
        if mine:
            found.told.append((choice, side, mine))
    return left & ~once
