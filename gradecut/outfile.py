"""Files that appear whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from os import PathLike
from pathlib import Path

from gradecut.errors import OutputError

__all__ = ["make_folder", "whole_file"]


def make_folder(folder: str | PathLike[str]) -> Path:
    """Make a folder for output and return it.

    Raises
    ------
    OutputError
        When the folder can't be made or is a file.
    """
    path = Path(folder)
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise OutputError(path, f"{_why(error)}; choose a folder you can write to.") from error
    return path


@contextmanager
def whole_file(path: str | PathLike[str]) -> Iterator[Path]:
    """Give a name to write to that becomes ``path`` only when the block ends well.

    The name lies in the same folder and has the same ending. When the block raises,
    the half-written file is removed and what stood at ``path`` before stays.

    Raises
    ------
    OutputError
        When the folder can't be made or written to, or the file can't be put in place.
    """
    goal = Path(path)
    folder = make_folder(goal.parent)
    try:
        handle, name = tempfile.mkstemp(prefix=".", suffix=goal.suffix, dir=folder)
    except OSError as error:
        raise OutputError(goal, f"{_why(error)}; choose a folder you can write to.") from error
    os.close(handle)
    draft = Path(name)
    try:
        yield draft
        _widen(draft)
        os.replace(draft, goal)
    except OutputError:
        raise
    except OSError as error:
        raise OutputError(goal, f"{_why(error)}; close it elsewhere or free some space.") from error
    finally:
        with suppress(FileNotFoundError):
            draft.unlink()


def _widen(draft: Path) -> None:
    """Give the file the mode an ordinary new file would have (mkstemp makes it private)."""
    mask = os.umask(0)
    os.umask(mask)
    draft.chmod(0o666 & ~mask)


def _why(error: OSError) -> str:
    """Say an operating-system error in plain words."""
    return (error.strerror or str(error)).lower()
