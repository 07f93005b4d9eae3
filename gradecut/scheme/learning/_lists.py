"""The shortest list of rules that tells a man's answers: general ones first, exceptions over them.

A list grows from below: each step lays one rule over those there already, the one that puts most
answers right for its length (a greedy cover; a rule that lies over others need not be pure below
it, as in ripple-down rules). The list is then made shorter as long as every answer stays right.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

from gradecut.scheme.learning._ground import Condition, Ground, Line

__all__ = ["Manner", "best_list", "length_of"]

_DEEPEN = 6
"""How many conditions of two facts are tried with a third."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Manner:
    """How a list is grown.

    Attributes
    ----------
    purity : float
        What it costs a rule to take in an answer that is another's and still to be told.
    fact_cost : mapping of int to float
        What a condition on a trait costs, where a rule without any costs 1.
    """

    purity: float
    fact_cost: Mapping[int, float]

    def cost(self, condition: Condition) -> float:
        """Give what a rule with this condition costs."""
        return 1.0 + sum(self.fact_cost[place] for place, _ in condition)


def length_of(lines: Sequence[Line], manner: Manner) -> tuple[int, float, int]:
    """Give a list's length: rules, then facts, then values named."""
    return (
        len(lines),
        round(sum(manner.cost(line.condition) - 1 for line in lines), 6),
        sum(allowed.bit_count() for line in lines for _, allowed in line.condition),
    )


def best_list(
    ground: Ground, manners: Sequence[Manner], check: Callable[[], None]
) -> list[list[Line]]:
    """Grow a list in each manner and give them all, the shortest first."""
    found = []
    for manner in manners:
        lines = _shorten(ground, _grow(ground, manner, check), manners[0], check)
        found.append((length_of(lines, manners[0]), lines))
    found.sort(key=lambda pair: pair[0])
    return [lines for _, lines in found]


def _grow(ground: Ground, manner: Manner, check: Callable[[], None]) -> list[Line]:
    lines: list[Line] = []
    right = ground.given
    while right != ground.full:
        check()
        search = _Search(ground, manner, right)
        wanting = [
            ((saying & ~right).bit_count(), fit)
            for fit, saying in ground.saying.items()
            if saying & ~right
        ]
        for _, fit in sorted(wanting, key=lambda pair: -pair[0]):
            search.try_fit(fit)
        lines.append(search.chosen or _narrowest(ground, right))
        right = ground.right(lines)
    return lines


class _Search:
    """The search for the next rule: the most answers put right for its length.

    Conditions are made from the best values of one fact, each then joined by a second and the
    best of those by a third. What could not beat the best so far, however pure it became, is
    passed over; so nothing is lost by it.
    """

    def __init__(self, ground: Ground, manner: Manner, right: int) -> None:
        self._ground = ground
        self._manner = manner
        self._right = right
        self._cheapest = min(manner.fact_cost.values(), default=0.0)
        self._best = (0.0, 0)
        self.chosen: Line | None = None
        self._fit = ""
        self._wanted = self._broken = self._strange = self._firm = 0
        self._seen: set[Condition] = set()

    def try_fit(self, fit: str) -> None:
        """Look for a better rule among those of one fit."""
        ground, saying = self._ground, self._ground.saying[fit]
        self._fit = fit
        self._wanted = saying & ~self._right
        self._broken = self._right & ~saying
        self._firm = ground.firm & ~saying
        self._strange = ground.full & ~self._right & ~saying
        self._seen = set()
        self._score(())
        starts: dict[Condition, int] = {}
        for place, values in enumerate(ground.may):
            allowed = self._best_values(ground.full, ground.full, place)
            if allowed:
                self._score(((place, allowed),))
                starts[(place, allowed),] = 0
            for k, bits in enumerate(values):
                if bits & self._wanted:
                    starts[(place, 1 << k),] = 0
        twos: list[tuple[float, int, Condition]] = []
        for start in self._promising(starts):
            twos += self._deeper(start)
        twos.sort(key=lambda found: (-found[0], -found[1], found[2]))
        for start in self._promising(condition for _, _, condition in twos[:_DEEPEN]):
            self._deeper(start)

    def _promising(self, starts: Iterable[Condition]) -> Iterator[Condition]:
        """Give those that another fact could make better than the best, the widest first."""
        wide = [((self._ground.touch(start) & self._wanted).bit_count(), start) for start in starts]
        for most, start in sorted(wide, key=lambda pair: (-pair[0], pair[1])):
            if most / (self._manner.cost(start) + self._cheapest) >= self._best[0]:
                yield start

    def _deeper(self, start: Condition) -> list[tuple[float, int, Condition]]:
        ground = self._ground
        touch, inside = ground.touch(start), ground.inside(start)
        if not touch & (self._broken | self._strange):
            return []
        taken = {place for place, _ in start}
        found = []
        for place in range(len(ground.traits)):
            if place in taken:
                continue
            allowed = self._best_values(touch, inside, place)
            if not allowed:
                continue
            condition = _with(start, place, allowed)
            for other, _ in start:  # the first facts' values anew, now that there is another
                rest = tuple(pair for pair in condition if pair[0] != other)
                again = self._best_values(ground.touch(rest), ground.inside(rest), other)
                if again:
                    condition = _with(rest, other, again)
            scored = self._score(condition)
            if scored is not None:
                found.append(scored)
        return found

    def _score(self, condition: Condition) -> tuple[float, int, Condition] | None:
        if condition in self._seen:
            return None
        self._seen.add(condition)
        touch, inside = self._ground.touch(condition), self._ground.inside(condition)
        gain = (inside & self._wanted).bit_count() - (touch & self._broken).bit_count()
        if gain <= 0 or touch & self._firm:
            return None
        net = gain - self._manner.purity * (touch & self._strange).bit_count()
        if net <= 0:
            return None
        score = net / self._manner.cost(condition)
        if (score, gain) > self._best:
            self._best, self.chosen = (score, gain), Line(condition, self._fit)
        return score, gain, condition

    def _best_values(self, touch: int, inside: int, place: int) -> int:
        """Give the values of a trait worth taking in beside a condition; 0: none, or all."""
        wanted = inside & self._wanted
        broken = touch & self._broken
        strange = touch & self._strange
        purity = self._manner.purity
        allowed = 0
        for k, bits in enumerate(self._ground.may[place]):
            here = (bits & wanted).bit_count()
            if not here:
                continue
            if broken:
                here -= (bits & broken).bit_count()
            if here > 0 and here > purity * (bits & strange).bit_count():
                allowed |= 1 << k
        return 0 if allowed == self._ground.traits[place].full else allowed


