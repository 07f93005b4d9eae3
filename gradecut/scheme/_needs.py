"""Which open facts can still change an answer, most useful first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from gradecut.records.expectation import Option
from gradecut.scheme._space import Space
from gradecut.scheme._ties import too_open

__all__ = ["Needs"]

_MOST_SEARCHED = 1000


class Needs:
    """The question which facts matter, over all combinations of a space.

    Two completions differ in the references in which both have a value and not the same one.
    A set of references is a change when two completions of different options differ inside it.
    What is asked for are the members of the smallest such sets.

    Parameters
    ----------
    space : Space
        The combinations.
    references : sequence of str
        Its open references, in file order.
    options : mapping of option to int
        Where each option is the answer; together all that may be.
    weights : sequence of (int, int)
        Sets of combinations, and how many completions each of theirs stands for.
    """

    def __init__(
        self,
        space: Space,
        references: Sequence[str],
        options: Mapping[Option, int],
        weights: Sequence[tuple[int, int]],
    ) -> None:
        self._space = space
        self._references = tuple(references)
        self._options = tuple(options.values())
        self._weights = weights
        self._valid = 0
        for bits in self._options:
            self._valid |= bits
        self._loose = frozenset(number for number in space.digits if space.moves(number))
        self._blurred: dict[tuple[int, frozenset[int]], int] = {}

    def _blur(self, option: int, but: frozenset[int]) -> int:
        """Add to where an option is the answer all that differs in no value, but in some digits."""
        key = (option, but)
        bits = self._blurred.get(key)
        if bits is None:
            bits = self._options[option]
            for number in self._loose - but:
                bits = self._space.near(number, frozenset(), bits)
            if len(but) <= 1:  # of larger sets there are too many to keep
                self._blurred[key] = bits
        return bits

    def _changes(self, within: frozenset[str]) -> bool:
        """Tell whether two completions of different options differ only within a set."""
        touched = {self._space.digit(reference) for reference in within}
        but = self._loose.intersection(touched)
        for option, bits in enumerate(self._options):
            near = self._blur(option, but)
            for number in touched:
                near = self._space.near(number, within, near)
            if near & self._valid & ~bits:
                return True
        return False

    def named(self) -> tuple[str, ...]:
        """Give the members of the smallest changes, most useful first.

        Raises
        ------
        LookError
            When what cannot be ties the facts so that the search would not end in bounded time.
        """
        found = {
            reference for reference in self._references if self._changes(frozenset({reference}))
        }
        rest = frozenset(self._references) - found
        seen: set[frozenset[str]] = set()
        waiting = [rest]
        while waiting:
            within = waiting.pop()
            if within in seen:
                continue
            seen.add(within)
            if len(seen) > _MOST_SEARCHED:
                raise too_open(len(self._references))
            if not self._changes(within):
                continue
            smallest = self._shrink(within)
            found |= smallest
            # Any other smallest change lacks a member of this one.
            waiting += [within - {reference} for reference in smallest]
        ordered = self._ordered(frozenset(found))
        return tuple(sorted(ordered, key=self._left_once_known))

    def _ordered(self, within: frozenset[str]) -> list[str]:
        return [reference for reference in self._references if reference in within]

    def _shrink(self, within: frozenset[str]) -> frozenset[str]:
        for reference in self._ordered(within):
            less = within - {reference}
            if less and self._changes(less):
                within = less
        return within

    def _left_once_known(self, reference: str) -> int:
        """Sum, over all completions, the number of options left once a reference is known."""
        total = 0
        for stripe in self._space.stripes(reference).values():
            options = sum(1 for bits in self._options if bits & stripe)
            count = sum(
                weight * (bits & stripe & self._valid).bit_count() for bits, weight in self._weights
            )
            total += options * count
        return total
