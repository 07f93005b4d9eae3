"""Whether a duty is met on every look: the answers of all men who can own it, joined."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from gradecut.records.people import Side
from gradecut.scheme._budget import Budget, TooLarge
from gradecut.scheme._product import Set, less
from gradecut.scheme._questions import Question, sides_of
from gradecut.scheme._reading import Reading, read
from gradecut.scheme.auditing._answers import Piece
from gradecut.scheme.auditing._problem import Bonds, Problem
from gradecut.scheme.auditing._smallest import SmallLook, smallest_look
from gradecut.scheme.parts import Duty, Fit, Rule, Value

if TYPE_CHECKING:
    from gradecut.scheme.scheme import Scheme

__all__ = ["BrokenDuty", "Post", "Share", "owners", "prove_duty"]


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


Share = Mapping[tuple[Side | None, str], Set]
"""Where a man owns a gap, or what the duty is about, by side."""


class Post:
    """One duty, the looks it is about, and when it must be met on them.

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
    """

    def __init__(
        self, bonds: Bonds, duty: Duty, men: Sequence[Question], scheme: Scheme, budget: Budget
    ) -> None:
        self.duty = duty
        self.men = men
        self._fits = scheme.fits
        self._budget = budget
        sides: tuple[Side | None, ...] = ("left", "right") if duty.each_side else (None,)
        self._whens: dict[Side | None, Reading] = {
            side: read(duty.when, scheme.facts, side) for side in sides
        }
        readings = list(self._whens.values())
        named: set[str] = set()
        for man in men:
            readings += [reading for choice in man.choices for reading in choice.readings.values()]
            named |= sides_of(man)
        self.problem = Problem(
            bonds, readings, named, budget, parts=[man.references for man in men]
        )

    def move(self, problem: Problem) -> None:
        """Take sets made before an edit, of a problem with the same key, for its own."""
        self.problem = problem
        problem.product.count_on(self._budget)

    def asked(self) -> dict[Side | None, Set]:
        """Give the looks on which it must be met, for each side."""
        where = {side: self.problem.where(when) for side, when in self._whens.items()}
        return {side: self.problem.valid & looks for side, looks in where.items()}

    def share(self, told: Sequence[Piece]) -> Share:
        """Give where one man does his part."""
        found: dict[tuple[Side | None, str], Set] = {}
        asked = self.asked()
        for piece in told:
            fit = _fit(piece.choice.item, self._fits)
            for side, looks in asked.items():
                word = self._part(piece, fit, side)
                if word is not None and looks:
                    here = piece.looks & looks
                    found[side, word] = found.get((side, word), 0) | here
        return found

    def _part(self, piece: Piece, fit: Fit, side: Side | None) -> str | None:
        if self.duty.owned is None:
            return fit.gap if piece.side == side and fit.gap in self.duty.gaps else None
        if self.duty.owned not in fit.owns:
            return None
        return self.duty.owned if not self.duty.each_side or piece.own == side else None


@dataclass(frozen=True, slots=True, kw_only=True)
class BrokenDuty:
    """A look on which a duty is not met, and what of it is not.

    Attributes
    ----------
    small : SmallLook
    lacking : tuple of (side or None, str)
        The gaps left open, or what is not owned as it should be, on each side.
    surely : bool
        Each of them is so however the look goes on; else one or another of them.
    """

    small: SmallLook
    lacking: tuple[tuple[Side | None, str], ...]
    surely: bool


def prove_duty(post: Post, shares: Sequence[Share], budget: Budget) -> BrokenDuty | None:
    """Give a look on which a duty is not met; None when it is met everywhere.

    Parameters
    ----------
    post : Post
        The duty.
    shares : sequence of Share
        Where each man does his part.
    budget : Budget
        What the work is counted on.

    Raises
    ------
    TooLarge
        When it can't be proven in bounded time.
    """
    broken: dict[tuple[Side | None, str], Set] = {}
    for side, looks in post.asked().items():
        if not looks:
            continue
        if post.duty.owned is None:
            broken |= _open_gaps(post.duty, shares, side, looks)
        else:
            broken[side, post.duty.owned] = _badly_owned(post.duty, shares, side, looks)
    whole: Set = 0
    for looks in broken.values():
        whole = whole | looks
    small = smallest_look(post.problem.product, post.problem.valid, whole, budget)
    if small is None:
        return None
    try:
        lacking, surely = _lacking(post.problem, broken, small.look)
    except TooLarge:  # the finding stands without it
        lacking, surely = (), False
    return BrokenDuty(small=small, lacking=lacking, surely=surely)


def _lacking(
    problem: Problem, broken: Mapping[tuple[Side | None, str], Set], look: Mapping[str, Value]
) -> tuple[tuple[tuple[Side | None, str], ...], bool]:
    """Give what is not met on all completions of a look; where nothing is, on some of them."""
    within = problem.valid
    for reference, value in look.items():
        within = within & problem.product.where(reference, frozenset({value}))
    surely = tuple(key for key, looks in broken.items() if not less(within, looks))
    return surely or tuple(key for key, looks in broken.items() if within & looks), bool(surely)


def _open_gaps(
    duty: Duty, shares: Sequence[Share], side: Side | None, looks: Set
) -> dict[tuple[Side | None, str], Set]:
    """Give where each gap of one side has no owner."""
    broken: dict[tuple[Side | None, str], Set] = {}
    for gap in duty.gaps:
        without = looks
        for share in shares:
            without = less(without, share.get((side, gap), 0))
        broken[side, gap] = without
    return broken


def _badly_owned(duty: Duty, shares: Sequence[Share], side: Side | None, looks: Set) -> Set:
    # by_count[n]: where at least n men own it.
    most, word = duty.at_most, duty.owned
    assert word is not None
    by_count: list[Set] = [looks] + [0] * max(duty.at_least, 0 if most is None else most + 1)
    for share in shares:
        owned = share.get((side, word), 0)
        for count in range(len(by_count) - 1, 0, -1):
            by_count[count] = by_count[count] | (by_count[count - 1] & owned)
    broken = less(looks, by_count[duty.at_least])
    return broken if most is None else broken | by_count[most + 1]
