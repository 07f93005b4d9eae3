"""Values that go together: what he answered alike elsewhere is taken to be alike here too.

Where inside zone and split zone were the same to every man on all looks on which both were seen,
a rule that names one of them names the other as well, on looks never seen.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from itertools import combinations

from gradecut.scheme.learning._ground import Ground, Line

__all__ = ["Likeness", "likeness", "with_families"]

Likeness = Mapping[tuple[str, int, int], int]
"""By a trait's word and two values: on how many looks alike; negative where once unlike."""

_UNLIKE = 4
"""How many times alike one time unlike outweighs."""


def likeness(grounds: Sequence[tuple[Ground, Sequence[Line]]]) -> Likeness:
    """Count how often two values of a fact were answered alike, all else that matters the same.

    Parameters
    ----------
    grounds : sequence of (Ground, sequence of Line)
        Each man's examples, and the rules that say which facts matter to him.
    """
    found: Counter[tuple[str, int, int]] = Counter()
    for ground, lines in grounds:
        used = sorted({place for line in lines for place, _ in line.condition})
        for place in used:
            trait = ground.traits[place]
            if len(trait.values) > 2:
                for one, two, alike in _compared(ground, place, used):
                    found[trait.word, one, two] += 1 if alike else -_UNLIKE
    return found


def _compared(ground: Ground, place: int, used: Sequence[int]) -> list[tuple[int, int, bool]]:
    cells: dict[tuple[int, ...], dict[int, set[str]]] = defaultdict(lambda: defaultdict(set))
    for example in ground.examples:
        value = example.box[place]
        if value & (value - 1) == 0:
            rest = tuple(example.box[other] for other in used if other != place)
            cells[rest][value].add(example.fit)
    found = []
    for fits in cells.values():
        for one, two in combinations(sorted(fits), 2):
            found.append((one, two, len(fits[one] | fits[two]) == 1))
    return found


def with_families(ground: Ground, lines: Sequence[Line], alike: Likeness) -> list[Line]:
    """Give a man's rules with the values that go with those they name, where none was seen."""
    found = list(lines)
    for at, line in enumerate(lines):
        for place, allowed in line.condition:
            word = ground.traits[place].word
            rest = tuple(pair for pair in found[at].condition if pair[0] != place)
            wider = allowed
            for k in range(len(ground.traits[place].values)):
                value = 1 << k
                if value & allowed:
                    continue
                if ground.touch(tuple(sorted((*rest, (place, value))))):
                    continue
                if _goes_with(word, value, allowed, alike):
                    wider |= value
            if wider not in (allowed, ground.traits[place].full):
                condition = tuple(sorted((*rest, (place, wider))))
                wide = [*found[:at], Line(condition, line.fit), *found[at + 1 :]]
                if ground.right(wide) == ground.full:
                    found = wide
    return found


def _goes_with(word: str, value: int, allowed: int, alike: Likeness) -> bool:
    total = 0
    k = 1
    while k <= allowed:
        if k & allowed:
            total += alike.get((word, min(k, value), max(k, value)), 0)
        k <<= 1
    return total > 0
