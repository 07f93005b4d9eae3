"""For each way of each reference of a product, how much of a set has it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from gradecut.scheme._budget import Budget
from gradecut.scheme._product import Node, Product, Set

__all__ = ["counts", "present"]


def counts(
    product: Product, looks: Set, weights: Mapping[str, Sequence[int]], budget: Budget
) -> list[list[int]]:
    """Count, for each way of each level, the looks of a set that have it.

    Parameters
    ----------
    product : Product
        The combinations.
    looks : Set
        What is counted.
    weights : mapping of str to sequence of int
        How often each way of a reference counts.
    budget : Budget
        What the work is counted on.
    """
    return _Counting(product, weights, budget).of(looks)


class _Counting:
    """Two walks: from the leaves up, how much lies below; from the top down, how much leads to it.

    Every look passes each level once: at a branching, on a way that skips it, or in a leaf.
    """

    def __init__(
        self, product: Product, weights: Mapping[str, Sequence[int]], budget: Budget
    ) -> None:
        self._product = product
        self._budget = budget
        self._weights = [tuple(weights[reference]) for reference in product.references]
        self._times = [sum(each) for each in self._weights]
        self._found = [[0] * len(each) for each in self._weights]
        self._below: dict[Set, int] = {}

    def of(self, looks: Set) -> list[list[int]]:
        tops = self._product.tops
        leading: list[dict[Node, int]] = [{} for _ in range(tops)]
        leaves: dict[int, int] = {}
        self._lead(0, looks, 1, leading, leaves)
        for level in range(tops):
            for node, ways_here in leading[level].items():
                self._budget.spend()
                for way, kid in enumerate(node.kids):
                    each = self._weights[level][way]
                    passed = self._lead(level + 1, kid, ways_here * each, leading, leaves)
                    self._found[level][way] += passed
        for leaf, often in leaves.items():
            self._count_leaf(leaf, often)
        return self._found

    def _lead(
        self,
        level: int,
        looks: Set,
        often: int,
        leading: list[dict[Node, int]],
        leaves: dict[int, int],
    ) -> int:
        """Let so many looks come to a set from a level on; give how many pass through it."""
        if not looks:
            return 0
        end = looks.level if isinstance(looks, Node) else self._product.tops
        for skipped in range(level, end):
            often *= self._times[skipped]
        if isinstance(looks, Node):
            here = leading[end]
            here[looks] = here.get(looks, 0) + often
        else:
            leaves[looks] = leaves.get(looks, 0) + often
        passed = often * self._count_below(looks)
        for skipped in range(level, end):
            share = passed // self._times[skipped]
            for way, each in enumerate(self._weights[skipped]):
                self._found[skipped][way] += share * each
        return passed

    def _count_below(self, looks: Set) -> int:
        found = self._below.get(looks)
        if found is None:
            if isinstance(looks, Node):
                found = sum(
                    each * self._skipping(looks.level + 1, kid)
                    for each, kid in zip(self._weights[looks.level], looks.kids, strict=True)
                    if kid
                )
            else:
                parts = self._product.weighed(looks, self._weights)
                found = sum(weight * part.bit_count() for weight, part in parts.items())
            self._below[looks] = found
        return found

    def _skipping(self, level: int, looks: Set) -> int:
        found = self._count_below(looks)
        end = looks.level if isinstance(looks, Node) else self._product.tops
        for skipped in range(level, end):
            found *= self._times[skipped]
        return found

    def _count_leaf(self, leaf: int, often: int) -> None:
        product = self._product
        self._budget.spend(product.cost(product.tops))
        for weight, part in product.weighed(leaf, self._weights).items():
            for level in range(product.tops, len(self._weights)):
                for way, stripe in enumerate(product.stripes(level)):
                    self._found[level][way] += often * weight * (part & stripe).bit_count()


def present(product: Product, looks: Set, budget: Budget) -> list[list[bool]]:
    """Tell, for each way of each level, whether a look of a set has it.

    Parameters
    ----------
    product : Product
        The combinations.
    looks : Set
        What is asked about.
    budget : Budget
        What the work is counted on.
    """
    tops = product.tops
    found = [[False] * len(ways) for ways in product.ways]
    seen: set[Set] = set()
    waiting: list[tuple[int, Set]] = [(0, looks)]
    leaves = 0
    while waiting:
        level, here = waiting.pop()
        if not here:
            continue
        end = here.level if isinstance(here, Node) else tops
        for skipped in range(level, end):
            found[skipped] = [True] * len(found[skipped])
        if here in seen:
            continue
        seen.add(here)
        if isinstance(here, Node):
            budget.spend()
            for way, kid in enumerate(here.kids):
                if kid:
                    found[end][way] = True
                    waiting.append((end + 1, kid))
        else:
            leaves |= here
    for level in range(tops, len(found)):
        found[level] = [bool(leaves & stripe) for stripe in product.stripes(level)]
    return found
