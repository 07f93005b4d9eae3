"""Knowing a film again by its bytes, whatever its name and place."""

from __future__ import annotations

import hashlib
import os
from os import PathLike

from gradecut.errors import FilmError
from gradecut.film.opening import check_file
from gradecut.records.fingerprint import Fingerprint

__all__ = ["ALGORITHM", "fingerprint_of"]

ALGORITHM = "blake2b-ends-1"
_END_BYTES = 4 * 1024 * 1024


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
    check_file(path)
    try:
        with open(path, "rb") as file:
            size = os.fstat(file.fileno()).st_size
            digest = hashlib.blake2b(size.to_bytes(8, "big"), digest_size=32)
            digest.update(file.read(_END_BYTES))
            file.seek(max(size - _END_BYTES, file.tell()))
            digest.update(file.read(_END_BYTES))
    except OSError as error:
        said = (error.strerror or str(error)).lower()
        raise FilmError(path, f"it can't be read ({said}).") from error
    return Fingerprint(algorithm=ALGORITHM, digest=digest.hexdigest())
