"""The looks one question of the audit is about, and no more of them than it can tell apart."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Mapping
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
from gradecut.scheme._product import Product
from gradecut.scheme._reading import Answer, Reading
from gradecut.scheme._ties import Ties

__all__ = ["Bonds", "Problem"]

_SHAPED = 8  # times larger than its largest part a product has much shape


class Bonds:
    """Which references of a scheme hang together through what cannot be.

    Parameters
    ----------
    ties : Ties
        The scheme's facts.
    """

    def __init__(self, ties: Ties) -> None:
        self.ties = ties
        self.ways = ties.ways({})
        try:
            self.group_of, self.members, self.tied = ties.groups(self.ways)
        except LookError as refused:
            raise TooLarge(str(refused)) from None

    def count(self, budget: Budget) -> int:
        """Count all looks that can be."""
        looks = 1
        for group, members in enumerate(self.members):
            if not self.tied[group]:
                looks *= len(self.ways[members[0]])
                continue
            problem = Problem(self, (), members[:1], budget)
            looks *= problem.product.count(problem.valid, problem.weights)
        return looks


class Problem(Combinations):
    """A product of the references one question depends on, and those tied to them.

    Values that no condition of the question and no tie tells apart are one way of it.

    Parameters
    ----------
    bonds : Bonds
        What hangs together.
    readings : iterable of Reading
        The conditions that will be asked.
    named : iterable of str
        References besides those of the readings; their values left and right are told apart.
    budget : Budget
        What the work is counted on.
    only : mapping of str to set, optional
        The values that matter of some references that nothing ties.
    parts : iterable of collections of str
        References of the sets that will be joined, where each depends on some only.

    Attributes
    ----------
    key : hashable
        The same for problems whose sets mean the same.
    """

    def __init__(
        self,
        bonds: Bonds,
        readings: Iterable[Reading],
        named: Iterable[str],
        budget: Budget,
        *,
        only: Mapping[str, frozenset[Answer]] | None = None,
        parts: Iterable[Collection[str]] = (),
    ) -> None:
        tests: Tests = {}
        for reading in readings:
            add_reading(tests, reading)
        sides = frozenset(named)
        add_sides(tests, sorted(sides))
        asked = {ref: sum(often.values()) for ref, often in tests.items()}
        groups = sorted({bonds.group_of[ref] for ref in tests if ref in bonds.group_of})
        ties = [tie for group in groups for tie in bonds.tied[group]]
        for tie in ties:
            add_reading(tests, tie.reading)
        for group in groups:
            for reference in bonds.members[group]:
                tests.setdefault(reference, {})
        ways = {ref: bonds.ways[ref] for ref in tests}
        for ref, allowed in (only or {}).items():
            if ref in ways:
                ways[ref] = tuple(way for way in ways[ref] if way in allowed)
        alike = {ref: classes(ways[ref], often) for ref, often in tests.items()}
        weights = {ref: tuple(len(each) for each in way) for ref, way in alike.items()}
        place = {ref: number for number, ref in enumerate(bonds.ties.references)}
        # A man's side turns all his rules: it comes first.
        most = max(asked.values(), default=0)
        often = {
            ref: asked.get(ref, 0) + (most if ref in sides else 0)
            for ref in sorted(tests, key=place.__getitem__)
        }
        order = in_order(often, ties)
        counts = {ref: len(each) for ref, each in alike.items()}
        sizes = [prod(counts[ref] for ref in part) for part in parts]
        product = Product(
            {ref: tuple(each[0] for each in alike[ref]) for ref in order},
            budget,
            shaped=bool(sizes) and max(sizes) * _SHAPED < prod(counts.values()),
        )
        super().__init__(product, weights, ties)
        self.key: Hashable = tuple((ref, tuple(alike[ref])) for ref in order)
