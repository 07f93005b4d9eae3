"""The practice script of plays that come one by one."""

from __future__ import annotations

from collections.abc import Sequence

from gradecut.workflows.script import ScriptLine

__all__ = ["CardScript"]


class CardScript:
    """Which line of the script a play is.

    Attributes
    ----------
    lines : sequence of ScriptLine
        All of them.
    before : int
        Plays that were there before the card's; a sheet of the new plays only begins after
        them.
    """

    def __init__(
        self, lines: Sequence[ScriptLine], from_play: int | None, from_number: int | None
    ) -> None:
        self.lines = lines
        self._play, self._number = from_play, from_number
        self.before = 0

    def __len__(self) -> int:
        return len(self.lines)

    @property
    def is_of_new_plays(self) -> bool:
        """Whether the sheet has the card's plays only, not those that were there before."""
        told = self._play is not None or self._number is not None
        return not told and 0 < len(self.lines) <= self.before

    def line_of(self, play: int) -> ScriptLine | None:
        """Return the line a play is matched to; None past the script's ends."""
        start = self._play or 1
        if self._number is not None:
            numbers = [line.number for line in self.lines]
            place = numbers.index(self._number) + play - start
        else:
            place = play - 1
            if self.is_of_new_plays:
                place -= self.before
        return self.lines[place] if play >= start and 0 <= place < len(self.lines) else None
