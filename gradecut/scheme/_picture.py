"""What a man's rules say on every way a look may still be."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field

from gradecut.records.people import Side
from gradecut.scheme._combinations import Combinations
from gradecut.scheme._product import Set, less
from gradecut.scheme._questions import Choice, Question, own_side, side_at
from gradecut.scheme._reading import Answer

__all__ = ["Picture", "overridden", "picture", "picture_at"]

_Piece = tuple[Choice, Side | None, Set]


@dataclass(slots=True)
class Picture:
    """What a man's rules say on each combination of a product.

    Attributes
    ----------
    told : list of (Choice, side, Set)
        Who answers where, with the side of the answer; sets that do not meet.
    nothing : Set
        Where there is no answer.
    holes : Set
        Where there is no answer because nothing matches.
    clash : list of Choice
        The choices that disagree somewhere with another of the answering tier.
    below : list of (Choice, Set)
        On one look: the choices that match below the answering tier.
    pieces : list of (Choice, side, Set)
        On several looks: where each choice matches, with the side of its answer.
    sideless : bool
        The man has no side anywhere, so that none of his rules can match.
    """

    told: list[_Piece] = field(default_factory=list)
    nothing: Set = 0
    holes: Set = 0
    clash: list[Choice] = field(default_factory=list)
    below: list[tuple[Choice, Set]] = field(default_factory=list)
    pieces: list[_Piece] = field(default_factory=list)
    sideless: bool = False


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
    side = side_at(top.side, own, values)
    for choice in matching:
        if choice.rank != top.rank:
            found.below.append((choice, 1))
        elif choice.answer != top.answer or side_at(choice.side, own, values) != side:
            found.clash.append(choice)
    if found.clash:
        return Picture(nothing=1, clash=[top, *found.clash])
    found.told.append((top, side, 1))
    return found


def picture(question: Question, problem: Combinations, valid: Set) -> Picture:
    """Answer a question on every combination of a product at once.

    Parameters
    ----------
    question : Question
        A man's rules or alignments.
    problem : Combinations
        Holds every reference the question depends on.
    valid : Set
        The combinations that may be.
    """
    sides = problem.own_sides(question.man)
    found = Picture()
    if question.man.sided:
        found.sideless = not any(valid & place for place in sides.values())
    found.pieces = pieces = _matches(question, sides, problem, valid)
    left = valid
    for rank in _ranks(pieces):
        left = _one_tier([piece for piece in pieces if piece[0].rank == rank], left, found)
    found.holes = left
    found.nothing = found.nothing | left
    return found


def overridden(found: Picture, valid: Set) -> list[tuple[Choice, Set]]:
    """Give where a choice matches below the answering tier."""
    if not found.pieces:
        return found.below
    listed: list[tuple[Choice, Set]] = []
    rest = valid
    for rank in _ranks(found.pieces):
        here: Set = 0
        for choice, _, looks in found.pieces:
            if choice.rank == rank:
                here = here | looks
                under = less(looks, rest)
                if under:
                    listed.append((choice, under))
        rest = less(rest, here)
    return listed


def _ranks(pieces: list[_Piece]) -> list[int]:
    return sorted({choice.rank for choice, _, _ in pieces}, reverse=True)


def _matches(
    question: Question, sides: Mapping[Side | None, Set], problem: Combinations, valid: Set
) -> list[_Piece]:
    pieces: list[_Piece] = []
    for choice in question.choices:
        for own, place in sides.items():
            here = place & valid
            if not here:
                continue
            here = here & problem.where(choice.readings[own])
            if not here:
                continue
            for side, where in problem.sides(choice.side, own).items():
                mine = here & where
                if mine:
                    pieces.append((choice, side, mine))
    return pieces


def _one_tier(pieces: list[_Piece], left: Set, found: Picture) -> Set:
    said: dict[tuple[Hashable, Side | None], Set] = {}
    for choice, side, looks in pieces:
        key = (choice.answer, side)
        said[key] = said.get(key, 0) | looks
    once: Set = 0
    twice: Set = 0
    for looks in said.values():
        twice = twice | (once & looks)
        once = once | looks
    clash = twice & left
    found.nothing = found.nothing | clash
    here = less(left, clash)
    for choice, side, looks in pieces:
        if clash and looks & clash and choice not in found.clash:
            found.clash.append(choice)
        mine = looks & here
        if mine:
            found.told.append((choice, side, mine))
            # Where several say the same, the first in the file tells it.
            here = less(here, mine)
    return less(left, once)
