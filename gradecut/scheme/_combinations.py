"""The looks one question is about, and no more of them than it can tell apart."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from gradecut.records.people import Side
from gradecut.scheme._product import Product, Set, less
from gradecut.scheme._reading import Answer, Check, PointedCheck, Reading, other
from gradecut.scheme._ties import Barred, Present, Tie
from gradecut.scheme.parts import FollowedSide, Position, SideRule

__all__ = ["Combinations", "Tests", "add_reading", "add_sides", "classes", "in_order"]

_LEFT: frozenset[Answer] = frozenset({"left"})
_RIGHT: frozenset[Answer] = frozenset({"right"})
_NONE: frozenset[Answer] = frozenset({None})
_CLOSE = 4  # references of a tie, up to which they are kept side by side

Tests = dict[str, dict[frozenset[Answer], int]]
"""For each reference the sets of values that are asked about, and how often."""


class Combinations:
    """A product of some references, and which of its combinations can be.

    Parameters
    ----------
    product : Product
        The combinations.
    weights : mapping of str to tuple of int
        How many values each way of a reference stands for.
    ties : iterable of Tie
        What ties these references together.

    Attributes
    ----------
    product, weights
        As given.
    valid : Set
        Those that can be.
    """

    def __init__(
        self, product: Product, weights: Mapping[str, tuple[int, ...]], ties: Iterable[Tie]
    ) -> None:
        self.product = product
        self.weights = weights
        valid: Set = product.full
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


def add_sides(tests: Tests, references: Iterable[str]) -> None:
    """Ask of some references where they are left and where right."""
    for reference in references:
        _add(tests, reference, _LEFT)
        _add(tests, reference, _RIGHT)


def add_reading(tests: Tests, reading: Reading) -> None:
    """Ask what a reading asks."""
    for all_of in reading:
        for check in all_of:
            if isinstance(check, Check):
                _add(tests, check.reference, check.allowed)
                continue
            add_sides(tests, (check.pointer,))
            _add(tests, check.left, check.allowed)
            _add(tests, check.right, check.allowed)


def _add(tests: Tests, reference: str, allowed: frozenset[Answer]) -> None:
    often = tests.setdefault(reference, {})
    often[allowed] = often.get(allowed, 0) + 1


def classes(
    ways: tuple[Answer, ...], tests: Iterable[frozenset[Answer]]
) -> list[tuple[Answer, ...]]:
    """Part the ways of a reference into those that no test tells apart; having none is its own."""
    found: dict[tuple[bool, ...], list[Answer]] = {}
    listed = list(tests)
    for way in ways:
        signs = (way is None, *(way in allowed for allowed in listed))
        found.setdefault(signs, []).append(way)
    return [tuple(each) for each in found.values()]


def in_order(often: Mapping[str, int], ties: Sequence[Tie]) -> list[str]:
    """Order references by how often they are asked, with those tied to each other together.

    Parameters
    ----------
    often : mapping of str to int
        How often each is asked; in file order.
    ties : sequence of Tie
        What ties them together.
    """
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
