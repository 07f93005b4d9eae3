"""How far copying is, how fast it goes, and how long it still takes."""

from __future__ import annotations

import time
from collections.abc import Callable

__all__ = ["CopyPace", "length_words", "size_words"]

_SETTLED_S = 3.0
"""A rate is worth telling once it was watched for so long."""


class CopyPace:
    """Counts bytes of films that are read from a card, and read back from their copies.

    Parameters
    ----------
    films : int
        How many are to be copied.
    size_bytes : int
        Of all of them.
    clock : callable
        Tells seconds.
    """

    def __init__(
        self, films: int, size_bytes: int, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._films = films
        self._whole = 2 * size_bytes
        self._clock = clock
        self._begun_s = clock()
        self._number = 0
        self._ended = self._here = self._size = 0

    def begin(self, size_bytes: int) -> None:
        """Begin the next film."""
        self._number += 1
        self._here, self._size = 0, 2 * size_bytes

    def again(self) -> None:
        """Begin the same film again."""
        self._whole += self._here
        self._ended += self._here
        self._here = 0

    def move(self, size_bytes: int) -> None:
        """Count bytes read."""
        self._here += size_bytes

    def end(self) -> None:
        """End a film, however far it came."""
        self._ended += self._here
        self._whole -= max(self._size - self._here, 0)
        self._here = self._size = 0

    @property
    def done(self) -> float:
        """The share done, 0 to 1."""
        moved = self._ended + self._here
        return min(moved / self._whole, 1.0) if self._whole > 0 else 1.0

    @property
    def saying(self) -> str:
        """What is going on: "Copying 3 of 41, 88 MB/s, 12 min left"."""
        told = f"Copying {self._number} of {self._films}"
        moved, spent_s = self._ended + self._here, self._clock() - self._begun_s
        if spent_s < _SETTLED_S or not moved:
            return told
        rate = moved / spent_s
        left_s = max(self._whole - moved, 0) / rate
        return f"{told}, {rate / 2e6:.0f} MB/s, {length_words(left_s)} left"


def size_words(size_bytes: int) -> str:
    """Write a size for a person.

    >>> size_words(40_120_000_000), size_words(512_000), size_words(12)
    ('40.1 GB', '0.5 MB', '12 bytes')
    """
    if size_bytes >= 1e9:
        return f"{size_bytes / 1e9:.1f} GB"
    return f"{size_bytes / 1e6:.1f} MB" if size_bytes >= 1e5 else f"{size_bytes} bytes"


def length_words(length_s: float) -> str:
    """Write how long something takes, roughly.

    >>> length_words(5), length_words(70), length_words(5400)
    ('under a minute', '2 min', '1 h 30 min')
    """
    minutes = -int(-length_s // 60)
    if minutes <= 1:
        return "under a minute"
    return f"{minutes} min" if minutes < 60 else f"{minutes // 60} h {minutes % 60} min"
