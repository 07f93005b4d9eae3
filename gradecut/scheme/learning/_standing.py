"""The rules a scheme has already, in the way of the new ones."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gradecut.scheme._questions import Choice
from gradecut.scheme._reading import allowed_values
from gradecut.scheme.learning._ground import Condition, Ground, Line
from gradecut.scheme.learning._tiers import apart
from gradecut.scheme.learning._views import View
from gradecut.scheme.parts import Entry

__all__ = ["Standing", "standing_rules"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """One of the scheme's own rules, as its man sees it.

    Attributes
    ----------
    rank : int
        Its tier, from the lowest.
    answer : tuple
        Fit, and the fits that are right too.
    either : tuple of Condition
        Any of these holds where it does; what can't be said through the man's traits is left out,
        so that it may seem to hold on more looks than it does.
    """

    rank: int
    answer: object
    either: tuple[Condition, ...]

    def meets(self, line: Line) -> bool:
        """Tell whether it says something else than a line on looks both may hold for."""
        if self.answer == (line.fit, frozenset()):
            return False
        return not all(apart(condition, line.condition) for condition in self.either)

    def touches(self, ground: Ground) -> int:
        """Give the examples it may hold for."""
        found = 0
        for condition in self.either:
            found |= ground.touch(condition)
        return found


def standing_rules(view: View, choices: Sequence[Choice]) -> tuple[Standing, ...]:
    """Read a man's own rules through his eyes."""
    places = {trait.word: place for place, trait in enumerate(view.traits)}
    found = []
    for choice in choices:
        either = []
        for entries in choice.item.when:
            condition = _condition(view, places, entries)
            if condition is not None:
                either.append(condition)
        found.append(Standing(rank=choice.rank, answer=choice.answer, either=tuple(either)))
    return tuple(found)


def _condition(view: View, places: Mapping[str, int], entries: Sequence[Entry]) -> Condition | None:
    allowed: dict[int, int] = {}
    for entry in entries:
        word = f"{entry.fact}.{entry.where}" if entry.where else entry.fact
        if word in view.fixed:
            value = view.fixed[word]
            known = () if value is None else (value,)
            if value not in allowed_values(entry, known, sided=False, side=None):
                return None
        elif word in places:
            place = places[word]
            trait = view.traits[place]
            values = tuple(value for value in trait.values if value is not None)
            bits = trait.spread(allowed_values(entry, values, sided=False, side=None))
            allowed[place] = allowed.get(place, trait.full) & bits
    return tuple(sorted(allowed.items()))
