"""A smallest look that shows something: the fewest references, in all of whose completions it is.

With the looks that can be and the looks among them that do not show it, one reference after the
other is either left open (both sets lose it, keeping whatever any of its values allows) or told
(both keep what goes with that value). A look will do when something is left of the first set and
nothing of the second.
"""

from __future__ import annotations

from gradecut.scheme.auditing._budget import Budget
from gradecut.scheme.auditing._product import Node, Product, Set
from gradecut.scheme.parts import Value

__all__ = ["smallest_look"]

_State = tuple[int, Set, Set]


def smallest_look(
    product: Product, valid: Set, unlike: Set, budget: Budget
) -> dict[str, Value] | None:
    """Give a look of the fewest references all of whose completions show something.

    Parameters
    ----------
    product : Product
        The combinations.
    valid : Set
        Those that can be.
    unlike : Set
        Those among them that do not show it.
    budget : Budget
        What the work is counted on.

    Returns
    -------
    dict or None
        In no particular order; None when nothing shows it.
    """
    if valid == unlike:
        return None
    search = _Search(product, budget)
    for told in range(len(product.references) + 1):
        found = search.within(told, 0, valid, unlike)
        if found is not None:
            return dict(found)
    return None


class _Search:
    def __init__(self, product: Product, budget: Budget) -> None:
        self._product = product
        self._budget = budget
        self._levels = len(product.references)
        self._too_few: dict[_State, int] = {}

    def within(
        self, told: int, level: int, valid: Set, unlike: Set
    ) -> list[tuple[str, Value]] | None:
        """Find a look that tells at most so many of the references from a level on."""
        if not unlike:
            return [] if valid else None
        # What shows it only gets less when a reference is left open.
        if not told or valid == unlike or level == self._levels:
            return None
        level = self._next(level, valid, unlike)
        state = (level, valid, unlike)
        if self._too_few.get(state, -1) >= told:
            return None
        self._budget.spend(self._product.cost(level))
        found = self._from(told, level, valid, unlike)
        if found is None:
            self._too_few[state] = told
        return found

    def _next(self, level: int, valid: Set, unlike: Set) -> int:
        """Pass over branchings that neither set has."""
        if level >= self._product.tops:
            return level
        ends = [bits.level for bits in (valid, unlike) if isinstance(bits, Node)]
        return max(level, min([*ends, self._product.tops]))

    def _from(
        self, told: int, level: int, valid: Set, unlike: Set
    ) -> list[tuple[str, Value]] | None:
        valids = self._product.parts(level, valid)
        unlikes = self._product.parts(level, unlike)
        any_valid, any_unlike = valids[0], unlikes[0]
        for also_valid, also_unlike in zip(valids[1:], unlikes[1:], strict=True):
            any_valid = any_valid | also_valid
            any_unlike = any_unlike | also_unlike
        found = self.within(told, level + 1, any_valid, any_unlike)
        if found is not None or (len(set(valids)) == 1 and len(set(unlikes)) == 1):
            return found
        seen: set[tuple[Set, Set]] = set()
        for way, one, two in zip(self._product.ways[level], valids, unlikes, strict=True):
            if way is None or (one, two) in seen:
                continue
            seen.add((one, two))
            found = self.within(told - 1, level + 1, one, two)
            if found is not None:
                return [(self._product.references[level], way), *found]
        return None
