"""Sets of looks over a product of facts, of any size.

In a small product a set is a whole number: one bit for each combination, and each fact is a digit
of the bit's number, the first one listed the highest. So "where the back is left" is a striped
pattern, any condition a few ands and ors of whole sets, and "differing in this fact alone" a shift.
In a larger one the first facts are nodes of a decision diagram, shared wherever two branches are
equal (as in Bryant 1986 for two values), and only the last ones digits of the numbers at its
leaves. So a set of 10^12 looks costs what its shape costs, and a set without shape no more than
its bits.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import prod
from typing import cast

from gradecut.scheme._budget import Budget, TooLarge
from gradecut.scheme._reading import Answer

__all__ = ["Node", "Product", "Set", "less"]

PLAIN_BITS = 1 << 24  # up to here a set is one number
SHAPED_BITS = 1 << 20  # up to here where sets are known to have much shape
LEAF_BITS = 1 << 11  # bits of a leaf beyond that
_NODES = 400_000
_JOIN = 3  # steps it takes to join two branchings
_REMEMBERED = 400_000
_DEEPEST = 300
_AND, _OR, _LESS = 0, 1, 2


class Node:
    """A branching on one reference; equal ones are the same object."""

    __slots__ = ("home", "kids", "level")

    def __init__(self, home: Product, level: int, kids: tuple[Set, ...]) -> None:
        self.home = home
        self.level = level
        self.kids = kids

    def __and__(self, other: Set) -> Set:
        return self.home.merge(_AND, self, other)

    def __or__(self, other: Set) -> Set:
        return self.home.merge(_OR, self, other)

    __rand__ = __and__
    __ror__ = __or__


Set = int | Node
"""Looks of one product; a number holds whatever the branchings above it are."""


def less(one: Set, two: Set) -> Set:
    """Give what is in the first set and not in the second."""
    if isinstance(one, Node):
        return one.home.merge(_LESS, one, two)
    if isinstance(two, Node):
        return two.home.merge(_LESS, one, two)
    return one & ~two


class Product:
    """All combinations of the ways of some references.

    Parameters
    ----------
    ways : mapping of str to tuple
        The ways of each reference (None: it has no value), in the order of branching.
    budget : Budget
        What the work is counted on.
    shaped : bool
        Each set will be joined from some that depend on few of the references.
    plain_bits : int or None
        Up to so many combinations a set is one number; None: as for a whole audit.

    Attributes
    ----------
    references : tuple of str
        Those with more than one way; the place of one is its level.
    ways : tuple of tuple
        The ways of each.
    full : int
        The set of all.
    alone : mapping of str to value
        References that have one way only.
    tops : int
        How many levels are branchings; the rest are digits.
    size : int
        How many combinations the digits have.
    weight : int
        How many steps it takes to join two plain numbers.

    Raises
    ------
    TooLarge
        When it has too many references.
    """

    def __init__(
        self,
        ways: Mapping[str, tuple[Answer, ...]],
        budget: Budget,
        *,
        shaped: bool = False,
        plain_bits: int | None = None,
    ) -> None:
        self._budget = budget
        self.alone = {ref: ways[ref][0] for ref in ways if len(ways[ref]) == 1}
        self.references = tuple(ref for ref in ways if len(ways[ref]) > 1)
        self.ways = tuple(ways[ref] for ref in self.references)
        self._level = {ref: level for level, ref in enumerate(self.references)}
        counts = [len(way) for way in self.ways]
        if plain_bits is None:
            plain_bits = min(SHAPED_BITS, PLAIN_BITS) if shaped else PLAIN_BITS
        self.tops = _tops(counts, plain_bits)
        if self.tops > _DEEPEST:
            raise TooLarge("too many facts hang together")
        self._stride: dict[int, int] = {}
        size = 1
        for level in range(len(counts) - 1, self.tops - 1, -1):
            self._stride[level] = size
            size *= counts[level]
        self.full = (1 << size) - 1
        self._stripes: dict[int, tuple[int, ...]] = {}
        self._known: dict[tuple[str, frozenset[Answer]], Set] = {}
        self._nodes: dict[tuple[int, tuple[Set, ...]], Node] = {}
        self._merged: tuple[dict[tuple[Set, Set], Set], ...] = ({}, {}, {})
        self._loose: dict[tuple[int, bool, Node], Set] = {}
        self.size = size
        self.weight = 1 + (size >> 17)

    def where(self, reference: str, allowed: frozenset[Answer]) -> Set:
        """Give the looks in which a reference has one of these values."""
        key = (reference, allowed)
        found = self._known.get(key)
        if found is None:
            found = self._known[key] = self._where(reference, allowed)
        return found

    def _where(self, reference: str, allowed: frozenset[Answer]) -> Set:
        level = self._level.get(reference)
        if level is None:
            return self.full if self.alone[reference] in allowed else 0
        if level < self.tops:
            return self.node(
                level, tuple(self.full if way in allowed else 0 for way in self.ways[level])
            )
        found = 0
        for way, stripe in zip(self.ways[level], self.stripes(level), strict=True):
            if way in allowed:
                found |= stripe
        return found

    def stripes(self, level: int) -> tuple[int, ...]:
        """Give, for each way of a digit, the bits that have it."""
        found = self._stripes.get(level)
        if found is None:
            stride, count = self._stride[level], len(self.ways[level])
            length, stripe = stride * count, (1 << stride) - 1
            while length < self.size:
                stripe |= stripe << length
                length *= 2
            found = tuple((stripe << (place * stride)) & self.full for place in range(count))
            self._stripes[level] = found
        return found

    def node(self, level: int, kids: tuple[Set, ...]) -> Set:
        """Give the set that branches so; no branching where all branches are equal."""
        first = kids[0]
        if all(kid is first or kid == first for kid in kids):
            return first
        key = (level, kids)
        found = self._nodes.get(key)
        if found is None:
            if len(self._nodes) >= _NODES:
                raise TooLarge("too many looks hang together")
            found = self._nodes[key] = Node(self, level, kids)
        return found

    def merge(self, how: int, one: Set, two: Set) -> Set:
        """Join two sets, branching by branching."""
        if isinstance(one, int) and isinstance(two, int):
            if how == _AND:
                return one & two
            return one | two if how == _OR else one & ~two
        done = self._at_end(how, one, two)
        if done is not None:
            return done
        key = (one, two)
        memory = self._merged[how]
        found = memory.get(key)
        if found is None:
            self._budget.spend(_JOIN)
            level = min(side.level for side in key if isinstance(side, Node))
            kids = zip(self.parts(level, one), self.parts(level, two), strict=True)
            found = self.node(level, tuple(self.merge(how, left, right) for left, right in kids))
            if len(memory) >= _REMEMBERED:
                memory.clear()
            memory[key] = found
        return found

    def _at_end(self, how: int, one: Set, two: Set) -> Set | None:
        if one is two:
            return 0 if how == _LESS else one
        if isinstance(one, int):
            if not one:
                return two if how == _OR else 0
            if one == self.full and how != _LESS:
                return two if how == _AND else one
        if isinstance(two, int):
            if not two:
                return 0 if how == _AND else one
            if two == self.full:
                return (one, two, 0)[how]
        return None

    def parts(self, level: int, bits: Set) -> tuple[Set, ...]:
        """Give what is left of a set for each way of a level, once all levels above are settled."""
        if level < self.tops:
            if isinstance(bits, Node) and bits.level == level:
                return bits.kids
            return (bits,) * len(self.ways[level])
        assert isinstance(bits, int)
        stride = self._stride[level]
        block = (1 << stride) - 1
        return tuple((bits >> (place * stride)) & block for place in range(len(self.ways[level])))

    def opened(self, level: int, bits: Set, *, every: bool) -> Set:
        """Leave a reference open: where some of its ways is in the set, or every one.

        Of a plain number only the combinations of the first way are kept, which stand for all.

        Parameters
        ----------
        level : int
            The reference.
        bits : Set
            What is in the set.
        every : bool
            All ways of it must be in the set; else one is enough.
        """
        if not self.tops:
            self._budget.spend(self.weight)
            return self._first(level, cast("int", bits), every=every)
        return self._opened(level, bits, every=every)

    def _first(self, level: int, bits: int, *, every: bool) -> int:
        stride = self._stride[level]
        found = bits
        for place in range(1, len(self.ways[level])):
            if every:
                found &= bits >> (place * stride)
            else:
                found |= bits >> (place * stride)
        return found & self.stripes(level)[0]

    def _opened(self, level: int, bits: Set, *, every: bool) -> Set:
        if isinstance(bits, int):
            if level < self.tops or not bits or bits == self.full:
                return bits
            first = self._first(level, bits, every=every)
            stride = self._stride[level]
            found = 0
            for place in range(len(self.ways[level])):
                found |= first << (place * stride)
            return found
        if bits.level > level:
            return bits
        key = (level, every, bits)
        done = self._loose.get(key)
        if done is not None:
            return done
        self._budget.spend(_JOIN)
        if bits.level == level:
            joined = bits.kids[0]
            for kid in bits.kids[1:]:
                joined = joined & kid if every else joined | kid
        else:
            kids = tuple(self._opened(level, kid, every=every) for kid in bits.kids)
            joined = self.node(bits.level, kids)
        if len(self._loose) >= _REMEMBERED:
            self._loose.clear()
        self._loose[key] = joined
        return joined

    def count_on(self, budget: Budget) -> None:
        """Count the work on another budget from here on."""
        self._budget = budget

    def forget(self) -> None:
        """Let go of all that is only kept to be found again."""
        self._nodes.clear()
        self._loose.clear()
        for memory in self._merged:
            memory.clear()

    def any_of(self, bits: Set) -> dict[int, int]:
        """Give one combination of a set, the place of the way at each level; the set is not empty.

        Where a branching does not matter its first way that is a value is taken.
        """
        found: dict[int, int] = {}
        for level in range(self.tops):
            ways = self.ways[level]
            if isinstance(bits, Node) and bits.level == level:
                kids = bits.kids
                found[level] = next(place for place in range(len(ways)) if kids[place])
                bits = kids[found[level]]
            else:
                found[level] = next(place for place, way in enumerate(ways) if way is not None)
        assert isinstance(bits, int)
        rest = (bits & -bits).bit_length() - 1
        for level in range(self.tops, len(self.references)):
            found[level], rest = divmod(rest, self._stride[level])
        return found

    def meets(self, bits: Set, told: Mapping[int, int]) -> bool:
        """Tell whether a set holds a combination that has these ways at these levels.

        Parameters
        ----------
        bits : Set
            The set.
        told : mapping of int to int
            The place of a way, by level.
        """
        mask = self.full
        for level, place in told.items():
            if level >= self.tops:
                mask &= self.stripes(level)[place]
        seen: set[Node] = set()
        waiting = [bits]
        while waiting:
            here = waiting.pop()
            if isinstance(here, int):
                if here & mask:
                    return True
            elif here not in seen:
                seen.add(here)
                self._budget.spend()
                only = told.get(here.level)
                waiting += here.kids if only is None else (here.kids[only],)
        return False

    def cost(self, level: int) -> int:
        """Give how many steps it takes to look at a set from this level down."""
        if level < self.tops or level >= len(self.references):
            return 1
        return 1 + (self._stride[level] * len(self.ways[level]) >> 12)

    def loosen(self, level: int, bits: int) -> int:
        """Add to a leaf all combinations that differ in this digit at most."""
        stride = self._stride[level]
        lowest = found = 0
        for place, stripe in enumerate(self.stripes(level)):
            lowest |= (bits & stripe) >> (place * stride)
        for place in range(len(self.ways[level])):
            found |= lowest << (place * stride)
        return found

    def blur(self, level: int, bits: int) -> int:
        """Add to a leaf all combinations that differ only in having this digit's value or none."""
        ways = self.ways[level]
        if None not in ways:
            return bits
        lacking = self.stripes(level)[ways.index(None)]
        absent = self.loosen(level, bits & lacking)
        return bits | absent | (self.loosen(level, bits & ~lacking) & lacking)

    def count(self, bits: Set, weights: Mapping[str, Sequence[int]]) -> int:
        """Count a set, each way of each reference as often as its weight says."""
        by_level = [tuple(weights[ref]) for ref in self.references]
        times = [sum(each) for each in by_level]
        known: dict[Node, int] = {}

        def below(bits: Set, level: int) -> int:
            target = bits.level if isinstance(bits, Node) else self.tops
            skipped = 1
            for passed in range(level, target):
                skipped *= times[passed]
            if not isinstance(bits, Node):
                parts = self.weighed(bits, by_level)
                return skipped * sum(times * part.bit_count() for times, part in parts.items())
            found = known.get(bits)
            if found is None:
                self._budget.spend()
                pairs = zip(by_level[target], bits.kids, strict=True)
                found = sum(weight * below(kid, target + 1) for weight, kid in pairs if weight)
                known[bits] = found
            return skipped * found

        alone = prod(sum(weights.get(ref, (1,))) for ref in self.alone)
        return alone * below(bits, 0)

    def weighed(self, leaf: int, by_level: Sequence[tuple[int, ...]]) -> dict[int, int]:
        """Part a leaf by how often its combinations count, each digit as its weights say."""
        parts = {1: leaf}
        for level in range(self.tops, len(by_level)):
            if set(by_level[level]) == {1}:
                continue
            finer: dict[int, int] = {}
            for weight, here in parts.items():
                for times, stripe in zip(by_level[level], self.stripes(level), strict=True):
                    if here & stripe:
                        finer[weight * times] = finer.get(weight * times, 0) | (here & stripe)
            parts = finer
        return parts


def _tops(counts: Sequence[int], plain_bits: int) -> int:
    """Say how many of these levels are branchings, so that the rest fits into a number."""
    size = 1
    for count in counts:
        size *= count
        if size > plain_bits:
            break
    else:
        return 0
    size, level = 1, len(counts)
    while level and size * counts[level - 1] <= LEAF_BITS:
        level -= 1
        size *= counts[level]
    return level
