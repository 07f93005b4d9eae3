"""Two threads at one piece of work: what the first makes, the second takes."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ThreadPoolExecutor
from threading import Condition
from typing import Generic, TypeVar

__all__ = ["LeftOff", "hand_over"]

_Item = TypeVar("_Item")
_Result = TypeVar("_Result")

_MOST_BYTES = 96_000_000
"""Thirty pictures of 1080p: enough that an encoder goes on while the next piece is found."""
_MOST_ITEMS = 48


class LeftOff(Exception):
    """The first thread broke off: what the second has taken is not to be kept."""


class _Belt(Generic[_Item]):
    """Items on their way, few at a time, with an end or a broken end."""

    def __init__(self, bytes_of: Callable[[_Item], int]) -> None:
        self._bytes_of = bytes_of
        self._items: deque[_Item] = deque()
        self._bytes = 0
        self._moved = Condition()
        self._whole: bool | None = None
        self._taken = True

    def lay(self, item: _Item) -> bool:
        """Lay an item down once there is room; False when nobody takes any more."""
        with self._moved:
            self._moved.wait_for(lambda: self._has_room or not self._taken)
            self._items.append(item)
            self._bytes += self._bytes_of(item)
            self._moved.notify_all()
            return self._taken

    @property
    def _has_room(self) -> bool:
        return len(self._items) < _MOST_ITEMS and self._bytes < _MOST_BYTES

    def end(self, *, whole: bool) -> None:
        """Say that nothing more comes, and whether that was all."""
        with self._moved:
            self._whole = whole
            self._moved.notify_all()

    def leave(self) -> None:
        """Say that nobody takes any more."""
        with self._moved:
            self._taken = False
            self._moved.notify_all()

    def __iter__(self) -> Iterator[_Item]:
        while True:
            with self._moved:
                self._moved.wait_for(lambda: self._items or self._whole is not None)
                if self._whole is False:
                    raise LeftOff
                if not self._items:
                    return
                item = self._items.popleft()
                self._bytes -= self._bytes_of(item)
                self._moved.notify_all()
            yield item


def hand_over(
    items: Iterable[_Item],
    take: Callable[[Iterator[_Item]], _Result],
    *,
    bytes_of: Callable[[_Item], int],
) -> _Result:
    """Make items in this thread while another takes them, and return what the other returns.

    When making them fails, ``take`` meets LeftOff in its iterator, and the failure is raised
    here once it has ended; when taking them fails, no more are made and that is raised.

    Parameters
    ----------
    items : iterable
        Asked for in this thread.
    take : callable
        Given an iterator of them in the other.
    bytes_of : callable
        How much memory an item holds while it waits.
    """
    belt: _Belt[_Item] = _Belt(bytes_of)

    def taking() -> _Result:
        try:
            return take(iter(belt))
        finally:
            belt.leave()

    whole = False
    with ThreadPoolExecutor(1, thread_name_prefix="encoder") as pool:
        taker = pool.submit(taking)
        try:
            for item in items:
                if not belt.lay(item):
                    break
            whole = True
        finally:
            belt.end(whole=whole)
    return taker.result()
