"""Film being written: under a hidden name until it is whole, and cleared away after a crash."""

from __future__ import annotations

import os
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from os import PathLike
from pathlib import Path

from gradecut.errors import OutputError
from gradecut.outfile import check_goal, make_folder, whole_file

if sys.platform != "win32":
    import fcntl

__all__ = ["clear_unfinished", "unfinished_film"]

_PREFIX = ".gradecut-"


@contextmanager
def unfinished_film(path: str | PathLike[str]) -> Iterator[Path]:
    """Give a hidden name beside ``path`` to write to; it becomes ``path`` when all went well.

    What a killed process left in the folder is removed first. A film that another process is
    still writing there is left alone: it holds a lock.

    Raises
    ------
    OutputError
        When a folder stands there, its folder can't be made or written to, or the film can't
        be put in place.
    """
    goal = check_goal(path)
    folder = make_folder(goal.parent)
    clear_unfinished(folder)
    try:
        handle, name = tempfile.mkstemp(prefix=_PREFIX, suffix=goal.suffix, dir=folder)
    except OSError as error:
        raise OutputError(
            goal, f"{(error.strerror or str(error)).lower()}; choose a folder you can write to."
        ) from error
    draft = Path(name)
    try:
        if sys.platform == "win32":
            os.close(handle)
        else:
            _is_free(handle)
        yield draft
        with whole_file(goal) as given:
            os.replace(draft, given)
    finally:
        if sys.platform != "win32":
            os.close(handle)
        with suppress(OSError):
            draft.unlink()


def clear_unfinished(folder: Path) -> None:
    """Remove what killed processes left; what can't be looked at or removed stays."""
    with suppress(OSError):
        for left in list(folder.glob(f"{_PREFIX}*")):
            with suppress(OSError):
                if _is_left_over(left):
                    left.unlink()


def _is_left_over(path: Path) -> bool:
    """Whether nobody writes a film any more; where files can't be locked, unlinking tells."""
    if sys.platform == "win32":
        return True
    handle = os.open(path, os.O_RDWR)
    try:
        return _is_free(handle)
    finally:
        os.close(handle)


def _is_free(handle: int) -> bool:
    """Take the lock of an open file if nobody has it; it goes with the process that took it."""
    if sys.platform == "win32":
        return True
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except OSError:
        return False
    return True
