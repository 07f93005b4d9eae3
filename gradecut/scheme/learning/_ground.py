"""One man's answers as sets of bits, one bit for each look: what a rule takes in, at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gradecut.scheme.learning._views import Box, Trait

__all__ = ["Condition", "Example", "Ground", "Line"]

Condition = tuple[tuple[int, int], ...]
"""Pairs of a trait's place and the values allowed, as bits; in the order of the traits."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """One look as a man sees it, and what he owed there.

    Attributes
    ----------
    box : Box
        What the look may be.
    fit : str
        The coach's answer.
    clips : tuple of str
        The clips on which he gave it.
    given : bool
        The scheme's own rules say so already.
    """

    box: Box
    fit: str
    clips: tuple[str, ...]
    given: bool = False


@dataclass(frozen=True, slots=True)
class Line:
    """A rule while it is being worked out: a condition and the fit it asks."""

    condition: Condition
    fit: str


class Ground:
    """The examples of one man.

    Attributes
    ----------
    traits : tuple of Trait
    examples : tuple of Example
    full : int
        The set of all examples.
    given : int
        Those the scheme's own rules give already.
    firm : int
        Those among them that share a box with another's, though no look that may be: a rule laid
        over one could never be mended by one more.
    saying : dict of str to int
        The examples of each fit, in file order of the fits.
    """

    def __init__(
        self,
        traits: Sequence[Trait],
        examples: Sequence[Example],
        fits: Iterable[str],
    ) -> None:
        self.traits = tuple(traits)
        self.examples = tuple(examples)
        self.full = (1 << len(examples)) - 1
        self.given = _bits(example.given for example in self.examples)
        self.saying = {
            fit: bits
            for fit in fits
            if (bits := _bits(example.fit == fit for example in self.examples))
        }
        self.may = [
            [
                _bits(bool(e.box[place] >> k & 1) for e in self.examples)
                for k in range(len(t.values))
            ]
            for place, t in enumerate(self.traits)
        ]
        self._touched: dict[tuple[int, int], int] = {}
        self.firm = 0
        for example in self.examples:
            if example.given:
                same = self.touch(tuple(enumerate(example.box)))
                self.firm |= same & self.given & ~self.saying[example.fit]

    def met(self, place: int, allowed: int) -> int:
        """Give the examples that may have one of these values."""
        key = (place, allowed)
        found = self._touched.get(key)
        if found is None:
            found = 0
            for k, bits in enumerate(self.may[place]):
                if allowed >> k & 1:
                    found |= bits
            self._touched[key] = found
        return found

    def touch(self, condition: Condition) -> int:
        """Give the examples a condition may hold for."""
        found = self.full
        for place, allowed in condition:
            found &= self.met(place, allowed)
        return found

    def inside(self, condition: Condition) -> int:
        """Give the examples a condition holds for however open facts turn out."""
        found = self.full
        for place, allowed in condition:
            found &= ~self.met(place, self.traits[place].full & ~allowed)
        return found

    def right(self, lines: Sequence[Line]) -> int:
        """Give the examples that lines tell rightly, a later line before an earlier one."""
        told = self.given
        for line in lines:
            saying = self.saying[line.fit]
            told &= saying | ~self.touch(line.condition)
            told |= saying & self.inside(line.condition)
        return told


def _bits(flags: Iterable[bool]) -> int:
    found = 0
    for place, flag in enumerate(flags):
        if flag:
            found |= 1 << place
    return found
