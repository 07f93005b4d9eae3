"""The looks one question of the audit is about, and no more of them than it can tell apart."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Iterable, Mapping, Sequence
from math import prod

from gradecut.errors import LookError
from gradecut.records.people import Side
from gradecut.scheme._questions import Question
from gradecut.scheme._reading import Answer, Check, PointedCheck, Reading, other
from gradecut.scheme._ties import Barred, Present, Tie, Ties
from gradecut.scheme.auditing._budget import Budget, TooLarge
from gradecut.scheme.auditing._product import Product, Set, less
from gradecut.scheme.parts import FollowedSide, Position, SideRule

__all__ = ["Bonds", "Problem", "sides_of"]

_LEFT: frozenset[Answer] = frozenset({"left"})
_RIGHT: frozenset[Answer] = frozenset({"right"})
_NONE: frozenset[Answer] = frozenset({None})
_SHAPED = 8  # times larger than its largest part a product has much shape
_CLOSE = 4  # references of a tie, up to which they are kept side by side


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


class Problem:
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
    product : Product
        The combinations.
    key : hashable
        The same for problems whose sets mean the same.
    valid : Set
        Those that can be.
    weights : mapping of str to tuple of int
        How many values each way of a reference stands for.
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
        uses: dict[str, dict[frozenset[Answer], int]] = {}
        for reading in readings:
            _use(uses, reading)
        sides = frozenset(named)
        for reference in sorted(sides):
            _add(uses, reference, _LEFT)
            _add(uses, reference, _RIGHT)
        asked = {ref: sum(often.values()) for ref, often in uses.items()}
        groups = sorted({bonds.group_of[ref] for ref in uses if ref in bonds.group_of})
        ties = [tie for group in groups for tie in bonds.tied[group]]
        for tie in ties:
            _use(uses, tie.reading)
        for group in groups:
            for reference in bonds.members[group]:
                uses.setdefault(reference, {})
        ways = {ref: bonds.ways[ref] for ref in uses}
        for ref, allowed in (only or {}).items():
            if ref in ways:
                ways[ref] = tuple(way for way in ways[ref] if way in allowed)
        classes = {ref: _classes(ways[ref], often) for ref, often in uses.items()}
        self.weights = {ref: tuple(len(each) for each in way) for ref, way in classes.items()}
        place = {ref: number for number, ref in enumerate(bonds.ties.references)}
        # A man's side turns all his rules: it comes first.
        most = max(asked.values(), default=0)
        often = {
            ref: asked.get(ref, 0) + (most if ref in sides else 0)
            for ref in sorted(uses, key=place.__getitem__)
        }
        order = _in_order(often, ties)
        counts = {ref: len(each) for ref, each in classes.items()}
        sizes = [prod(counts[ref] for ref in part) for part in parts]
        self.product = Product(
            {ref: tuple(each[0] for each in classes[ref]) for ref in order},
            budget,
            shaped=bool(sizes) and max(sizes) * _SHAPED < prod(counts.values()),
        )
        self.key: Hashable = tuple((ref, tuple(classes[ref])) for ref in order)
        valid: Set = self.product.full
        for tie in sorted(ties, key=lambda tie: len(tie.references)):
            valid = valid & self._allowed(tie)
        self.valid = valid

    def _allowed(self, tie: Tie) -> Set:
        full = self.product.full
        held = self.where(tie.reading)
        if isinstance(tie, Barred):
            return less(full, held)
        lacks = self.product.where(tie.reference, _NONE)
        return less(held, lacks) | less(lacks, held)

    def where(self, reading: Reading) -> Set:
        """Give the looks, whether they can be or not, in which a reading holds."""
        found: Set = 0
        for all_of in reading:
            here: Set = self.product.full
            for check in all_of:
                here = here & self._checked(check)
                if not here:
                    break
            found = found | here
        return found

    def _checked(self, check: Check | PointedCheck) -> Set:
        where = self.product.where
        if isinstance(check, Check):
            return where(check.reference, check.allowed)
        left, right = where(check.pointer, _LEFT), where(check.pointer, _RIGHT)
        found = (left & where(check.left, check.allowed)) | (
            right & where(check.right, check.allowed)
        )
        if None in check.allowed:
            found = found | less(self.product.full, left | right)
        return found

    def sides(self, rule: SideRule | None, own: Side | None = None) -> dict[Side | None, Set]:
        """Give where a side that may follow facts is left, right and none.

        Parameters
        ----------
        rule : SideRule or None
            As written.
        own : "left", "right" or None
            The man's side, for `to` and `away`.
        """
        found: dict[Side | None, Set] = {}
        rest: Set = self.product.full
        while isinstance(rule, FollowedSide):
            left = self.product.where(rule.fact, _LEFT) & rest
            right = self.product.where(rule.fact, _RIGHT) & rest
            rest = less(rest, left | right)
            if rule.opposite:
                left, right = right, left
            found["left"] = found.get("left", 0) | left
            found["right"] = found.get("right", 0) | right
            rule = rule.otherwise
        end: Side | None = None
        if rule in ("to", "away") and own is not None:
            end = own if rule == "to" else other(own)
        elif rule in ("left", "right"):
            end = "left" if rule == "left" else "right"
        found[end] = found.get(end, 0) | rest
        return found

    def own_sides(self, man: Position) -> dict[Side | None, Set]:
        """Give where a man is on the left and on the right; None for a man without a side.

        Where a man with a side has none he is in neither.
        """
        if not man.sided:
            return {None: self.product.full}
        if man.side == "as aligned":
            reference = f"side.{man.name}"
            return {
                "left": self.product.where(reference, _LEFT),
                "right": self.product.where(reference, _RIGHT),
            }
        found = self.sides(man.side)
        found.pop(None, None)
        return found


def sides_of(question: Question) -> set[str]:
    """Give the references that the sides of a man and of his answers follow."""
    found: set[str] = set()
    if question.man.side == "as aligned":
        found.add(f"side.{question.man.name}")
    for rule in (question.man.side, *(choice.side for choice in question.choices)):
        side: SideRule | None = rule
        while isinstance(side, FollowedSide):
            found.add(side.fact)
            side = side.otherwise
    return found


_Uses = dict[str, dict[frozenset[Answer], int]]


def _add(uses: _Uses, reference: str, allowed: frozenset[Answer]) -> None:
    often = uses.setdefault(reference, {})
    often[allowed] = often.get(allowed, 0) + 1


def _use(uses: _Uses, reading: Reading) -> None:
    for all_of in reading:
        for check in all_of:
            if isinstance(check, Check):
                _add(uses, check.reference, check.allowed)
                continue
            _add(uses, check.pointer, _LEFT)
            _add(uses, check.pointer, _RIGHT)
            _add(uses, check.left, check.allowed)
            _add(uses, check.right, check.allowed)


def _classes(
    ways: tuple[Answer, ...], tests: Iterable[frozenset[Answer]]
) -> list[tuple[Answer, ...]]:
    """Part the ways of a reference into those that no test tells apart; having none is its own."""
    found: dict[tuple[bool, ...], list[Answer]] = {}
    listed = list(tests)
    for way in ways:
        signs = (way is None, *(way in allowed for allowed in listed))
        found.setdefault(signs, []).append(way)
    return [tuple(each) for each in found.values()]


def _in_order(often: Mapping[str, int], ties: Sequence[Tie]) -> list[str]:
    """Order references by how often they are asked, with those tied to each other together."""
    near: dict[str, set[str]] = {ref: set() for ref in often}
    for tie in ties:
        words = set(tie.references)
        if len(words) <= _CLOSE:
            for word in words:
                near[word] |= words
        elif isinstance(tie, Present):
            near[tie.reference] |= words
    placed: dict[str, None] = {}
    ranked = sorted(often, key=lambda ref: -often[ref])
    rank = {ref: number for number, ref in enumerate(ranked)}
    for start in ranked:
        waiting = [start]
        while waiting:
            reference = waiting.pop()
            if reference in placed:
                continue
            placed[reference] = None
            close = (ref for ref in near[reference] if ref not in placed)
            waiting += sorted(close, key=lambda ref: -rank[ref])
    return list(placed)
