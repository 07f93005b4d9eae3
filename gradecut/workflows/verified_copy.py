"""One file copied and read back from the drive, so that a copy that is told of is a good one."""

from __future__ import annotations

import errno
import hashlib
import os
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from typing import IO

from gradecut.errors import FilmError, OutputError
from gradecut.film.writing.unfinished import unfinished_film
from gradecut.progress import CancelToken

__all__ = ["Moved", "copy_verified", "digest_of", "is_full", "said_of"]

BLOCK_BYTES = 4 * 1024 * 1024
"""So much is read at a time; between two blocks the work can be stopped."""

Moved = Callable[[int], None]
"""Told how many bytes were just read."""

_FULL = frozenset({errno.ENOSPC, errno.EDQUOT})
_DIGEST_BYTES = 32


def copy_verified(
    source: Path, goal: Path, *, moved: Moved, cancel: CancelToken | None = None
) -> str:
    """Copy a file, keep its time, read the copy back from the drive, and put it in place whole.

    The copy is forced to the drive and read back past the system's memory where the system
    lets it be asked for (POSIX); elsewhere what is read back may still lie in memory.

    Parameters
    ----------
    source, goal : Path
        The goal's folder must be there. Nothing is done to the source but reading it.
    moved : callable
        Told of every block: twice the file's size when all is done, once for each reading.

    Returns
    -------
    str
        The digest of both, in hex: BLAKE2b (RFC 7693) of 32 bytes.

    Raises
    ------
    FilmError
        When the source can't be read, changes meanwhile, or its copy reads back differently.
    OutputError
        When the copy can't be written; its cause is the system's error.
    Cancelled
        When asked to stop; nothing of the copy is left.
    """
    try:
        with unfinished_film(goal) as draft:
            read = _copy(source, draft, moved, cancel)
            if _read_back(draft, goal, moved, cancel) != read:
                raise FilmError(
                    source, "its copy reads back different from the card; try another drive."
                )
    except OutputError:
        raise
    except OSError as error:  # the draft could not even be taken away: its drive is gone
        raise OutputError(goal, f"{said_of(error)}; connect its drive again.") from error
    _settle(goal.parent)
    return read


def digest_of(
    path: Path,
    *,
    moved: Moved,
    cancel: CancelToken | None = None,
    afresh: bool = False,
) -> str:
    """Return the digest of a file, in hex: BLAKE2b (RFC 7693) of 32 bytes.

    Parameters
    ----------
    afresh : bool
        Read it from the drive, not from the system's memory, where that can be asked for.

    Raises
    ------
    FilmError, Cancelled
    """
    digest = hashlib.blake2b(digest_size=_DIGEST_BYTES)
    with _reading(path) as file:
        if afresh:
            _forget(file)
        for block in _blocks(path, file, cancel):
            digest.update(block)
            moved(len(block))
    return digest.hexdigest()


def is_full(error: OutputError) -> bool:
    """Tell whether there was no room left."""
    return isinstance(error.__cause__, OSError) and error.__cause__.errno in _FULL


def said_of(error: OSError) -> str:
    """Say an error of the system in small plain words."""
    return (error.strerror or str(error)).lower()


def _copy(source: Path, draft: Path, moved: Moved, cancel: CancelToken | None) -> str:
    digest = hashlib.blake2b(digest_size=_DIGEST_BYTES)
    with _reading(source) as file:
        before = os.fstat(file.fileno())
        with open(draft, "wb", buffering=0) as copy:
            size_bytes = 0
            for block in _blocks(source, file, cancel):
                size_bytes += len(block)
                if size_bytes > before.st_size:  # one that grows as it is read has no end
                    break
                digest.update(block)
                _write(copy, block)
                moved(len(block))
            os.fsync(copy.fileno())
        after = os.fstat(file.fileno())
    if size_bytes != before.st_size or before.st_mtime_ns != after.st_mtime_ns:
        raise FilmError(source, "it changed while it was copied; let the camera finish it first.")
    os.utime(draft, ns=(before.st_atime_ns, before.st_mtime_ns))
    return digest.hexdigest()


def _read_back(draft: Path, goal: Path, moved: Moved, cancel: CancelToken | None) -> str:
    try:
        return digest_of(draft, moved=moved, cancel=cancel, afresh=True)
    except FilmError as error:
        raise OutputError(goal, "its copy can't be read back; try another drive.") from (
            error.__cause__
        )


def _reading(path: Path) -> IO[bytes]:
    try:
        return open(path, "rb", buffering=0)
    except OSError as error:
        raise _unread(path, error) from error


def _blocks(path: Path, file: IO[bytes], cancel: CancelToken | None) -> Iterator[memoryview]:
    """Read a file block by block into the same memory."""
    room = bytearray(BLOCK_BYTES)
    view = memoryview(room)
    while True:
        if cancel is not None:
            cancel.check("Copying")
        try:
            got = file.readinto(room)  # type: ignore[attr-defined]  # an unbuffered file has it
        except OSError as error:
            raise _unread(path, error) from error
        if not got:
            return
        yield view[:got]


def _write(copy: IO[bytes], block: memoryview) -> None:
    while block:
        block = block[copy.write(block) :]


def _unread(path: Path, error: OSError) -> FilmError:
    return FilmError(path, f"it can't be read ({said_of(error)}).")


def _forget(file: IO[bytes]) -> None:
    """Ask the system to let go of what it holds of a file in memory."""
    if hasattr(os, "posix_fadvise"):
        with suppress(OSError):  # advice that is not taken costs nothing but sureness
            os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)


def _settle(folder: Path) -> None:
    """Force a folder's names to the drive, where the system knows such a thing."""
    if not hasattr(os, "O_DIRECTORY"):
        return
    with suppress(OSError):  # some drives on a network refuse it, and keep the name all the same
        handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
