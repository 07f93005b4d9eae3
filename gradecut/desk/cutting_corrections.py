"""What was corrected on the strip, to be taken back and made again."""

from __future__ import annotations

from typing import TypeAlias

from gradecut.desk.cutting_steps import Cuts

__all__ = ["Corrections", "State"]

State: TypeAlias = tuple[Cuts, int | None]
"""The plays, and the place of the one in hand."""


class Corrections:
    """The states before and after the one that is shown."""

    def __init__(self) -> None:
        self._past: list[State] = []
        self._future: list[State] = []

    def __bool__(self) -> bool:
        """Whether there is any to take back."""
        return bool(self._past)

    def note(self, before: State) -> None:
        """Keep what was shown before a new correction; what was taken back is forgotten."""
        self._past.append(before)
        self._future.clear()

    def take_back(self, now: State) -> State | None:
        """Return what was shown before the last correction; None where there is none."""
        if not self._past:
            return None
        self._future.append(now)
        return self._past.pop()

    def make_again(self, now: State) -> State | None:
        """Return what the correction taken back last made; None where there is none."""
        if not self._future:
            return None
        self._past.append(now)
        return self._future.pop()

    def forget(self) -> None:
        """Begin anew from what is shown."""
        self._past.clear()
        self._future.clear()
