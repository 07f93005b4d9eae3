"""One look as it is known so far: what is open, and what hangs together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import prod

from gradecut.errors import LookError
from gradecut.scheme._budget import Budget, TooLarge
from gradecut.scheme._combinations import (
    Combinations,
    Tests,
    add_reading,
    add_sides,
    classes,
    in_order,
)
from gradecut.scheme._needs import named
from gradecut.scheme._picture import Picture, picture, picture_at
from gradecut.scheme._product import Product, Set, less
from gradecut.scheme._questions import Question, live, sides_of
from gradecut.scheme._reading import Answer, Reading, may_hold
from gradecut.scheme._ties import Tie, Ties, Ways, completion, too_open
from gradecut.scheme.parts import Value

__all__ = ["Situation", "View"]

_STEPS = 400_000
"""Steps one answer may take: a second or two."""

_PLAIN = 4_000
"""Up to so many combinations it is quicker to go through them than to see which are alike."""

_PLAIN_BITS = 1 << 16
"""Up to so many combinations a set of them is one number."""

_MOST_ENDS = 8
"""Readings of ends by which combinations are parted; ends beyond them are gone through."""


class View:
    """A question's answers on every way one look may still be.

    Attributes
    ----------
    picture : Picture
        Who answers where.
    valid : Set
        The combinations that may be.
    problem : Combinations or None
        What is open; None where nothing is, and sets then have a single bit.
    """

    def __init__(
        self,
        found: Picture,
        valid: Set = 1,
        problem: Combinations | None = None,
        *,
        parts: Sequence[tuple[Set, int]] = (),
        references: Sequence[str] = (),
        budget: Budget | None = None,
    ) -> None:
        self.picture = found
        self.valid = valid
        self.problem = problem
        self._parts = parts
        self._references = references
        self._budget = budget

    def needs(self, options: Sequence[Set]) -> tuple[str, ...]:
        """Give the open references that can still change the answer, most useful first.

        Parameters
        ----------
        options : sequence of Set
            Where each option is the answer; together all that may be.

        Raises
        ------
        LookError
            When what cannot be ties the facts so that the search would not end in bounded time.
        """
        assert self.problem is not None
        assert self._budget is not None
        try:
            return named(self.problem, options, self._parts, self._references, self._budget)
        except TooLarge:
            raise too_open(len(self.problem.product.references)) from None


@dataclass(frozen=True, slots=True, kw_only=True)
class _OpenPart:
    """What of a look bears on a question and is open.

    Attributes
    ----------
    question : Question
        What is asked.
    kept : list of str
        The references to go through.
    ends : list of (Reading, int)
        Where references nothing depends on have a value, and in how many ways then.
    ties : list of Tie
        What ties the kept ones together.
    tests : mapping or None
        What tells their values apart; None: each is looked at by itself.
    """

    question: Question
    kept: list[str]
    ends: list[tuple[Reading, int]]
    ties: list[Tie]
    tests: Tests | None = None


class Situation:
    """A look that may be, and what is open in it.

    Parameters
    ----------
    ties : Ties
        The scheme's facts.
    look : mapping of str to value
        What is known, already checked by name and value.

    Raises
    ------
    LookError
        When no completion of the look exists.

    Attributes
    ----------
    look : dict of str to value
        What is known.
    values : dict of str to value or None
        What is sure: known, or left by what is known.
    """

    def __init__(self, ties: Ties, look: Mapping[str, Value]) -> None:
        self._ties = ties
        self.look = dict(look)
        self._ways: Ways = {}
        self._group_of: Mapping[str, int] = {}
        whole = ties.whole(look)
        if whole is not None:
            self.values: Mapping[str, Answer] = whole
        else:
            self._look_into()

    def _look_into(self) -> None:
        """Part what is open into groups, and make sure that each has a completion."""
        ties = self._ties
        self._ways = ties.ways(self.look)
        self._group_of, self._members, self._tied = ties.groups(self._ways)
        self.values = {reference: way[0] for reference, way in self._ways.items() if len(way) == 1}
        for members, tied in zip(self._members, self._tied, strict=True):
            if tied and self._touched(tied) and completion(members, self._ways, tied) is None:
                raise LookError(
                    "This look can't be: however "
                    + ", ".join(f'"{reference}"' for reference in members)
                    + " turn out, the scheme rules it out; correct what is recorded"
                )

    def _touched(self, tied: list[Tie]) -> bool:
        return any(word in self.values for tie in tied for word in tie.references)

    def view(self, question: Question, side: str | None = None) -> View:
        """Answer a question on every way the look may still be.

        Parameters
        ----------
        question : Question
            A man's rules or alignments.
        side : "left", "right" or None
            His side, where it is told.

        Raises
        ------
        LookError
            When too much is open, or he can't be on that side.
        """
        if not self._group_of or question.references.isdisjoint(self._group_of):
            return View(picture_at(question, self.values))
        open_part = self._open_part(question)
        budget = Budget(steps=_STEPS)
        try:
            problem = self._problem(open_part, budget)
            valid = problem.valid
            if side is not None:
                own = problem.own_sides(question.man)
                valid = valid & own.get("left" if side == "left" else "right", 0)
                if not valid:
                    raise LookError(f'"{question.man.name}" can\'t be on the {side} with this look')
            found = picture(open_part.question, problem, valid)
            parts = _parted(valid, open_part.ends, problem)
        except TooLarge:
            raise too_open(len(open_part.kept)) from None
        references = list(self._group_of)
        return View(found, valid, problem, parts=parts, references=references, budget=budget)

    def _open_part(self, question: Question) -> _OpenPart:
        found = self._depends(question)
        if prod(len(self._ways[reference]) for reference in found.kept) <= _PLAIN:
            return found
        found = self._depends(live(question, self._ways))
        tests: Tests = {reference: {} for reference in found.kept}
        for choice in found.question.choices:
            for reading in choice.readings.values():
                add_reading(tests, reading)
        add_sides(tests, sides_of(found.question))
        asked = {reference: sum(tests[reference].values()) for reference in found.kept}
        for reading in [tie.reading for tie in found.ties] + [reading for reading, _ in found.ends]:
            alive = tuple(checks for checks in reading if may_hold((checks,), self._ways))
            add_reading(tests, alive)
        words = {word: asked.get(word, 0) for word in self._ways}
        kept = frozenset(found.kept)
        order = [word for word in in_order(words, found.ties) if word in kept]
        return replace(found, kept=order, tests=tests)

    def _depends(self, question: Question) -> _OpenPart:
        """Part the open references that bear on a question into those to go through and ends.

        An end is a reference nothing depends on: it can only make a combination count more often.
        """
        groups = {
            self._group_of[reference]
            for reference in question.references
            if reference in self._group_of
        }
        kept: list[str] = []
        ends: dict[Reading, int] = {}
        dropped: set[str] = set()
        for reference, group in self._group_of.items():  # in file order
            if group not in groups:
                continue
            tie = None
            if reference in self._ties.ends and reference not in question.references:
                tie = self._ties.present(reference)
            if tie is None or (tie.reading not in ends and len(ends) >= _MOST_ENDS):
                kept.append(reference)
                continue
            dropped.add(reference)
            values = len(self._ties.values_of(reference))
            ends[tie.reading] = ends.get(tie.reading, 1) * values
        ties = [
            tie
            for group in sorted(groups)
            for tie in self._tied[group]
            if dropped.isdisjoint(tie.references)
        ]
        return _OpenPart(question=question, kept=kept, ends=list(ends.items()), ties=ties)

    def _problem(self, part: _OpenPart, budget: Budget) -> Combinations:
        ways = {reference: self._ways[reference] for reference in part.kept}
        ways.update((word, way) for word, way in self._ways.items() if len(way) == 1)
        weights = {word: (1,) * len(way) for word, way in ways.items()}
        if part.tests is not None:
            for word in part.kept:
                alike = classes(ways[word], part.tests[word])
                ways[word] = tuple(each[0] for each in alike)
                weights[word] = tuple(len(each) for each in alike)
        product = Product(ways, budget, plain_bits=_PLAIN_BITS)
        return Combinations(product, weights, part.ties)


def _parted(
    valid: Set, ends: Sequence[tuple[Reading, int]], problem: Combinations
) -> list[tuple[Set, int]]:
    """Part combinations by how many completions each stands for, for all that ends may be."""
    parts: dict[int, Set] = {1: valid}
    for reading, ways in ends:
        has = problem.where(reading)
        finer: dict[int, Set] = {}
        for weight, looks in parts.items():
            for often, here in ((weight * ways, looks & has), (weight, less(looks, has))):
                if here:
                    finer[often] = finer.get(often, 0) | here
        parts = finer
    return [(looks, weight) for weight, looks in parts.items()]
