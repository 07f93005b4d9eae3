"""Whether a duty is met on every look: the answers of all men who can own it, joined."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, cast

from gradecut.records.people import Side
from gradecut.scheme._questions import Question
from gradecut.scheme._reading import Reading, read
from gradecut.scheme.auditing._answers import Answers, Piece
from gradecut.scheme.auditing._budget import Budget
from gradecut.scheme.auditing._problem import Bonds, Problem, sides_of
from gradecut.scheme.auditing._product import Set, less
from gradecut.scheme.auditing._smallest import smallest_look
from gradecut.scheme.parts import Duty, Fit, Rule, Value

if TYPE_CHECKING:
    from gradecut.scheme.scheme import Scheme

__all__ = ["owners", "prove_duty"]


def owners(
    duty: Duty, questions: Sequence[Question], fits: Mapping[str, Fit]
) -> tuple[Question, ...]:
    """Give the men one of whose rules may own a duty, or one of its gaps."""
    return tuple(
        question
        for question in questions
        if any(_may_own(duty, _fit(choice.item, fits)) for choice in question.choices)
    )


def _fit(item: object, fits: Mapping[str, Fit]) -> Fit:
    return fits[cast("Rule", item).fit]


def _may_own(duty: Duty, fit: Fit) -> bool:
    if duty.owned is not None:
        return duty.owned in fit.owns
    return fit.gap is not None and fit.gap in duty.gaps


def prove_duty(
    bonds: Bonds,
    duty: Duty,
    men: Sequence[Question],
    scheme: Scheme,
    budget: Budget,
) -> Mapping[str, Value] | None:
    """Give a smallest look on which a duty is not met; None when it is met everywhere.

    Parameters
    ----------
    bonds : Bonds
        The facts of the scheme.
    duty : Duty
        The duty.
    men : sequence of Question
        The men who may own it.
    scheme : Scheme
        Whose facts and fits they are.
    budget : Budget
        What the work is counted on.

    Raises
    ------
    TooLarge
        When it can't be proven in bounded time.
    """
    sides: tuple[Side | None, ...] = ("left", "right") if duty.each_side else (None,)
    whens: dict[Side | None, Reading] = {
        side: read(duty.when, scheme.facts, side) for side in sides
    }
    readings = list(whens.values())
    named: set[str] = set()
    for man in men:
        readings += [reading for choice in man.choices for reading in choice.readings.values()]
        named |= sides_of(man)
    problem = Problem(bonds, readings, sorted(named), budget)
    asked = {side: problem.valid & problem.where(when) for side, when in whens.items()}
    told = [Answers(man, problem).told for man in men] if any(asked.values()) else []
    fits = scheme.fits
    broken: Set = 0
    for side, looks in asked.items():
        if not looks:
            continue
        if duty.owned is None:
            broken = broken | _open_gaps(duty, told, fits, side, looks)
        else:
            broken = broken | _badly_owned(duty, told, fits, side, looks)
    if not broken:
        return None
    unlike = less(problem.valid, broken)
    return smallest_look(problem.product, problem.valid, unlike, budget)


def _open_gaps(
    duty: Duty,
    told: list[list[Piece]],
    fits: Mapping[str, Fit],
    side: Side | None,
    looks: Set,
) -> Set:
    broken: Set = 0
    for gap in duty.gaps:
        without = looks
        for pieces in told:
            for piece in pieces:
                if piece.side == side and _fit(piece.choice.item, fits).gap == gap:
                    without = less(without, piece.looks)
        broken = broken | without
    return broken


def _badly_owned(
    duty: Duty,
    told: list[list[Piece]],
    fits: Mapping[str, Fit],
    side: Side | None,
    looks: Set,
) -> Set:
    # by_count[n]: where at least n men own it.
    most = duty.at_most
    by_count: list[Set] = [looks] + [0] * max(duty.at_least, 0 if most is None else most + 1)
    for pieces in told:
        owned: Set = 0
        for piece in pieces:
            if duty.owned in _fit(piece.choice.item, fits).owns and (
                not duty.each_side or piece.own == side
            ):
                owned = owned | piece.looks
        for count in range(len(by_count) - 1, 0, -1):
            by_count[count] = by_count[count] | (by_count[count - 1] & owned)
    broken = less(looks, by_count[duty.at_least])
    return broken if most is None else broken | by_count[most + 1]
