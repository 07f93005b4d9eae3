"""What a measurement gives back: an estimate with its doubt, or a miss with its reason."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = ["Estimate", "Miss"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A moment found in film, with how far to trust it.

    Attributes
    ----------
    time_s : float
        Seconds from the first displayed frame.
    sigma_s : float
        One standard deviation of the error, in seconds; never finer than the film allows.
    confidence : float
        From 0 (a guess) to 1.
    reasons : tuple of str
        Why the confidence is not higher, in plain words; empty when nothing speaks against it.
    """

    time_s: float
    sigma_s: float
    confidence: float
    reasons: tuple[str, ...] = ()

    def __bool__(self) -> Literal[True]:
        """Stand as true: something was found."""
        return True


@dataclass(frozen=True, slots=True)
class Miss:
    """An expected failure to measure: false, with its reason.

    Attributes
    ----------
    reason : str
        One sentence: what was missing and what to try.

    Examples
    --------
    >>> found = Miss("Three clicks are too few; click at least four.")
    >>> bool(found)
    False
    """

    reason: str

    def __bool__(self) -> Literal[False]:
        """Stand as false: nothing was found."""
        return False
