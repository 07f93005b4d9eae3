"""One man's rules proven: holes, overlaps, which rules speak, and what his answers depend on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import cast

from gradecut.scheme._budget import Budget
from gradecut.scheme._changes import Changes
from gradecut.scheme._product import Set
from gradecut.scheme._questions import Choice, Question, sides_of
from gradecut.scheme.auditing._answers import Answers, disagreement
from gradecut.scheme.auditing._box import box_of, meets_box
from gradecut.scheme.auditing._problem import Bonds, Problem
from gradecut.scheme.auditing._smallest import SmallLook, smallest_look
from gradecut.scheme.parts import Rule, Value

__all__ = ["Depends", "Proven", "prove", "prove_changes", "prove_company"]

_Look = Mapping[str, Value]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proven:
    """What holds of one man's rules, or of his alignments.

    Attributes
    ----------
    hole : SmallLook or None
        A look without a rule; empty where he has none at all.
    sideless : bool
        In every completion of that look he has no side.
    overlaps : tuple of (id, id, SmallLook)
        Rules of the answering tier that disagree, each pair with a look.
    matched, answered : frozenset of str
        Rules that match somewhere, and those that are the answer somewhere.
    """

    hole: SmallLook | None
    sideless: bool
    overlaps: tuple[tuple[str, str, SmallLook], ...]
    matched: frozenset[str]
    answered: frozenset[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Depends:
    """What a man's answer depends on.

    Attributes
    ----------
    changing : frozenset of str
        References that change his answer by themselves.
    tied : frozenset of str
        Other references of his looks, which may change it in company.
    """

    changing: frozenset[str]
    tied: frozenset[str]


def _problem(bonds: Bonds, question: Question, budget: Budget) -> Problem:
    readings = [reading for choice in question.choices for reading in choice.readings.values()]
    return Problem(bonds, readings, sorted(sides_of(question)), budget)


def prove(bonds: Bonds, question: Question, budget: Budget, *, fits: bool) -> Proven:
    """Work out what holds of one man's rules over every look that can be.

    Parameters
    ----------
    bonds : Bonds
        The facts of the scheme.
    question : Question
        The rules of the man.
    budget : Budget
        What the work is counted on.
    fits : bool
        They are rules, so that a look without one is a hole; else they are alignments.

    Raises
    ------
    TooLarge
        When it can't be proven in bounded time.
    """
    problem = _problem(bonds, question, budget)
    answers = Answers(question, problem)

    hole: SmallLook | None = None
    if fits:
        hole = smallest_look(problem.product, problem.valid, answers.holes, budget)
    return Proven(
        hole=hole,
        sideless=hole is not None and _sideless(problem, question, hole.look),
        overlaps=tuple(
            (one.item.id, two.item.id, _overlap(bonds, question, one, two, budget))
            for one, two in answers.clashes
        ),
        matched=frozenset(
            piece.choice.item.id for piece in answers.pieces if piece.looks & problem.valid
        ),
        answered=frozenset(piece.choice.item.id for piece in answers.told),
    )


def _overlap(
    bonds: Bonds, question: Question, one: Choice, two: Choice, budget: Budget
) -> SmallLook:
    """Give a smallest look on which two rules disagree, looking only where both may match."""
    box = box_of(bonds, one, two)
    higher = [
        choice for choice in question.choices if choice.rank > one.rank and meets_box(choice, box)
    ]
    readings = [reading for choice in (one, two, *higher) for reading in choice.readings.values()]
    named = sides_of(replace(question, choices=(one, two, *higher)))
    problem = Problem(bonds, readings, named, budget, only=box)
    shown = disagreement(question.man, one, two, higher, problem)
    found = smallest_look(problem.product, problem.valid, shown, budget, must=box)
    assert found is not None
    alone = {ref: way for ref in box if (way := problem.product.alone.get(ref)) is not None}
    return replace(found, look={**found.look, **alone})


def prove_changes(bonds: Bonds, question: Question, budget: Budget, *, fits: bool) -> Depends:
    """Work out which references change a man's answer by themselves.

    Parameters
    ----------
    bonds, question, budget, fits
        As in `prove`.

    Raises
    ------
    TooLarge
        When it can't be proven in bounded time.
    """
    problem = _problem(bonds, question, budget)
    answers = Answers(question, problem)
    singles = [one.singles() for one in _all_changes(problem, answers, budget, fits=fits)]
    changing = frozenset[str]().union(*singles)
    return Depends(changing=changing, tied=frozenset(problem.product.references) - changing)


def prove_company(
    bonds: Bonds, question: Question, wanted: Iterable[str], budget: Budget, *, fits: bool
) -> frozenset[str]:
    """Give those of the references that change a man's answer only together with others.

    Parameters
    ----------
    bonds, question, budget, fits
        As in `prove`.
    wanted : iterable of str
        What is asked about.

    Raises
    ------
    TooLarge
        When it can't be proven in bounded time.
    """
    problem = _problem(bonds, question, budget)
    answers = Answers(question, problem)
    found: set[str] = set()
    asked = set(wanted)
    for changes in _all_changes(problem, answers, budget, fits=fits):
        found |= changes.in_company(changes.singles(), asked - found)
    return frozenset(found)


def _all_changes(
    problem: Problem, answers: Answers, budget: Budget, *, fits: bool
) -> list[Changes]:
    """Make ready the changes of a man's fit and of his `also`, or of his alignment.

    Without an answer there is nothing beside it: that is no change of `also` by itself.
    """
    said: dict[object, Set] = {}
    also: dict[object, Set] = {frozenset(): answers.nothing}
    for piece in answers.told:
        item = piece.choice.item
        key = (cast("Rule", item).fit if fits else piece.choice.answer, piece.side)
        said[key] = said.get(key, 0) | piece.looks
        if fits:
            beside = frozenset(cast("Rule", item).also)
            also[beside] = also.get(beside, 0) | piece.looks
    found = [Changes(problem.product, [*said.values(), answers.nothing], budget)]
    if len(also) > 1:
        found.append(Changes(problem.product, also.values(), budget))
    return found


def _sideless(problem: Problem, question: Question, look: _Look) -> bool:
    if not question.man.sided:
        return False
    left = problem.valid
    for reference, value in look.items():
        left = left & problem.product.where(reference, frozenset({value}))
    return not any(left & place for place in problem.own_sides(question.man).values())
