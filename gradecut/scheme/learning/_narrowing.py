"""Rules no wider than they are right: a general rule has exceptions, not mostly exceptions."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from gradecut.scheme.learning._ground import Condition, Ground, Line

__all__ = ["narrowed"]

_GENERAL = 0.8
"""The share of looks a rule must be right on to stand as a general one with exceptions."""

_WORTH = 0.3
"""The share of the looks it is wrong on that a further fact must take away."""


def narrowed(ground: Ground, lines: Sequence[Line], fact_cost: Mapping[int, float]) -> list[Line]:
    """Give the same rules, each narrowed by a fact or more where it is mostly overridden.

    Parameters
    ----------
    ground : Ground
        The man's examples.
    lines : sequence of Line
        His rules, a later one before an earlier one.
    fact_cost : mapping of int to float
        The traits that may be used for it, and what each costs.
    """
    found = list(lines)
    for at in range(len(found)):
        line = found[at]
        later = 0
        for over in found[at + 1 :]:
            later |= ground.inside(over.condition)
        mine = ground.inside(line.condition) & ground.saying[line.fit] & ~later & ~ground.given
        found[at] = Line(_narrow(ground, line, mine, fact_cost), line.fit)
    return found if ground.right(found) == ground.full else list(lines)


def _narrow(ground: Ground, line: Line, mine: int, fact_cost: Mapping[int, float]) -> Condition:
    strangers = ground.full & ~ground.saying[line.fit]
    condition = line.condition
    against = ground.touch(condition) & strangers
    while against and mine.bit_count() < _GENERAL * (mine | against).bit_count():
        best: tuple[float, Condition, int] | None = None
        for place in fact_cost:
            tight = _tightened(ground, condition, place, mine)
            rest = ground.touch(tight) & strangers
            gone = (against & ~rest).bit_count()
            cost = 0.2 if any(place == known for known, _ in condition) else fact_cost[place]
            if gone >= _WORTH * against.bit_count() and (best is None or gone / cost > best[0]):
                best = (gone / cost, tight, rest)
        if best is None:
            break
        _, condition, against = best
    return condition


def _tightened(ground: Ground, condition: Condition, place: int, mine: int) -> Condition:
    """Leave out the values of a trait on which the rule's own answers were not seen."""
    trait = ground.traits[place]
    before = dict(condition).get(place, trait.full)
    allowed = 0
    for k, bits in enumerate(ground.may[place]):
        value = 1 << k
        if value & before and bits & mine:
            allowed |= value
    rest = tuple(pair for pair in condition if pair[0] != place)
    return tuple(sorted((*rest, (place, allowed)))) if allowed != trait.full else rest
