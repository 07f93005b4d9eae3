"""Which references can change something, over all looks: the smallest changes of a man's answers.

Two looks differ in the references in which both have a value and not the same one. The options
are numbered, and a set of looks stands for each binary digit of that number: two looks have
different options exactly where one of these digits differs.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from gradecut.scheme._budget import Budget, TooLarge
from gradecut.scheme._product import Node, Product, Set

__all__ = ["Changes"]

_MOST_SEARCHED = 2000


class Changes:
    """The changes of one thing that is answered.

    Parameters
    ----------
    product : Product
        The combinations.
    options : iterable of Set
        Where each option is the answer: sets that do not meet, together all that can be.
    budget : Budget
        What the work is counted on.
    """

    def __init__(self, product: Product, options: Iterable[Set], budget: Budget) -> None:
        self._product = product
        self._budget = budget
        listed = list(options)
        self._digits: list[tuple[Set, Set]] = []
        for digit in range(max(len(listed) - 1, 0).bit_length()):
            pair: list[Set] = [0, 0]
            for number, bits in enumerate(listed):
                side = number >> digit & 1
                pair[side] = pair[side] | bits
            self._digits.append((pair[0], pair[1]))
        self._blurred: dict[int, int] = {}

    def singles(self) -> frozenset[str]:
        """Give the references that are a change by themselves."""
        levels = range(len(self._product.references))
        return frozenset(
            self._product.references[level] for level in levels if self._any(frozenset({level}))
        )

    def in_company(self, singles: frozenset[str], wanted: Iterable[str]) -> frozenset[str]:
        """Give those of the wanted references that are in a smallest change of several.

        Parameters
        ----------
        singles : frozenset of str
            What `singles` gave.
        wanted : iterable of str
            What is asked about.

        Raises
        ------
        TooLarge
            When the search would not end in bounded time.
        """
        references = self._product.references
        rest = frozenset(
            level for level, reference in enumerate(references) if reference not in singles
        )
        asked = {level for level in rest if references[level] in set(wanted)}
        found: set[int] = set()
        seen: set[frozenset[int]] = set()
        waiting = [rest] if asked else []
        while waiting and not asked <= found:
            within = waiting.pop()
            if within in seen:
                continue
            seen.add(within)
            if len(seen) > _MOST_SEARCHED:
                raise TooLarge("too many facts change only in company")
            if not self._any(within):
                continue
            smallest = self._shrink(within)
            found |= smallest
            # Any other smallest change lacks a member of this one.
            waiting += [within - {level} for level in sorted(smallest)]
        return frozenset(references[level] for level in found & asked)

    def _shrink(self, within: frozenset[int]) -> frozenset[int]:
        for level in sorted(within):
            fewer = within - {level}
            if fewer and self._any(fewer):
                within = fewer
        return within

    def _any(self, within: frozenset[int]) -> bool:
        """Tell whether two looks of different options differ only within these levels."""
        return any(_Reach(self, within).meets(one, two) for one, two in self._digits)

    def leaf_meets(self, one: int, two: int, within: Sequence[int]) -> bool:
        """Tell whether two leaves hold combinations that differ only within these digits."""
        self._budget.spend(self._product.cost(self._product.tops))
        near = self._blurred.get(one)
        if near is None:
            near = one
            for level in range(self._product.tops, len(self._product.references)):
                near = self._product.blur(level, near)
            self._blurred[one] = near
        for level in within:
            near = self._product.loosen(level, near)
        return bool(near & two)

    def parts(self, level: int, bits: Set) -> tuple[Set, ...]:
        """Give what is left of a set for each way of a branching."""
        self._budget.spend()
        return self._product.parts(level, bits)

    @property
    def product(self) -> Product:
        """Give the combinations."""
        return self._product


class _Reach:
    """One walk down two sets at once."""

    def __init__(self, changes: Changes, within: frozenset[int]) -> None:
        self._changes = changes
        self._within = within
        self._leaf_levels = sorted(level for level in within if level >= changes.product.tops)
        self._known: dict[tuple[Set, Set], bool] = {}

    def meets(self, one: Set, two: Set) -> bool:
        if not one or not two:
            return False
        if one is two:
            return True
        if isinstance(one, int) and isinstance(two, int):
            return self._changes.leaf_meets(one, two, self._leaf_levels)
        found = self._known.get((one, two))
        if found is None:
            found = self._known[one, two] = self._below(one, two)
        return found

    def _below(self, one: Set, two: Set) -> bool:
        level = min(bits.level for bits in (one, two) if isinstance(bits, Node))
        ones, twos = self._changes.parts(level, one), self._changes.parts(level, two)
        ways = self._changes.product.ways[level]
        free = level in self._within
        for here, left in enumerate(ones):
            for there, right in enumerate(twos):
                near = here == there or ways[here] is None or ways[there] is None
                if (free or near) and self.meets(left, right):
                    return True
        return False
