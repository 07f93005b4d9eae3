"""Which of a man's rules answers where, as sets of looks."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from itertools import combinations

from gradecut.records.people import Side
from gradecut.scheme._product import Set, less
from gradecut.scheme._questions import Choice, Question
from gradecut.scheme.auditing._problem import Problem
from gradecut.scheme.parts import Position

__all__ = ["Answers", "Piece", "disagreement"]


@dataclass(frozen=True, slots=True)
class Piece:
    """Where one rule speaks, from one side of the man, with its answer on one side.

    Attributes
    ----------
    choice : Choice
        The rule.
    own, side : "left", "right" or None
        The man's side, and that of the answer.
    looks : Set
        Where; whether they can be or not.
    """

    choice: Choice
    own: Side | None
    side: Side | None
    looks: Set

    @property
    def said(self) -> tuple[Hashable, Side | None]:
        """Give what is answered."""
        return (self.choice.answer, self.side)


class Answers:
    """One man's rules, or alignments, over a product of facts.

    Parameters
    ----------
    question : Question
        The rules.
    problem : Problem
        Holds every reference the question depends on.

    Attributes
    ----------
    pieces : list of Piece
        Where each rule matches.
    told : list of Piece
        Where each rule is the one that answers; these do not meet.
    holes : Set
        Where nothing matches.
    clashes : list of (Choice, Choice)
        Rules of the answering tier that disagree somewhere.
    nothing : Set
        Where there is no answer.
    """

    def __init__(self, question: Question, problem: Problem) -> None:
        self.pieces = _pieces(question.man, question.choices, problem)
        self.told: list[Piece] = []
        self.clashes: list[tuple[Choice, Choice]] = []
        left = self.nothing = problem.valid
        ranks = sorted({piece.choice.rank for piece in self.pieces}, reverse=True)
        for rank in ranks:
            left = self._answer([one for one in self.pieces if one.choice.rank == rank], left)
        self.holes = left
        for piece in self.told:
            self.nothing = less(self.nothing, piece.looks)

    def _answer(self, tier: list[Piece], left: Set) -> Set:
        said: dict[tuple[Hashable, Side | None], Set] = {}
        for piece in tier:
            said[piece.said] = said.get(piece.said, 0) | piece.looks
        once: Set = 0
        twice: Set = 0
        for looks in said.values():
            twice = twice | (once & looks)
            once = once | looks
        clash = twice & left
        if clash:
            self._clash(tier, clash)
        here = less(left, clash) if clash else left
        for piece in tier:
            mine = piece.looks & here
            if mine:
                self.told.append(Piece(piece.choice, piece.own, piece.side, mine))
                here = less(here, mine)
        return less(left, once)

    def _clash(self, tier: list[Piece], clash: Set) -> None:
        parties = [(piece, looks) for piece in tier if (looks := piece.looks & clash)]
        found: dict[tuple[Choice, Choice], None] = {}
        for (one, ones), (two, twos) in combinations(parties, 2):
            if one.said == two.said or one.own != two.own:
                continue
            pair = (one.choice, two.choice)
            if pair not in found and ones & twos:
                found[pair] = None
        self.clashes += found


def disagreement(
    man: Position, one: Choice, two: Choice, higher: Sequence[Choice], problem: Problem
) -> Set:
    """Give where two rules of a tier disagree and none of the higher tiers matches.

    Parameters
    ----------
    man : Position
        Whose rules they are.
    one, two : Choice
        The rules.
    higher : sequence of Choice
        Those of higher tiers.
    problem : Problem
        Holds every reference they depend on.
    """
    found: Set = 0
    twos = _pieces(man, (two,), problem)
    for left in _pieces(man, (one,), problem):
        for right in twos:
            if left.own == right.own and left.said != right.said:
                found = found | (left.looks & right.looks)
    found = found & problem.valid
    for piece in _pieces(man, higher, problem):
        found = less(found, piece.looks)
    return found


def _pieces(man: Position, choices: Sequence[Choice], problem: Problem) -> list[Piece]:
    found: list[Piece] = []
    sides = problem.own_sides(man)
    for choice in choices:
        for own, place in sides.items():
            here = place & problem.where(choice.readings[own])
            if not here:
                continue
            for side, where in problem.sides(choice.side, own).items():
                if here & where:
                    found.append(Piece(choice, own, side, here & where))
    return found
