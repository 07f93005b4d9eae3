"""What was read last, so that an unchanged text is not read again."""

from __future__ import annotations

from typing import Generic, TypeVar

__all__ = ["LastRead"]

_FEW = 4
_LONGEST = 400_000  # characters: three thousand rules; what is longer would fill the memory

_T = TypeVar("_T")


class LastRead(Generic[_T]):
    """What was made of the last few texts; older ones, and very long ones, are forgotten.

    What it holds is shared by all who ask, in any thread, so nobody may change it.
    """

    def __init__(self) -> None:
        self._made: dict[str, _T] = {}

    def find(self, text: str) -> _T | None:
        """Give what was made of a text; None where it is not remembered."""
        return self._made.get(text)

    def keep(self, text: str, made: _T) -> None:
        """Remember what was made of a text."""
        if len(text) > _LONGEST:
            return
        # One new dictionary in one step: another thread sees the old one or the new one, whole.
        others = [(old, kept) for old, kept in self._made.items() if old != text]
        self._made = dict([*others[1 - _FEW :], (text, made)])