def _with(condition: Condition, place: int, allowed: int) -> Condition:
    return tuple(sorted((*condition, (place, allowed))))


def _narrowest(ground: Ground, right: int) -> Line:
    """Give a rule for one answer alone, with as few facts as keep other answers out."""
    left = ground.full & ~right
    place = (left & -left).bit_length() - 1
    example = ground.examples[place]
    others = ground.full & ~ground.saying[example.fit]
    condition: Condition = tuple(
        (at, allowed) for at, allowed in enumerate(example.box) if allowed != ground.traits[at].full
    )
    for pair in reversed(condition):
        fewer = tuple(kept for kept in condition if kept != pair)
        if not ground.touch(fewer) & others:
            condition = fewer
    return Line(condition, example.fit)


def _shorten(
    ground: Ground, lines: list[Line], manner: Manner, check: Callable[[], None]
) -> list[Line]:
    """Leave out what can be left out: rules, then facts; then ask facts other rules ask too."""
    changed = True
    while changed:
        check()
        changed = False
        for fewer in chain(_shorter(lines), _swapped(ground, lines, manner)):
            if ground.right(fewer) == ground.full:
                lines, changed = fewer, True
                break
    return lines


def _shorter(lines: list[Line]) -> Iterator[list[Line]]:
    for at in range(len(lines)):
        yield lines[:at] + lines[at + 1 :]
    for at, line in enumerate(lines):
        for later in range(at + 1, len(lines)):
            joined = _joined(line, lines[later])
            if joined is not None:
                yield [*lines[:at], *lines[at + 1 : later], joined, *lines[later + 1 :]]
                yield [*lines[:at], joined, *lines[at + 1 : later], *lines[later + 1 :]]
    for at, line in enumerate(lines):
        for pair in line.condition:
            fewer = tuple(kept for kept in line.condition if kept != pair)
            yield [*lines[:at], Line(fewer, line.fit), *lines[at + 1 :]]


def _swapped(ground: Ground, lines: list[Line], manner: Manner) -> Iterator[list[Line]]:
    """Give lists in which one rule asks a cheaper fact instead of one of its own."""
    later = 0
    for at in range(len(lines) - 1, -1, -1):
        line = lines[at]
        inside = ground.inside(line.condition)
        mine = inside & ground.saying[line.fit] & ~later
        later |= inside
        taken = {place for place, _ in line.condition}
        for old, _ in line.condition:
            rest = tuple(pair for pair in line.condition if pair[0] != old)
            for new, cost in manner.fact_cost.items():
                if new in taken or cost >= manner.fact_cost[old] - 1e-9:
                    continue
                allowed = sum(1 << k for k, bits in enumerate(ground.may[new]) if bits & mine)
                if allowed and allowed != ground.traits[new].full:
                    other = Line(_with(rest, new, allowed), line.fit)
                    yield [*lines[:at], other, *lines[at + 1 :]]


def _joined(one: Line, two: Line) -> Line | None:
    """Join two rules of one fit that differ in the values of one fact."""
    if one.fit != two.fit or [p for p, _ in one.condition] != [p for p, _ in two.condition]:
        return None
    pairs = list(zip(one.condition, two.condition, strict=True))
    if sum(a != b for a, b in pairs) > 1:
        return None
    return Line(tuple((a[0], a[1] | b[1]) for a, b in pairs), one.fit)
