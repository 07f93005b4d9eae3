"""Telling damage in a film from a film that went away."""

from __future__ import annotations

import os
from os import PathLike

from gradecut.errors import FilmError
from gradecut.film.fingerprints import fingerprint_of
from gradecut.film.indexing.frame_index import FrameIndex
from gradecut.records.fingerprint import Fingerprint

__all__ = ["Standing"]

_MOST_PROBED_BYTES = 64 * 1024 * 1024
_CHUNK_BYTES = 1024 * 1024


class Standing:
    """Knows a film's file as it was when it was opened."""

    def __init__(
        self, path: str | PathLike[str], index: FrameIndex, fingerprint: Fingerprint
    ) -> None:
        self._path = path
        self._index = index
        self._fingerprint = fingerprint
        self._known = self._look()

    def check(self, key: int) -> None:
        """Make sure that what was lost behind a key was not lost for want of the file.

        Raises
        ------
        FilmError
            When the file is gone, has become another or can't be read there; such a fault
            may pass.
        """
        seen = self._look()
        if seen is None:
            raise FilmError(
                self._path,
                "it went away while it was open; connect the drive it is on and try again.",
            )
        if seen != self._known:
            if fingerprint_of(self._path) != self._fingerprint:
                raise FilmError(self._path, "it changed while it was open; open it again.")
            self._known = seen
        self._probe(key)

    def _look(self) -> tuple[int, int] | None:
        """Return the file's size and time of change; None when it is not there."""
        try:
            state = os.stat(self._path)
        except (OSError, ValueError):
            return None
        return state.st_size, state.st_mtime_ns

    def _probe(self, key: int) -> None:
        """Read the bytes behind a key, to learn whether the place they lie at gives them."""
        positions = self._index.keys.pos
        start = max(int(positions[key]), 0)
        later = positions[key + 1 :]
        stop = int(later[later > start].min(initial=start + _MOST_PROBED_BYTES))
        left = min(stop - start, _MOST_PROBED_BYTES)
        try:
            with open(self._path, "rb") as file:
                file.seek(start)
                while left > 0 and (came := len(file.read(min(left, _CHUNK_BYTES)))):
                    left -= came
        except OSError as error:
            said = (error.strerror or str(error)).lower()
            raise FilmError(
                self._path,
                f"it can't be read just now ({said}); check the drive it is on and try again.",
            ) from error
