"""A child process that reads film nobody has opened before."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from os import PathLike
from pathlib import Path
from queue import Empty, Queue
from threading import Thread
from types import TracebackType

from gradecut.errors import FilmError
from gradecut.film.frame_index import FrameIndex
from gradecut.film.index_bytes import load_index
from gradecut.film.opening import check_file

__all__ = ["IndexingChild", "time_limit_s"]

_LEAST_LIMIT_S = 60.0
_BYTES_A_SECOND = 20e6
"""Slower than any drive worth keeping film on."""


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
        self._folder = tempfile.TemporaryDirectory(prefix="gradecut-", ignore_cleanup_errors=True)

    def __enter__(self) -> IndexingChild:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self._stop()
        self._folder.cleanup()

    def index(self, path: str | PathLike[str], *, limit_s: float | None = None) -> FrameIndex:
        """Return a film's index.

        Parameters
        ----------
        path : path
            The film.
        limit_s : float, optional
            How long it may take; by default ``time_limit_s`` of its size.

        Raises
        ------
        FilmError
            One sentence; also when the process crashes or takes too long.
        """
        size = check_file(path).st_size
        out = Path(self._folder.name) / "one.index"
        question = json.dumps({"film": str(Path(path).absolute()), "out": str(out)})
        answer = self._ask(question, time_limit_s(size) if limit_s is None else limit_s)
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
        return load_index(out)

    @property
    def process_id(self) -> int | None:
        """The process that reads, None when none runs."""
        return None if self._process is None else self._process.pid

    def kill(self) -> None:
        """End the process as a crash would; the film being read is reported as crashing."""
        if self._process is not None:
            self._process.kill()

    def _ask(self, question: str, limit_s: float) -> str | None:
        """Send a question and return the answer: empty after a crash, None when late."""
        process = self._process or self._start()
        try:
            assert process.stdin is not None
            process.stdin.write(question + "\n")
            process.stdin.flush()
            return self._answers.get(timeout=limit_s)
        except Empty:
            return None
        except OSError:
            return ""

    def _start(self) -> subprocess.Popen[str]:
        paths = os.pathsep.join(place for place in sys.path if place)
        process = subprocess.Popen(
            [sys.executable, "-m", "gradecut.film._index_child"],
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
                pipe.close()


def _listen(process: subprocess.Popen[str], answers: Queue[str]) -> None:
    """Pass on a process's answers, and an empty one when it ends."""
    assert process.stdout is not None
    try:
        for line in process.stdout:
            answers.put(line)
    except ValueError:
        return  # The pipe was closed: nobody waits for answers any more.
    answers.put("")
