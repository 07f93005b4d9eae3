"""Files that appear whole or not at all."""

from __future__ import annotations

import errno
import os
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from os import PathLike
from pathlib import Path

from gradecut.errors import OutputError

__all__ = ["check_folder", "check_goal", "make_folder", "whole_file"]

_A_FOLDER = "this is a folder; name a file in it."


def check_goal(
    path: str | PathLike[str], *, endings: Sequence[str] = (), what: str = "the file"
) -> Path:
    """Refuse a place where a file could not be written, before work is done for it.

    Parameters
    ----------
    endings : sequence of str
        What its name may end in (".xlsx"), in small letters; empty for anything.
    what : str
        What is to be written, as the sentence names it.

    Returns
    -------
    Path

    Raises
    ------
    OutputError
        When the name has another ending, a folder has it, or its folder is none or closed.
    """
    goal = Path(path)
    if _is_folder(goal):
        raise OutputError(goal, _A_FOLDER)
    if endings and goal.suffix.lower() not in endings:
        ending = f"“{goal.suffix}”" if goal.suffix else "no ending"
        raise OutputError(
            goal, f"has {ending}, but {what} ends in {' or '.join(endings)}; name it so."
        )
    check_folder(goal.parent)
    return goal


def check_folder(folder: str | PathLike[str]) -> Path:
    """Refuse a folder that can't be made or written to, without making it; return it.

    Raises
    ------
    OutputError
        When it, or a folder above it, is a file, or may not be written to.
    """
    path = Path(folder)
    _is_folder(path)  # refuses a name no place can have
    there = next(place for place in (path, *path.absolute().parents) if place.exists())
    if not there.is_dir():
        which = "this" if there in (path, path.absolute()) else there.name
        raise OutputError(
            path, f"{which} is a file, not a folder; choose a folder you can write to."
        )
    if not os.access(there, os.W_OK | os.X_OK):
        raise OutputError(path, "permission denied; choose a folder you can write to.")
    return path


def make_folder(folder: str | PathLike[str]) -> Path:
    """Make a folder for output and return it.

    Raises
    ------
    OutputError
        When the folder can't be made or is a file.
    """
    path = Path(folder)
    _is_folder(path)
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        check_folder(path)
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
        When a folder stands there, its folder can't be made or written to, or the file
        can't be put in place.
    """
    goal = Path(path)
    if _is_folder(goal):
        raise OutputError(goal, _A_FOLDER)
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


def _is_folder(path: Path) -> bool:
    """Ask whether a folder is there; refuse a name that no file can have."""
    if "\0" in str(path):
        named = str(path).replace("\0", "\N{REPLACEMENT CHARACTER}")
        raise OutputError(named, "holds a sign no name can hold (NUL); name it without.")
    try:
        return path.is_dir()
    except OSError as error:
        what = "choose a folder you can write to"
        if error.errno == errno.ENAMETOOLONG:
            what = "choose a shorter name"
        raise OutputError(path, f"{_why(error)}; {what}.") from error


def _widen(draft: Path) -> None:
    """Give the file the mode an ordinary new file would have (mkstemp makes it private)."""
    mask = os.umask(0)
    os.umask(mask)
    draft.chmod(0o666 & ~mask)


def _why(error: OSError) -> str:
    """Say an operating-system error in plain words."""
    return (error.strerror or str(error)).lower()
