"""Which one fact, had it been another, would have changed an answer."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from gradecut.errors import LookError
from gradecut.records.expectation import Expectation
from gradecut.records.people import Side
from gradecut.scheme._questions import Choice, Question
from gradecut.scheme._reading import Answer, Check, PointedCheck
from gradecut.scheme._reasons import had_clause, told_beside
from gradecut.scheme._ties import Ties
from gradecut.scheme.parts import Value

if TYPE_CHECKING:
    from gradecut.scheme.scheme import Scheme

__all__ = ["Flip", "Flips"]

_MOST_TRIED = 300
"""Most changes tried for one sentence; a scheme of fifteen facts has about a hundred."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Flip:
    """One fact with another value, and what the man would owe then.

    Attributes
    ----------
    reference : str
        The one reference that is another.
    value : str, int or bool
        Its other value.
    fit : str
        What would be asked of him.
    side : "left", "right" or None
        Side of that fit as the offence faces the line.
    words : str
        Both in words, such as "had the guard not pulled: fill A"; the side is told where it is
        another than now.
    """

    reference: str
    value: Value
    fit: str
    side: Side | None
    words: str


class Flips:
    """The changes of one recorded fact that would turn one man's answer.

    Parameters
    ----------
    scheme : Scheme
        The coach's rules.
    position : str
        The man.
    look : mapping of str to value
        What is recorded; a look that may be.
    side : "left", "right" or None
        His side, where it was told.
    ties : Ties
        The scheme's facts.
    question : Question
        His rules.
    """

    def __init__(
        self,
        scheme: Scheme,
        position: str,
        look: Mapping[str, Value],
        side: str | None,
        *,
        ties: Ties,
        question: Question,
    ) -> None:
        self._scheme = scheme
        self._now = scheme.expect(position, look, side)
        self._man = scheme.positions[position]
        # The side of a man who may be on either side is a fact of the look.
        aligned = self._man.side == "as aligned" and side is not None
        self._look = {**look, f"side.{position}": str(side)} if aligned else look
        self._side = None if aligned else side
        self._ties = ties
        self._question = question
        self._own = scheme.side_of(position, look, side)
        self._named = self._named_facts()

    def first(self) -> Flip | None:
        """Give the flip that tells most; None where no single fact would turn the answer.

        A flip that brings back a rule overridden now tells more than others by a fact that the
        answering rule names.
        """
        best: Flip | None = None
        for named, flip, rule in self._found(_MOST_TRIED):
            if named and self._now.overrode and rule in self._now.overrode:
                return flip
            if best is None:
                best = flip
            if not named or not self._now.overrode:
                break
        return best

    def all(self) -> tuple[Flip, ...]:
        """Give every flip, most telling first."""
        back = self._now.overrode
        found = list(self._found())
        found.sort(key=lambda one: not (one[0] and one[2] in back))
        return tuple(flip for _, flip, _ in found)

    def _found(self, most: int | None = None) -> Iterator[tuple[bool, Flip, str | None]]:
        if len(self._now.options) > 1:  # an open answer has nothing to turn yet
            return
        for named, reference, value in self._candidates()[:most]:
            said = self._asked_with(reference, value)
            if said is None or said.fit is None or said.options == self._now.options:
                continue
            fact = self._scheme.fact_of(reference)
            clause = had_clause(fact, reference, value, self._own)
            words = f"{clause}: {told_beside((said.fit, said.side), self._now.side)}"
            flip = Flip(reference=reference, value=value, fit=said.fit, side=said.side, words=words)
            yield named, flip, said.rule

    def _asked_with(self, reference: str, value: Value) -> Expectation | None:
        changed = self._ties.fitting({**self._look, reference: value})
        if reference not in changed:
            return None
        try:
            return self._scheme.expect(self._man.name, changed, self._side)
        except LookError:
            return None

    def _candidates(self) -> list[tuple[bool, str, Value]]:
        """List the changes to try, most telling first."""
        bearing = self._ties.bearing_on(self._question.references)
        found: list[tuple[tuple[bool, bool, int, int, int], bool, str, Value]] = []
        for place, reference in enumerate(self._scheme.references):
            if reference not in self._look or reference not in bearing:
                continue
            now = self._look[reference]
            values = self._ties.values_of(reference)
            named = reference in self._named
            before = self._scheme.fact_of(reference).known == "before"
            for at, value in enumerate(values):
                if value != now:
                    rank = (not named, before, _change(now, value, len(values)), place, at)
                    found.append((rank, named, reference, value))
        found.sort(key=lambda one: one[0])
        return [(named, reference, value) for _, named, reference, value in found]

    def _named_facts(self) -> frozenset[str]:
        rules = {self._now.rule}
        choices = [choice for choice in self._question.choices if choice.item.id in rules]
        return frozenset(word for choice in choices for word in self._names(choice))

    def _names(self, choice: Choice) -> Iterator[str]:
        """Give what an answering rule names, of the ways it may hold those that do."""
        reading = choice.readings.get(self._own if self._man.sided else None, ())
        holding = [checks for checks in reading if all(self._may(check) for check in checks)]
        for checks in holding:
            for check in checks:
                if isinstance(check, Check):
                    yield check.reference
                    continue
                yield check.pointer
                points = f".{self._look.get(check.pointer)}"
                yield from (word for word in (check.left, check.right) if word.endswith(points))

    def _may(self, check: Check | PointedCheck) -> bool:
        known: Mapping[str, Answer] = self._look
        return any(word not in known for word in check.references) or check.holds(known)


def _change(now: Value, value: Value, count: int) -> int:
    """Measure a change: by how many where it is a number, else by how many values there are."""
    if isinstance(now, int) and isinstance(value, int) and not isinstance(now, bool):
        return abs(value - now)
    return count - 1
