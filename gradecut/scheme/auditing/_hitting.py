"""The fewest references that have to be told, by what was found not to do."""

from __future__ import annotations

from collections.abc import Sequence

from gradecut.scheme._budget import Budget

__all__ = ["Clause", "Hitting"]

Clause = tuple[int, int]
"""Levels one of which has to be told, and levels one of which must not be: one of all of them."""


class Hitting:
    """Sets of levels, the smallest first, that meet every clause said so far.

    Parameters
    ----------
    budget : Budget
        What the work is counted on.
    """

    def __init__(self, budget: Budget) -> None:
        self._budget = budget
        self._clauses: list[Clause] = []
        self.least = 0

    def add(self, clause: Clause) -> None:
        """Say one clause more."""
        self._clauses.append(clause)

    def smallest(self, most: int) -> int | None:
        """Give a smallest set of at most so many levels; None when there is none."""
        while self.least <= most:
            found = self._within(self.least, 0, 0, self._clauses)
            if found is not None:
                return found
            self.least += 1
        return None

    def _within(self, count: int, told: int, kept: int, clauses: Sequence[Clause]) -> int | None:
        """Tell at most so many more; `kept` may not be told."""
        self._budget.spend(1 + (len(clauses) >> 3))
        if count < 0:
            return None
        left = [
            (told_one & ~kept, open_one & ~told)
            for told_one, open_one in clauses
            if not told_one & told and not open_one & kept
        ]
        if not left:
            return told
        left.sort(key=_width)
        tightest = left[0]
        if not any(tightest) or _apart(left) > count:
            return None
        return self._meeting(tightest, (count, told, kept), left)

    def _meeting(
        self, tightest: Clause, state: tuple[int, int, int], left: Sequence[Clause]
    ) -> int | None:
        """Meet one clause in each way there is, leaving to later ways what earlier ones tried."""
        count, told, kept = state
        for level in _members(tightest[1]):
            found = self._within(count, told, kept | level, left)
            if found is not None:
                return found
            told |= level
            count -= 1
        for level in _members(tightest[0]):
            if count <= 0:
                return None
            found = self._within(count - 1, told | level, kept, left)
            if found is not None:
                return found
            kept |= level
        return None


def _width(clause: Clause) -> int:
    return clause[0].bit_count() + clause[1].bit_count()


def _apart(clauses: Sequence[Clause]) -> int:
    """Count clauses that have no level in common: each takes one of its own."""
    taken = found = 0
    for told_one, open_one in clauses:
        if not open_one and not told_one & taken:
            taken |= told_one
            found += 1
    return found


def _members(levels: int) -> list[int]:
    found = []
    while levels:
        lowest = levels & -levels
        found.append(lowest)
        levels ^= lowest
    return found
