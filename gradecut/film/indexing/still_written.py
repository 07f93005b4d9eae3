"""Films that grow or go away while they are read."""

from __future__ import annotations

import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from os import PathLike

from gradecut.errors import FilmError
from gradecut.film.opening import check_file

__all__ = ["check_finished", "unchanged"]

_FRESH_S = 60.0
"""A file written to more recently than this may still be written to."""
_LOOK_AGAIN_S = 0.4
_STILL_WRITTEN = "it is still being written; try again when the recording or the copying has ended."


@contextmanager
def unchanged(path: str | PathLike[str]) -> Iterator[None]:
    """Refuse a film that grew, changed or went away within the block.

    A fault found within the block is told as the file's growing where it grows: a film that
    is being copied has no index yet, or no end.

    Raises
    ------
    FilmError
        Saying that it is still written, or gone.
    """
    before = _mark(check_file(path))
    try:
        yield
    except FilmError:
        check_finished(path)
        raise
    try:
        after = _mark(os.stat(path))
    except OSError as error:
        raise FilmError(
            path, "it went away while it was read; connect its drive again and try again."
        ) from error
    if after != before:
        raise FilmError(path, _STILL_WRITTEN)


def check_finished(path: str | PathLike[str]) -> None:
    """Refuse a film that somebody is writing just now; looks twice where that may be.

    Raises
    ------
    FilmError
        Saying that it is still being written.
    """
    try:
        before = os.stat(path)
        if abs(time.time() - before.st_mtime) < _FRESH_S:
            time.sleep(_LOOK_AGAIN_S)
            if _mark(os.stat(path)) != _mark(before):
                raise FilmError(path, _STILL_WRITTEN)
    except OSError as error:
        raise FilmError(
            path, "it went away while it was read; connect its drive again and try again."
        ) from error


def _mark(state: os.stat_result) -> tuple[int, int]:
    return state.st_size, state.st_mtime_ns
