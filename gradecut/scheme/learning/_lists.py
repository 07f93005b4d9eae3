"""The shortest list of rules that tells a man's answers: general ones first, exceptions over them.

A list grows from below: each step lays one rule over those there already, the one that puts most
answers right for its length (a greedy cover; a rule that lies over others need not be pure below
it, as in ripple-down rules). The list is then made shorter as long as every answer stays right.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

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
        lines = _shorten(ground, _grow(ground, manner, check), check)
        found.append((length_of(lines, manners[0]), lines))
    found.sort(key=lambda pair: pair[0])
    return [lines for _, lines in found]


def _grow(ground: Ground, manner: Manner, check: Callable[[], None]) -> list[Line]:
    lines: list[Line] = []
    right = ground.given
    while right != ground.full:
        check()
        best: tuple[float, int] = (0.0, 0)
        chosen: Line | None = None
        for fit, saying in ground.saying.items():
            if not saying & ~right:
                continue
            search = _Search(ground, manner, saying, right)
            for score, gain, condition in search.conditions():
                if (score, gain) > best:
                    best, chosen = (score, gain), Line(condition, fit)
        if chosen is None:
            chosen = _narrowest(ground, right)
        lines.append(chosen)
        right = ground.right(lines)
    return lines


class _Search:
    """The search for the next rule of one fit."""

    def __init__(self, ground: Ground, manner: Manner, saying: int, right: int) -> None:
        self._ground = ground
        self._manner = manner
        self._wanted = saying & ~right
        self._broken = right & ~saying
        self._strange = ground.full & ~right & ~saying
        self._seen: set[Condition] = set()

    def conditions(self) -> Iterator[tuple[float, int, Condition]]:
        """Give conditions worth a rule, each with its score and how many answers it puts right."""
        yield from self._scored(())
        ones: list[Condition] = []
        for place in range(len(self._ground.traits)):
            allowed = self._best_values((), place)
            if allowed:
                ones.append(((place, allowed),))
        for one in ones:
            yield from self._scored(one)
        singles = [
            ((place, 1 << k),)
            for place, values in enumerate(self._ground.may)
            for k, bits in enumerate(values)
            if bits & self._wanted
        ]
        twos: list[tuple[float, int, Condition]] = []
        for start in dict.fromkeys([*ones, *singles]):
            for found in self._deeper(start):
                twos.append(found)
                yield found
        twos.sort(key=lambda found: (-found[0], -found[1], found[2]))
        for _, _, two in twos[:_DEEPEN]:
            yield from self._deeper(two)

    def _deeper(self, start: Condition) -> Iterator[tuple[float, int, Condition]]:
        taken = {place for place, _ in start}
        for place in range(len(self._ground.traits)):
            if place in taken:
                continue
            allowed = self._best_values(start, place)
            if not allowed:
                continue
            condition = _with(start, place, allowed)
            for other, _ in start:  # the first facts' values anew, now that there is another
                rest = tuple(pair for pair in condition if pair[0] != other)
                again = self._best_values(rest, other)
                if again:
                    condition = _with(rest, other, again)
            yield from self._scored(condition)

    def _scored(self, condition: Condition) -> Iterator[tuple[float, int, Condition]]:
        if condition in self._seen:
            return
        self._seen.add(condition)
        ground = self._ground
        touch, inside = ground.touch(condition), ground.inside(condition)
        gain = (inside & self._wanted).bit_count() - (touch & self._broken).bit_count()
        if gain <= 0:
            return
        net = gain - self._manner.purity * (touch & self._strange).bit_count()
        if net > 0:
            yield net / self._manner.cost(condition), gain, condition

    def _best_values(self, start: Condition, place: int) -> int:
        """Give the values of a trait worth taking in beside a condition; 0: none, or all."""
        ground = self._ground
        touch, inside = ground.touch(start), ground.inside(start)
        wanted, broken, strange = (
            inside & self._wanted, touch & self._broken, touch & self._strange
        )  # fmt: skip
        allowed = 0
        for k, bits in enumerate(ground.may[place]):
            here = (bits & wanted).bit_count()
            if (
                here
                and here
                > (bits & broken).bit_count() + self._manner.purity * (bits & strange).bit_count()
            ):
                allowed |= 1 << k
        return 0 if allowed == ground.traits[place].full else allowed


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


def _shorten(ground: Ground, lines: list[Line], check: Callable[[], None]) -> list[Line]:
    """Leave out what can be left out: rules, then facts of rules."""
    changed = True
    while changed:
        check()
        changed = False
        for fewer in _shorter(lines):
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


def _joined(one: Line, two: Line) -> Line | None:
    """Join two rules of one fit that differ in the values of one fact."""
    if one.fit != two.fit or [p for p, _ in one.condition] != [p for p, _ in two.condition]:
        return None
    pairs = list(zip(one.condition, two.condition, strict=True))
    if sum(a != b for a, b in pairs) > 1:
        return None
    return Line(tuple((a[0], a[1] | b[1]) for a, b in pairs), one.fit)
