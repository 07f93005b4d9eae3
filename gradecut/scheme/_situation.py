"""One look as it is known so far: what is open, and what hangs together."""

from __future__ import annotations

from collections.abc import Mapping
from math import prod

from gradecut.errors import LookError
from gradecut.scheme._questions import Picture, Question, own_sides, picture, picture_at
from gradecut.scheme._reading import Answer, holds_where
from gradecut.scheme._space import Digit, Space, Ways, digits_of
from gradecut.scheme._ties import Tie, Ties, bundled, completion, too_open
from gradecut.scheme.parts import Value

__all__ = ["LARGEST", "Situation", "View"]

_PLAIN = 20_000
"""From here on facts that hang on each other are counted together."""

LARGEST = 2_000_000
"""Most combinations of open facts one answer is worked out over."""


class View:
    """A question's answers on every way one look may still be.

    Attributes
    ----------
    picture : Picture
        Who answers where.
    valid : int
        The combinations that may be.
    space : Space or None
        None where nothing is open; sets then have a single bit.
    open_references : list of str
        The open references of the space.
    weights : list of (int, int)
        Sets of combinations, and how many completions each of theirs stands for.
    """

    def __init__(
        self,
        found: Picture,
        valid: int = 1,
        space: Space | None = None,
        open_references: list[str] | None = None,
        weights: list[tuple[int, int]] | None = None,
    ) -> None:
        self.picture = found
        self.valid = valid
        self.space = space
        self.open_references = open_references or []
        self.weights = weights or [(valid, 1)]


class Situation:
    """A look that may be, and what is open in it.

    Parameters
    ----------
    ties : Ties
        The scheme's facts.
    look : mapping of str to value
        What is known, already checked by name and value.

    Raises
    ------
    LookError
        When no completion of the look exists.

    Attributes
    ----------
    look : dict of str to value
        What is known.
    values : dict of str to value or None
        What is sure: known, or left by what is known.
    """

    def __init__(self, ties: Ties, look: Mapping[str, Value]) -> None:
        self._ties = ties
        self.look = dict(look)
        self._ways: Ways = {}
        self._group_of: Mapping[str, int] = {}
        whole = ties.whole(look)
        if whole is not None:
            self.values: Mapping[str, Answer] = whole
        else:
            self._look_into()

    def _look_into(self) -> None:
        """Part what is open into groups, and make sure that each has a completion."""
        ties = self._ties
        self._ways = ties.ways(self.look)
        self._group_of, self._members, self._tied = ties.groups(self._ways)
        self.values = {reference: way[0] for reference, way in self._ways.items() if len(way) == 1}
        for members, tied in zip(self._members, self._tied, strict=True):
            if tied and self._touched(tied) and completion(members, self._ways, tied) is None:
                raise LookError(
                    "This look can't be: however "
                    + ", ".join(f'"{reference}"' for reference in members)
                    + " turn out, the scheme rules it out; correct what is recorded"
                )

    def _touched(self, tied: list[Tie]) -> bool:
        return any(word in self.values for tie in tied for word in tie.references)

    def view(self, question: Question, side: str | None = None) -> View:
        """Answer a question on every way the look may still be.

        Parameters
        ----------
        question : Question
            A man's rules or alignments.
        side : "left", "right" or None
            His side, where it is told.

        Raises
        ------
        LookError
            When too much is open, or he can't be on that side.
        """
        if not self._group_of or question.references.isdisjoint(self._group_of):
            return View(picture_at(question, self.values))
        kept, ends, groups = self._needed(question)
        dropped = frozenset(ends)
        ties = [
            tie
            for group in groups
            for tie in self._tied[group]
            if not dropped.intersection(tie.references)
        ]
        digits = digits_of(self._ways, kept)
        if _size(digits) > _PLAIN:
            digits = bundled(digits, self._ways, ties)
        if _size(digits) > LARGEST:
            raise too_open(len(kept))
        space = Space(self._ways, digits)
        valid = space.full
        for tie in ties:
            valid &= tie.where(space)
        if side is not None:
            valid &= own_sides(question.man, space).get("left" if side == "left" else "right", 0)
            if not valid:
                raise LookError(f'"{question.man.name}" can\'t be on the {side} with this look')
        found = picture(question, space, valid)
        return View(found, valid, space, kept, self._weights(ends, space, valid))

    def _needed(self, question: Question) -> tuple[list[str], list[str], list[int]]:
        """Part the open references that bear on a question into those to go through and ends.

        An end is a reference nothing depends on: it can only make a combination count more often.
        """
        groups = {
            self._group_of[reference]
            for reference in question.references
            if reference in self._group_of
        }
        kept: list[str] = []
        ends: list[str] = []
        for reference, group in self._group_of.items():  # in file order
            if group in groups:
                is_end = reference in self._ties.ends and reference not in question.references
                (ends if is_end else kept).append(reference)
        return kept, ends, sorted(groups)

    def _weights(self, ends: list[str], space: Space, valid: int) -> list[tuple[int, int]]:
        parts = {1: valid}
        for reference in ends:
            tie = self._ties.present(reference)
            if tie is None:
                continue
            has = holds_where(tie.reading, space)
            values = len(self._ties.values_of(reference))
            finer: dict[int, int] = {}
            for weight, bits in parts.items():
                if bits & has:
                    finer[weight * values] = finer.get(weight * values, 0) | (bits & has)
                if bits & ~has:
                    finer[weight] = finer.get(weight, 0) | (bits & ~has)
            parts = finer
        return [(bits, weight) for weight, bits in parts.items()]


def _size(digits: list[Digit]) -> int:
    return prod(len(digit.ways) for digit in digits)
