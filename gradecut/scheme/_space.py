"""A product of open facts as sets of bits: one bit for each way the look may still be.

Facts with one way left take no room. The others are digits of the bit's number: the first one
listed is the lowest digit. So "where the back is left" is a striped pattern, any condition a few
ands and ors of whole sets, and "differing in this fact alone" a shift.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from gradecut.scheme._reading import Answer

__all__ = ["Space", "Ways"]

Ways = Mapping[str, tuple[Answer, ...]]
"""The values each reference may still have; None among them where it may have none."""


class Space:
    """All combinations of the ways of some references.

    Parameters
    ----------
    ways : mapping of str to tuple
        The ways of every reference that will be asked about.
    open_references : sequence of str
        Those that get a digit; all others asked about have one way.

    Attributes
    ----------
    size : int
        How many combinations.
    full : int
        The set of them all.
    """

    def __init__(self, ways: Ways, open_references: Sequence[str]) -> None:
        self._ways = ways
        self._stride: dict[str, int] = {}
        self.size = 1
        for reference in open_references:
            self._stride[reference] = self.size
            self.size *= len(ways[reference])
        self.full = (1 << self.size) - 1
        self._stripes: dict[str, dict[Answer, int]] = {}
        self._known: dict[tuple[str, frozenset[Answer]], int] = {}

    def stripes(self, reference: str) -> dict[Answer, int]:
        """Give, for each way of an open reference, the combinations that have it."""
        found = self._stripes.get(reference)
        if found is None:
            stride = self._stride[reference]
            ways = self._ways[reference]
            block = (1 << stride) - 1
            length, stripe = stride * len(ways), block
            while length < self.size:
                stripe |= stripe << length
                length *= 2
            found = {}
            for place, way in enumerate(ways):
                found[way] = (stripe << (place * stride)) & self.full
            self._stripes[reference] = found
        return found

    def where(self, reference: str, allowed: frozenset[Answer]) -> int:
        """Give the combinations in which a reference has one of these values."""
        if reference not in self._stride:
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

    def loosen(self, reference: str, bits: int) -> int:
        """Add all combinations that differ from one of these in this reference at most."""
        stride = self._stride[reference]
        lowest = 0
        for place, stripe in enumerate(self.stripes(reference).values()):
            lowest |= (bits & stripe) >> (place * stride)
        found = 0
        for place in range(len(self._ways[reference])):
            found |= lowest << (place * stride)
        return found

    def blur(self, reference: str, bits: int) -> int:
        """Add all combinations that differ from one of these only in having this value or none.

        Where the reference may not be without a value, nothing is added.
        """
        stripes = self.stripes(reference)
        lacking = stripes.get(None)
        if lacking is None:
            return bits
        stride = self._stride[reference]
        home = list(stripes).index(None) * stride
        absent = (bits & lacking) >> home
        present = 0
        found = bits
        for place, stripe in enumerate(stripes.values()):
            if stripe != lacking:
                present |= (bits & stripe) >> (place * stride)
            found |= absent << (place * stride)
        return found | present << home
