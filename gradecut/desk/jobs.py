"""Long work beside the window, told with its progress, and to be stopped."""

from __future__ import annotations

import time
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from typing import Generic, NamedTuple, TypeVar

from psygnal import Signal

from gradecut.desk.saying import Refusal
from gradecut.errors import Cancelled, GradecutError
from gradecut.progress import CancelToken, Progress

__all__ = ["BESIDE_WORK", "JobRunner", "Post", "Work"]

BESIDE_WORK = frozenset({"frame_indexes"})
"""Tables a job fills for quickness alone: nothing that is shown changes with them."""

T = TypeVar("T")
Post = Callable[[Callable[[], None]], None]
"""Runs what it is given in the thread of the window."""
Work = Callable[[Progress, CancelToken], T]

_AT_A_TIME = 3
_TELL_EVERY_S = 0.05


class _Ends(NamedTuple, Generic[T]):
    """Who is told how work ended."""

    done: Callable[[T], None]
    refused: Callable[[str], None]
    stopped: Callable[[str], None]


class JobRunner:
    """Runs work in threads of its own; everything it tells arrives through ``post``.

    Three jobs run at a time, so that a board is counted while a card is copied and a reel
    rendered; others wait. The one begun last tells how far it is. Work that raises a
    GradecutError, and work that is stopped, is told as one sentence; any other error is
    handed to ``post`` and rises there, where the window's hook takes it.

    Signals
    -------
    working : (str, float)
        What is being done and the share done, 0 to 1.
    rested
        No job runs or waits any more.

    Parameters
    ----------
    post : callable
    say : callable
        Takes a sentence for the coach.
    """

    working = Signal(str, float)
    rested = Signal()

    def __init__(self, post: Post, say: Callable[[str], None]) -> None:
        self._post = post
        self._say = say
        self._pool = ThreadPoolExecutor(max_workers=_AT_A_TIME, thread_name_prefix="job")
        self._running: dict[Future[None], CancelToken] = {}
        self._closed = False

    @property
    def busy(self) -> bool:
        """Whether a job runs or waits."""
        return bool(self._running)

    def start(
        self,
        name: str,
        work: Callable[[Progress, CancelToken], T],
        on_done: Callable[[T], None],
        on_refused: Callable[[str], None] | None = None,
        on_stopped: Callable[[str], None] | None = None,
        *,
        on_failed: Callable[[], None] | None = None,
    ) -> None:
        """Start work; ``on_done`` gets what it returns, in the window's thread.

        Parameters
        ----------
        on_refused, on_stopped : callable or None
            Gets the sentence where the work is refused, or was stopped, instead of its being
            shown.
        on_failed : callable or None
            Called before any other error rises, so that nothing waits for the work for good.
        """
        token = CancelToken()
        ends = _Ends(on_done, on_refused or self._say, on_stopped or self._say)
        self.working.emit(name, 0.0)
        future = self._pool.submit(self._run, name, work, token, ends)
        self._running[future] = token
        future.add_done_callback(lambda ended: self.tell(lambda: self._end(ended, on_failed)))

    def cancel(self) -> None:
        """Ask everything that runs or waits to stop."""
        for token in list(self._running.values()):
            token.cancel()

    def close(self) -> None:
        """Stop everything and wait until it has stopped; nothing is told any more."""
        self._closed = True
        self.cancel()
        self._pool.shutdown(wait=True, cancel_futures=True)

    def tell(self, work: Callable[[], None]) -> None:
        """Post something that is not to happen any more once this is closed."""
        self._post(lambda: None if self._closed else work())

    def _run(
        self,
        name: str,
        work: Work[T],
        token: CancelToken,
        ends: _Ends[T],
    ) -> None:
        last_s = 0.0

        def progress(done: float, saying: str) -> None:
            nonlocal last_s
            now = time.monotonic()
            if now - last_s >= _TELL_EVERY_S:
                last_s = now
                self.tell(lambda: self._show(token, saying or name, done))

        try:
            token.check(name)
            result = work(progress, token)
        except Cancelled as error:
            # Work that leaves something behind when it is stopped says so itself.
            bare = type(error) is Cancelled
            told = f"{name}: stopped; nothing was written." if bare else str(error)
            self.tell(lambda: ends.stopped(told))
        except GradecutError as error:
            refusal = Refusal(error)
            self.tell(lambda: ends.refused(refusal))
        else:
            self.tell(lambda: ends.done(result))

    def _show(self, token: CancelToken, saying: str, done: float) -> None:
        """Tell how far the job begun last is; two told in turn could not be read."""
        if token is next(reversed(self._running.values()), None):
            self.working.emit(saying, done)

    def _end(self, ended: Future[None], on_failed: Callable[[], None] | None) -> None:
        self._running.pop(ended, None)
        if not self._running:
            self.rested.emit()
        if ended.cancelled():
            return
        if on_failed is not None and ended.exception() is not None:
            on_failed()
        ended.result()
