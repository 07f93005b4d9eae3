"""Indexes kept: in memory, in a folder on disk, and made by a child process."""

from __future__ import annotations

import os
from collections import OrderedDict
from collections.abc import Sequence
from os import PathLike
from pathlib import Path
from threading import Lock

import platformdirs

from gradecut.errors import FilmError, OutputError
from gradecut.film.fingerprints import fingerprint_of, forget_fingerprints
from gradecut.film.indexing.frame_index import FrameIndex
from gradecut.film.indexing.index_bytes import load_index, pack, unpack
from gradecut.film.indexing.index_child import kept_child
from gradecut.film.indexing.still_written import check_finished, unchanged
from gradecut.outfile import whole_file
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records.fingerprint import Fingerprint

__all__ = [
    "FOLDER_VARIABLE",
    "index_films",
    "index_folder",
    "index_of",
    "offer_index",
    "packed_index",
]

FOLDER_VARIABLE = "GRADECUT_INDEX_FOLDER"
"""Environment variable that puts the index folder somewhere else."""

_MOST_IN_MEMORY = 64
_memory: OrderedDict[str, FrameIndex] = OrderedDict()
_memory_lock = Lock()


def index_folder() -> Path:
    """Return the folder indexes are kept in; it may not exist yet."""
    chosen = os.environ.get(FOLDER_VARIABLE)
    return Path(chosen) if chosen else Path(platformdirs.user_cache_dir("gradecut")) / "index"


def index_of(path: str | PathLike[str]) -> tuple[Fingerprint, FrameIndex]:
    """Return a film's fingerprint and index, made in a child process when new.

    Raises
    ------
    FilmError
        One sentence: what is wrong with the file and what to try.
    """
    fingerprint = fingerprint_of(path)
    index = _recall(fingerprint)
    if index is None:
        index = _read(path, fingerprint)
    return fingerprint, index


def index_films(
    paths: Sequence[str | PathLike[str]],
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> dict[Path, FilmError]:
    """Index many films in one child process, so that opening each is quick afterwards.

    Returns
    -------
    dict of Path to FilmError
        The films that can't be opened, each with its fault; empty when all can.

    Raises
    ------
    Cancelled
        When asked to stop; the films done so far stay indexed.
    """
    faults: dict[Path, FilmError] = {}
    for number, path in enumerate(paths):
        if cancel is not None:
            cancel.check("Reading the films")
        progress(number / len(paths), f"Reading {Path(path).name}")
        try:
            fingerprint = fingerprint_of(path)
            if _recall(fingerprint) is None:
                _read(path, fingerprint, cancel)
        except FilmError as error:
            faults[Path(path)] = error
    progress(1.0, "Films read")
    return faults


def _read(
    path: str | PathLike[str], fingerprint: Fingerprint, cancel: CancelToken | None = None
) -> FrameIndex:
    """Read a film in the child process and keep its index, unless the film is not finished."""
    with unchanged(path), kept_child() as child:
        index = child.index(path, cancel=cancel)
        if index.cut_off:
            check_finished(path)
    _keep(fingerprint, index)
    return index


def packed_index(fingerprint: Fingerprint) -> bytes | None:
    """Return the index of a film read before, as bytes to keep elsewhere; None when unknown."""
    index = _recall(fingerprint)
    return None if index is None else pack(index)


def offer_index(fingerprint: Fingerprint, data: bytes) -> bool:
    """Take the index of a film that another computer made, so that it need not be read here.

    Parameters
    ----------
    fingerprint : Fingerprint
        The film's.
    data : bytes
        From ``packed_index``.

    Returns
    -------
    bool
        Whether the film's index is known now: False when the bytes are damaged or of a
        format this version doesn't know, and the film has not been read here either.
    """
    if _recall(fingerprint) is not None:
        return True
    try:
        index = unpack(data)
    except ValueError:
        return False
    _keep(fingerprint, index)
    return True


def _recall(fingerprint: Fingerprint) -> FrameIndex | None:
    """Return a kept index; a damaged or missing one is none."""
    with _memory_lock:
        index = _memory.get(str(fingerprint))
        if index is not None:
            _memory.move_to_end(str(fingerprint))
            return index
    try:
        index = load_index(_file_of(fingerprint))
    except (OSError, ValueError):
        return None
    _remember(fingerprint, index)
    return index


def _keep(fingerprint: Fingerprint, index: FrameIndex) -> None:
    """Keep an index in memory and, where the folder allows, on disk."""
    _remember(fingerprint, index)
    try:
        with whole_file(_file_of(fingerprint)) as draft:
            draft.write_bytes(pack(index))
    except OutputError:
        return  # Without the folder the film is read again next time; nothing is lost.


def _remember(fingerprint: Fingerprint, index: FrameIndex) -> None:
    with _memory_lock:
        _memory[str(fingerprint)] = index
        while len(_memory) > _MOST_IN_MEMORY:
            _memory.popitem(last=False)


def forget() -> None:
    """Forget what is in memory of films, not the indexes on disk."""
    forget_fingerprints()
    with _memory_lock:
        _memory.clear()


def _file_of(fingerprint: Fingerprint) -> Path:
    return index_folder() / f"{fingerprint.algorithm}-{fingerprint.digest}.index"
