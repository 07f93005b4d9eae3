"""From a list in which later rules lie over earlier ones to tiers in which no two overlap."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from gradecut.scheme.learning._ground import Condition, Line

__all__ = ["apart", "levels_of", "tier_names"]

_NEW = "exceptions"


def apart(one: Condition, two: Condition) -> bool:
    """Tell whether a fact both ask for keeps two conditions from ever holding together."""
    asked = dict(one)
    return any(not allowed & asked[place] for place, allowed in two if place in asked)


def levels_of(lines: Sequence[Line], free: Callable[[Line, int], int]) -> list[int]:
    """Give each line the lowest tier in which it tells what it does in the list.

    Parameters
    ----------
    lines : sequence of Line
        A later one before an earlier one.
    free : callable
        Of a line and a tier, from 0: the lowest tier from there on in which the scheme's own
        rules leave room for it.
    """
    levels: list[int] = []
    for line in lines:
        level = 0
        for under, below in zip(lines, levels, strict=False):
            if under.fit != line.fit and not apart(under.condition, line.condition):
                level = max(level, below + 1)
        levels.append(free(line, level))
    return levels


def tier_names(tiers: Sequence[str], count: int) -> list[str]:
    """Give the scheme's tiers, and names for as many more as are needed."""
    names = list(tiers)
    number = 1
    while len(names) < count:
        name = _NEW if number == 1 else f"{_NEW} {number}"
        if name not in names:
            names.append(name)
        number += 1
    return names
