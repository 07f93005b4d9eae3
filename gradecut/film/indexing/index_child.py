"""A child process that reads film nobody has opened before."""

from __future__ import annotations

import atexit
import json
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from os import PathLike
from pathlib import Path
from queue import Empty, Queue
from threading import Lock, Thread, Timer
from time import monotonic
from types import TracebackType

from gradecut.errors import FilmError
from gradecut.film.indexing.frame_index import FrameIndex
from gradecut.film.indexing.index_bytes import load_index
from gradecut.film.opening import check_file
from gradecut.progress import CancelToken

__all__ = ["IndexingChild", "kept_child", "time_limit_s"]

_LEAST_LIMIT_S = 60.0
_BYTES_A_SECOND = 20e6
"""Slower than any drive worth keeping film on."""
_LISTEN_S = 0.1
"""How often a cancel is looked for while a film is read."""
_IDLE_S = 120.0
"""How long the kept process waits for another film."""


def time_limit_s(size_bytes: int) -> float:
    """Return how long reading a film of a size may take: a minute and one for each 1.2 GB."""
    return _LEAST_LIMIT_S + size_bytes / _BYTES_A_SECOND


class IndexingChild:
    """Reads films one after another in one process, started when first needed.

    A film that crashes the process or takes too long costs one FilmError; the next film
    gets a new process. Use it in a ``with`` block.
    """

    def __init__(self) -> None:
        self._process: subprocess.Popen[str] | None = None
        self._answers: Queue[str] = Queue()
        self._folder: tempfile.TemporaryDirectory[str] | None = None

    def __enter__(self) -> IndexingChild:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """End the process; it starts again when another film is asked for."""
        self._stop()
        if self._folder is not None:
            self._folder.cleanup()
            self._folder = None

    def index(
        self,
        path: str | PathLike[str],
        *,
        limit_s: float | None = None,
        cancel: CancelToken | None = None,
    ) -> FrameIndex:
        """Return a film's index.

        Parameters
        ----------
        path : path
            The film.
        limit_s : float, optional
            How long it may take; by default ``time_limit_s`` of its size.
        cancel : CancelToken, optional
            Looked at while the film is read.

        Raises
        ------
        FilmError
            One sentence; also when the process crashes or takes too long.
        Cancelled
            When asked to stop.
        """
        size = check_file(path).st_size
        if self._folder is None:
            self._folder = tempfile.TemporaryDirectory(
                prefix="gradecut-", ignore_cleanup_errors=True
            )
        out = Path(self._folder.name) / "one.index"
        question = json.dumps({"film": str(Path(path).absolute()), "out": str(out)})
        answer = self._ask(question, time_limit_s(size) if limit_s is None else limit_s, cancel)
        if answer is None:
            self._stop()
            raise FilmError(path, "reading it takes too long; copy it to this computer first.")
        if not answer:
            self._stop()
            raise FilmError(
                path, "reading it makes the decoder crash; export it again as MP4 (H.264)."
            )
        told: dict[str, str] = json.loads(answer)
        if "reason" in told:
            raise FilmError(path, told["reason"])
        try:
            return load_index(out)
        except (OSError, ValueError) as error:
            raise FilmError(
                path, "what was read of it could not be kept; free some space on this computer."
            ) from error

    @property
    def process_id(self) -> int | None:
        """The process that reads, None when none runs."""
        return None if self._process is None else self._process.pid

    def kill(self) -> None:
        """End the process as a crash would; the film being read is reported as crashing."""
        if self._process is not None:
            self._process.kill()

    def _ask(self, question: str, limit_s: float, cancel: CancelToken | None) -> str | None:
        """Send a question and return the answer: empty after a crash, None when late."""
        process = self._process or self._start()
        ends_s = monotonic() + limit_s
        try:
            assert process.stdin is not None
            process.stdin.write(question + "\n")
            process.stdin.flush()
        except OSError:
            return ""
        while True:
            left_s = max(ends_s - monotonic(), 0)
            try:
                return self._answers.get(
                    timeout=left_s if cancel is None else min(left_s, _LISTEN_S)
                )
            except Empty:
                if left_s <= 0:
                    return None
                if cancel is not None and cancel.cancelled:
                    self._stop()
                    cancel.check("Reading the films")

    def _start(self) -> subprocess.Popen[str]:
        paths = os.pathsep.join(place for place in sys.path if place)
        process = subprocess.Popen(
            # Without looking for site packages: all places are handed on, and it starts sooner.
            [sys.executable, "-S", "-m", "gradecut.film.indexing._index_child"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            text=True,
            encoding="utf-8",
            env={**os.environ, "PYTHONPATH": paths, "PYTHONIOENCODING": "utf-8"},
            creationflags=getattr(subprocess, "CREATE_NO_WINDOW", 0),
        )
        self._process = process
        self._answers = Queue()
        Thread(target=_listen, args=(process, self._answers), daemon=True).start()
        return process

    def _stop(self) -> None:
        process, self._process = self._process, None
        if process is None:
            return
        process.kill()
        process.wait()
        for pipe in (process.stdin, process.stdout):
            if pipe is not None:
                with suppress(OSError):  # A question that a crash left unread is still in it.
                    pipe.close()


class _Keeper:
    """Keeps one process between films, so that the next film costs no start of Python."""

    def __init__(self) -> None:
        self.lock = Lock()
        self.child: IndexingChild | None = None
        self._timer: Timer | None = None

    def take(self) -> IndexingChild:
        """Return the kept child; the lock is held."""
        if self._timer is not None:
            self._timer.cancel()
        if self.child is None:
            self.child = IndexingChild()
        return self.child

    def put_back(self) -> None:
        """Let it wait for another film for a while; the lock is held."""
        self._timer = Timer(_IDLE_S, self.end)
        self._timer.daemon = True
        self._timer.start()

    def end(self) -> None:
        """End the kept child, unless it reads just now."""
        if self.lock.acquire(blocking=False):
            try:
                if self._timer is not None:
                    self._timer.cancel()
                if self.child is not None:
                    self.child.close()
                self.child = None
            finally:
                self.lock.release()


_keeper = _Keeper()
atexit.register(_keeper.end)


@contextmanager
def kept_child() -> Iterator[IndexingChild]:
    """Lend a child that is warm after its first film; it ends with this process at the latest.

    Who asks while it is lent to another gets one of his own.
    """
    if not _keeper.lock.acquire(blocking=False):
        with IndexingChild() as own:
            yield own
        return
    try:
        yield _keeper.take()
    finally:
        _keeper.put_back()
        _keeper.lock.release()


def _listen(process: subprocess.Popen[str], answers: Queue[str]) -> None:
    """Pass on a process's answers, and an empty one when it ends."""
    assert process.stdout is not None
    try:
        for line in process.stdout:
            answers.put(line)
    except ValueError:
        return  # The pipe was closed: nobody waits for answers any more.
    answers.put("")
