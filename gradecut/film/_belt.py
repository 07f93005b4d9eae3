"""Two threads at one piece of work: what the first makes, the second takes."""

from __future__ import annotations

import queue
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Generic, TypeVar

__all__ = ["LeftOff", "hand_over"]

_Item = TypeVar("_Item")
_Result = TypeVar("_Result")

_LENGTH = 8
"""Pictures of 4K take 12 MB each; more of them waiting would not make the work quicker."""
_LOOK_UP_S = 0.2


class LeftOff(Exception):
    """The first thread broke off: what the second has taken is not to be kept."""


class _Belt(Generic[_Item]):
    """A queue of few places, with an end or a broken end."""

    def __init__(self) -> None:
        self._places: queue.Queue[tuple[_Item] | bool] = queue.Queue(_LENGTH)

    def lay(self, place: tuple[_Item] | bool, taker: Future[_Result]) -> bool:
        """Lay an item down, or the end: True where that was all. False when nobody takes it."""
        while not taker.done():
            try:
                self._places.put(place, timeout=_LOOK_UP_S)
            except queue.Full:
                continue
            return True
        return False

    def __iter__(self) -> Iterator[_Item]:
        while True:
            place = self._places.get()
            if isinstance(place, tuple):
                yield place[0]
            elif place:
                return
            else:
                raise LeftOff


def hand_over(items: Iterable[_Item], take: Callable[[Iterator[_Item]], _Result]) -> _Result:
    """Make items in this thread while another takes them, and return what the other returns.

    When making them fails, ``take`` meets LeftOff in its iterator, and the failure is raised
    here once it has ended; when taking them fails, no more are made and that is raised.
    """
    belt: _Belt[_Item] = _Belt()
    whole = False
    with ThreadPoolExecutor(1, thread_name_prefix="encoder") as pool:
        taker = pool.submit(take, iter(belt))
        try:
            for item in items:
                if not belt.lay((item,), taker):
                    break
            whole = True
        finally:
            belt.lay(whole, taker)
    return taker.result()
