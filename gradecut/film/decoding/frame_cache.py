"""Decoded pictures kept under a budget of bytes, however many films they are of."""

from __future__ import annotations

import os
from collections.abc import Callable
from threading import Lock
from typing import TYPE_CHECKING, Generic, Protocol, TypeAlias, TypeVar

if TYPE_CHECKING:
    import av

__all__ = [
    "FrameCache",
    "PictureCache",
    "Rank",
    "Store",
    "size_of",
    "usual_budget",
    "weighted_distance",
]

_MOST_BYTES = 512 * 1024 * 1024
_ASSUMED_MACHINE_BYTES = 4 * 1024**3
_SLACK = 32
"""Making room lets go of a 32nd of the budget more than it must, so that it is not done
for every picture."""

Rank: TypeAlias = tuple[int, int]
"""How far a frame is from what is looked at; the greatest goes first."""

Kept = TypeVar("Kept")


def usual_budget() -> int:
    """Return how many bytes of pictures to keep: 512 MB or an eighth of the machine."""
    try:
        machine = os.sysconf("SC_PAGE_SIZE") * os.sysconf("SC_PHYS_PAGES")
    except (AttributeError, ValueError, OSError):
        machine = _ASSUMED_MACHINE_BYTES
    return min(_MOST_BYTES, machine // 8)


class Store(Generic[Kept]):
    """Keeps something of many films' frames under one budget; safe to use from any thread.

    Parameters
    ----------
    budget_bytes : int
        Never exceeded, not even by a single frame.
    rank : callable
        Given a film and a frame number; what ranks highest is let go of first, of equals
        what came first.
    dropped : callable, optional
        Given what is let go of.

    Attributes
    ----------
    bytes : int
        What is kept takes.
    set_aside_bytes : int
        Part of the budget that others need; at most three quarters of it count.
    """

    def __init__(
        self,
        budget_bytes: int,
        rank: Callable[[str, int], Rank],
        dropped: Callable[[Kept], None] | None = None,
    ) -> None:
        self._budget = budget_bytes
        self._rank = rank
        self._dropped = dropped
        self._kept: dict[tuple[str, int], Kept] = {}
        self._sizes: dict[tuple[str, int], int] = {}
        self._lock = Lock()
        self.bytes = 0
        self.set_aside_bytes = 0

    @property
    def room_bytes(self) -> int:
        """How many bytes may be kept."""
        return max(self._budget - self.set_aside_bytes, self._budget // 4)

    def holds(self, film: str, number: int) -> bool:
        """Whether something of a frame is kept."""
        return (film, number) in self._kept

    def get(self, film: str, number: int) -> Kept | None:
        """Return what is kept of a frame; None when there is nothing."""
        return self._kept.get((film, number))

    def put(self, film: str, number: int, kept: Kept, size_bytes: int) -> bool:
        """Keep something of a frame, and tell whether it was near enough to stay."""
        key = (film, number)
        with self._lock:
            if key not in self._kept:
                self._kept[key] = kept
                self._sizes[key] = size_bytes
                self.bytes += size_bytes
                if self.bytes > self.room_bytes:
                    self._make_room()
            return key in self._kept

    def exchange(self, film: str, number: int, before: Kept, after: Kept) -> None:
        """Keep something of the same size in the place of what is kept, if it still is."""
        key = (film, number)
        with self._lock:
            if self._kept.get(key) is before:
                self._kept[key] = after
                if self._dropped is not None:
                    self._dropped(before)

    def let_go(self, film: str, number: int) -> None:
        """Let go of what is kept of a frame."""
        with self._lock:
            if (film, number) in self._kept:
                self._drop((film, number))

    def all_of(self, film: str) -> list[tuple[int, Kept]]:
        """Return what is kept of a film, by frame."""
        with self._lock:
            return [(number, kept) for (name, number), kept in self._kept.items() if name == film]

    def would_keep(self, film: str, number: int) -> bool:
        """Whether one more frame would stay: there is room, or something is farther away."""
        with self._lock:
            if self.bytes < self.room_bytes - self.room_bytes // (_SLACK // 2):
                return True
            farthest = max((self._rank(*key) for key in self._kept), default=None)
            return farthest is not None and self._rank(film, number) < farthest

    def forget(self, film: str) -> None:
        """Let go of everything of a film."""
        with self._lock:
            for key in [key for key in self._kept if key[0] == film]:
                self._drop(key)

    def clear(self) -> None:
        """Let go of everything."""
        with self._lock:
            for key in list(self._kept):
                self._drop(key)

    def _make_room(self) -> None:
        goal = self.room_bytes - self.room_bytes // _SLACK
        for key in sorted(self._kept, key=lambda key: self._rank(*key), reverse=True):
            if self.bytes <= goal:
                return
            self._drop(key)

    def _drop(self, key: tuple[str, int]) -> None:
        gone = self._kept.pop(key)
        self.bytes -= self._sizes.pop(key)
        if self._dropped is not None:
            self._dropped(gone)


class PictureCache(Protocol):
    """Where the decoded pictures of one film are kept."""

    def __contains__(self, number: int) -> bool:
        """Whether a frame's picture is kept."""

    def get(self, number: int) -> av.VideoFrame | None:
        """Return a frame's picture when it is kept."""

    def put(self, number: int, picture: av.VideoFrame, playhead: int) -> None:
        """Keep a picture, or not."""

    def clear(self) -> None:
        """Let go of what nobody else uses: the film is closed."""


class FrameCache:
    """One film's decoded pictures; those far from the playhead go first.

    A picture ahead of the playhead counts as twice as far as one behind it: forward is what
    a decoder gives for nothing, backward costs a whole group.

    Parameters
    ----------
    budget_bytes : int
    """

    def __init__(self, budget_bytes: int) -> None:
        self._playhead = 0
        self._store: Store[av.VideoFrame] = Store(budget_bytes, self._rank)

    @property
    def bytes(self) -> int:
        """What the pictures kept take."""
        return self._store.bytes

    def __contains__(self, number: int) -> bool:
        return self._store.holds("", number)

    def get(self, number: int) -> av.VideoFrame | None:
        """Return a frame's picture when it is kept."""
        return self._store.get("", number)

    def put(self, number: int, picture: av.VideoFrame, playhead: int) -> None:
        """Keep a picture, letting go of those farthest from the playhead."""
        self._playhead = playhead
        self._store.put("", number, picture, size_of(picture))

    def clear(self) -> None:
        """Let go of everything."""
        self._store.clear()

    def _rank(self, _film: str, number: int) -> Rank:
        return (0, weighted_distance(number, self._playhead))


def weighted_distance(number: int, playhead: int) -> int:
    """Return how far a frame is from the playhead, ahead of it twice as far as behind.

    >>> weighted_distance(12, 10), weighted_distance(8, 10)
    (4, 2)
    """
    return 2 * (number - playhead) if number > playhead else playhead - number


def size_of(picture: av.VideoFrame) -> int:
    """Return how many bytes a decoded picture takes."""
    return sum(plane.buffer_size for plane in picture.planes)
