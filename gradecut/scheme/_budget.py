"""How much work an audit may take before it is refused."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from gradecut.errors import GradecutError
from gradecut.progress import CancelToken

__all__ = ["Budget", "TooLarge"]

_STEPS = 900_000
_CHECKED_EVERY = 20_000


class TooLarge(GradecutError):
    """The looks do not part into pieces small enough to be proven."""


class Budget:
    """Counts the steps of one audit, so that it ends in bounded time.

    Parameters
    ----------
    cancel : CancelToken or None
        Asked every few thousand steps.
    steps : int
        How many steps are allowed.
    """

    def __init__(self, cancel: CancelToken | None = None, steps: int = _STEPS) -> None:
        self._cancel = cancel
        self._left = steps
        self._until_check = 0

    @property
    def left(self) -> int:
        """Give how many steps are left."""
        return max(self._left, 0)

    @contextmanager
    def at_most(self, steps: int) -> Iterator[None]:
        """Take at most so many steps of what is left for some work."""
        held = max(0, self._left - steps)
        self._left -= held
        try:
            yield
        finally:
            self._left += held

    def spend(self, steps: int = 1) -> None:
        """Take steps off what is left.

        Raises
        ------
        TooLarge
            When none are left.
        Cancelled
            When the person asked to stop.
        """
        self._until_check -= steps
        if self._until_check > 0:
            return
        self._left -= _CHECKED_EVERY - self._until_check
        self._until_check = _CHECKED_EVERY
        if self._cancel is not None:
            self._cancel.check("The audit")
        if self._left < 0:
            raise TooLarge("too many looks hang together")
