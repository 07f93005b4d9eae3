"""How long work tells how far it is, and how it is asked to stop."""

from __future__ import annotations

import threading
from typing import Protocol

from gradecut.errors import Cancelled

__all__ = ["CancelToken", "Progress", "silent"]


class Progress(Protocol):
    """Called by long work as it goes on, from whichever thread does the work."""

    def __call__(self, done: float, saying: str) -> None:
        """Tell that a share ``done`` (0 to 1) is finished, with a few words for the person."""


def silent(done: float, saying: str) -> None:
    """Take progress and tell nobody: the default where no one watches."""


class CancelToken:
    """Asks long work to stop; safe to use from any thread."""

    def __init__(self) -> None:
        self._event = threading.Event()

    def cancel(self) -> None:
        """Ask the work to stop at its next check."""
        self._event.set()

    @property
    def cancelled(self) -> bool:
        """Whether the work was asked to stop."""
        return self._event.is_set()

    def check(self, what: str = "The work") -> None:
        """Raise Cancelled when the work was asked to stop."""
        if self._event.is_set():
            raise Cancelled(what)
