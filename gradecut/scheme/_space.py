"""A product of open facts as sets of bits: one bit for each way the look may still be.

Facts with one way left take no room. The others are digits of the bit's number: the first one
listed is the lowest digit. So "where the back is left" is a striped pattern, any condition a few
ands and ors of whole sets, and "differing in this fact alone" a few shifts. Facts that hang on
each other can share a digit, which then counts only the ways they can have together.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from gradecut.scheme._reading import Answer

__all__ = ["Digit", "Space", "Ways", "digits_of"]

Ways = Mapping[str, tuple[Answer, ...]]
"""The values each reference may still have; None among them where it may have none."""


@dataclass(frozen=True, slots=True, eq=False)
class Digit:
    """References counted together, and the ways they can have together."""

    references: tuple[str, ...]
    ways: tuple[tuple[Answer, ...], ...]


def digits_of(ways: Ways, references: Sequence[str]) -> list[Digit]:
    """Give each reference a digit of its own."""
    return [Digit((word,), tuple((way,) for way in ways[word])) for word in references]


_Spread = list[tuple[tuple[int, ...], tuple[int, ...]]]
"""Places of a digit to gather from, and the places where what is gathered goes."""


class Space:
    """All combinations of the ways of some references.

    Parameters
    ----------
    ways : mapping of str to tuple
        The ways of every reference that will be asked about.
    digits : sequence of Digit
        The open references; all others asked about have one way.

    Attributes
    ----------
    size : int
        How many combinations.
    full : int
        The set of them all.
    """

    def __init__(self, ways: Ways, digits: Sequence[Digit]) -> None:
        self._ways = ways
        self._digits = tuple(digits)
        self._strides: list[int] = []
        self._place: dict[str, tuple[int, int]] = {}
        self.size = 1
        for number, digit in enumerate(digits):
            self._strides.append(self.size)
            self.size *= len(digit.ways)
            for column, reference in enumerate(digit.references):
                self._place[reference] = (number, column)
        self.full = (1 << self.size) - 1
        self._bands: dict[int, list[int]] = {}
        self._stripes: dict[str, dict[Answer, int]] = {}
        self._known: dict[tuple[str, frozenset[Answer]], int] = {}
        self._spreads: dict[tuple[int, frozenset[str]], _Spread | None] = {}

    def digit(self, reference: str) -> int:
        """Give the number of the digit an open reference is counted in."""
        return self._place[reference][0]

    @property
    def digits(self) -> range:
        """Give the numbers of all digits."""
        return range(len(self._digits))

    def _bands_of(self, number: int) -> list[int]:
        """Give, for each way of a digit, the combinations that have it."""
        found = self._bands.get(number)
        if found is None:
            stride, count = self._strides[number], len(self._digits[number].ways)
            stripe = (1 << stride) - 1
            length = stride * count
            while length < self.size:
                stripe |= stripe << length
                length *= 2
            found = [(stripe << (place * stride)) & self.full for place in range(count)]
            self._bands[number] = found
        return found

    def stripes(self, reference: str) -> dict[Answer, int]:
        """Give, for each way of an open reference, the combinations that have it."""
        found = self._stripes.get(reference)
        if found is None:
            number, column = self._place[reference]
            found = dict.fromkeys(self._ways[reference], 0)
            ways = self._digits[number].ways
            for way, band in zip(ways, self._bands_of(number), strict=True):
                found[way[column]] |= band
            self._stripes[reference] = found
        return found

    def where(self, reference: str, allowed: frozenset[Answer]) -> int:
        """Give the combinations in which a reference has one of these values."""
        if reference not in self._place:
            return self.full if self._ways[reference][0] in allowed else 0
        key = (reference, allowed)
        found = self._known.get(key)
        if found is None:
            found = 0
            for way, stripe in self.stripes(reference).items():
                if way in allowed:
                    found |= stripe
            self._known[key] = found
        return found

    def moves(self, number: int) -> bool:
        """Tell whether combinations can differ in a digit without differing in a value."""
        return self._spread(number, frozenset()) is not None

    def near(self, number: int, within: frozenset[str], bits: int) -> int:
        """Add all combinations that differ from one of these in one digit, and not in value.

        Parameters
        ----------
        number : int
            The digit.
        within : frozenset of str
            References that may differ in value; the others only in having their value or none.
        bits : int
            A set of combinations.
        """
        spread = self._spread(number, within)
        if spread is None:
            return bits
        stride = self._strides[number]
        bands = self._bands_of(number)
        parts = [(bits & band) >> (place * stride) for place, band in enumerate(bands)]
        found = 0
        for sources, targets in spread:
            gathered = 0
            for place in sources:
                gathered |= parts[place]
            if gathered:
                for place in targets:
                    found |= gathered << (place * stride)
        return found

    def _spread(self, number: int, within: frozenset[str]) -> _Spread | None:
        digit = self._digits[number]
        key = (number, within.intersection(digit.references))
        if key not in self._spreads:
            self._spreads[key] = _spread(digit, key[1])
        return self._spreads[key]


def _spread(digit: Digit, within: frozenset[str]) -> _Spread | None:
    """Say from which ways of a digit which others are near; None where each is near itself only."""
    if len(digit.references) == 1:
        if digit.references[0] in within:
            every = tuple(range(len(digit.ways)))
            return [(every, every)]
        if (None,) not in digit.ways:
            return None
    everywhere = (1 << len(digit.ways)) - 1
    alike = [everywhere] * len(digit.ways)
    for column, reference in enumerate(digit.references):
        if reference in within:
            continue
        has: dict[Answer, int] = {}
        for place, way in enumerate(digit.ways):
            has[way[column]] = has.get(way[column], 0) | 1 << place
        lacking = has.get(None, 0)
        for place, way in enumerate(digit.ways):
            if way[column] is not None:
                alike[place] &= has[way[column]] | lacking
    if all(near == 1 << place for place, near in enumerate(alike)):
        return None
    targets: dict[int, list[int]] = {}
    for place, near in enumerate(alike):
        targets.setdefault(near, []).append(place)
    return [(_places(near), tuple(goals)) for near, goals in targets.items()]


def _places(bits: int) -> tuple[int, ...]:
    found: list[int] = []
    while bits:
        lowest = bits & -bits
        found.append(lowest.bit_length() - 1)
        bits ^= lowest
    return tuple(found)
