"""When the frames of a film being written begin."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from math import lcm

__all__ = ["Clock"]

_FINEST_TICKS = 1_000_000
_USUAL_TICKS = 90_000


class Clock:
    """When each frame begins, in ticks of the film's time base.

    Attributes
    ----------
    tick_s : Fraction
        Length of a tick in seconds.
    """

    def __init__(self, tick_s: Fraction, ticks: list[int] | None) -> None:
        self.tick_s = tick_s
        self._ticks = ticks

    @classmethod
    def steady(cls, rate: Fraction) -> Clock:
        """Make a clock with one tick a frame."""
        return cls(1 / rate, None)

    @classmethod
    def of_times(cls, times_s: list[Fraction], rate: Fraction) -> Clock:
        """Make a clock fine enough for given times; the end of the last frame included."""
        if times_s and times_s[0] != 0:
            raise ValueError(f"Times begin at 0 s, not at {times_s[0]} s.")
        if any(later <= earlier for earlier, later in pairwise(times_s)):
            raise ValueError("Times of frames must rise.")
        shared = lcm(rate.numerator, *(time_s.denominator for time_s in times_s))
        per_s = shared if shared <= _FINEST_TICKS else _USUAL_TICKS
        ends_s = [*times_s, times_s[-1] + 1 / rate] if times_s else []
        ticks = [round(time_s * per_s) for time_s in ends_s]
        if any(later <= earlier for earlier, later in pairwise(ticks)):
            raise ValueError(f"Times of frames lie closer together than 1/{per_s} s.")
        return cls(Fraction(1, per_s), ticks)

    def span(self, number: int) -> tuple[int, int]:
        """Return a frame's beginning and length in ticks."""
        if self._ticks is None:
            return number, 1
        if number + 1 >= len(self._ticks):
            raise ValueError("There are more frames than times; give one time for each frame.")
        return self._ticks[number], self._ticks[number + 1] - self._ticks[number]

    def check_count(self, count: int) -> None:
        """Refuse times that are left over."""
        if self._ticks is not None and len(self._ticks) != count + 1:
            raise ValueError("There are more times than frames; give one time for each frame.")
