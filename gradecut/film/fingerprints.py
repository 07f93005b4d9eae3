"""Knowing a film again by its bytes, whatever its name and place."""

from __future__ import annotations

import hashlib
import os
import time
from os import PathLike
from threading import Lock

from gradecut.errors import FilmError
from gradecut.film.opening import check_file
from gradecut.records.fingerprint import Fingerprint

__all__ = ["ALGORITHM", "fingerprint_of"]

ALGORITHM = "blake2b-ends-1"
_END_BYTES = 4 * 1024 * 1024
_PIECE_BYTES = 256 * 1024
"""Read and digested at a time: stays in the processor's own memory."""
_RESTED_S = 5.0
_MOST_KNOWN = 20_000

_known: dict[tuple[int, int, int, int], Fingerprint] = {}
"""By device, number, size and time of change: a film that was digested once in this run."""
_lock = Lock()


def fingerprint_of(path: str | PathLike[str]) -> Fingerprint:
    """Return a film's fingerprint, from its size and its two ends.

    The digest is BLAKE2b (RFC 7693), 32 bytes, of the size as eight bytes, big end first,
    then the first and the last 4 MiB; of files up to 8 MiB every byte counts. Two films
    that differ only in the middle and not in size would share a fingerprint; cameras make
    no such films.

    Raises
    ------
    FilmError
        When the file is missing, empty or not readable.
    """
    state = check_file(path)
    mark = (state.st_dev, state.st_ino, state.st_size, state.st_mtime_ns)
    with _lock:
        known = _known.get(mark)
    if known is not None:
        return known
    try:
        fingerprint = Fingerprint(algorithm=ALGORITHM, digest=_digest(path))
    except PermissionError as error:
        raise FilmError(
            path, "you are not allowed to read it; change its permissions or copy it."
        ) from error
    except OSError as error:
        said = (error.strerror or str(error)).lower()
        raise FilmError(path, f"it can't be read ({said}); look at the drive it is on.") from error
    # A file changed twice within its clock's tick would look the same: only one that has
    # rested is remembered.
    if time.time() - state.st_mtime > _RESTED_S and state.st_ino:
        with _lock:
            if len(_known) >= _MOST_KNOWN:
                _known.clear()
            _known[mark] = fingerprint
    return fingerprint


def forget_fingerprints() -> None:
    """Forget the fingerprints in memory, so that the bytes are read again."""
    with _lock:
        _known.clear()


def _digest(path: str | PathLike[str]) -> str:
    piece = memoryview(bytearray(_PIECE_BYTES))
    with open(path, "rb", buffering=0) as file:
        size = os.fstat(file.fileno()).st_size
        digest = hashlib.blake2b(size.to_bytes(8, "big"), digest_size=32)
        for start in (0, max(size - _END_BYTES, min(size, _END_BYTES))):
            file.seek(start)
            left = _END_BYTES
            while left and (count := file.readinto(piece[: min(left, _PIECE_BYTES)])):
                digest.update(piece[:count])
                left -= count
    return digest.hexdigest()
