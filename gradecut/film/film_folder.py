"""The films of a folder, in the order a person would put them."""

from __future__ import annotations

import os
import re
from os import PathLike
from pathlib import Path
from typing import TypeAlias

from gradecut.errors import FilmError

__all__ = ["FILM_SUFFIXES", "film_files", "find_films"]

FILM_SUFFIXES = frozenset(
    {
        *(".mp4", ".m4v", ".mov", ".qt", ".3gp", ".3g2", ".mkv", ".webm", ".avi", ".ogv"),
        *(".mpg", ".mpeg", ".m2v", ".m2t", ".m2ts", ".mts", ".ts", ".tod", ".mod"),
        *(".wmv", ".asf", ".flv", ".mxf", ".dv", ".mjpeg", ".mjpg"),
        *(".h264", ".264", ".h265", ".265", ".hevc"),
    }
)
"""Endings of film files, in lower case."""

_COPIES_FOLDERS = frozenset({"thmbnl", "sub", "proxy", "proxies", "$recycle.bin", "lost+found"})
"""Folders in which cameras keep small copies of the films beside them, and systems their own."""

_MOST_ENTRIES = 200_000
_DEEPEST = 12

_Name: TypeAlias = tuple[list[tuple[int, int, str]], str]


def film_files(folder_or_file: str | PathLike[str]) -> list[Path]:
    """Return the films of a folder in natural order, or the one film named.

    Natural order puts ``play 2`` before ``play 10``. Films in folders below and hidden
    files are left out; a file named directly is taken whatever its ending.

    Raises
    ------
    FilmError
        When the place does not exist, can't be read, or holds no film.
    """
    place = Path(folder_or_file)
    if place.is_file():
        return [place]
    try:
        names = [path for path in place.iterdir() if not path.name.startswith(".")]
    except FileNotFoundError as error:
        raise FilmError(place, "there is no such folder or file; check the name.") from error
    except OSError as error:
        said = (error.strerror or str(error)).lower()
        raise FilmError(place, f"it can't be looked into ({said}).") from error
    if not names:
        raise FilmError(place, "the folder is empty; name the folder that holds the films.")
    films = [path for path in names if path.suffix.lower() in FILM_SUFFIXES and path.is_file()]
    if not films:
        raise FilmError(
            place, "there is no film in this folder; name the folder that holds the films."
        )
    return sorted(films, key=_natural)


def find_films(folder: str | PathLike[str]) -> list[Path]:
    """Return the films of a folder and of all folders in it, as a camera card keeps them.

    In natural order of the folders, then of the names. Left out are hidden files and
    folders, small copies and stills a camera keeps beside its films (known by their ending),
    folders that hold only such copies, and links: nothing outside the folder is looked at.

    Raises
    ------
    FilmError
        When the folder does not exist, can't be read, or holds no film.
    """
    place = Path(folder)
    films: list[Path] = []
    looked_at = 0
    waiting = [(place, 0)]
    while waiting:
        here, depth = waiting.pop()
        for entry in _entries(here, first=here is place):
            looked_at += 1
            if looked_at > _MOST_ENTRIES:
                raise FilmError(
                    place, f"it holds more than {_MOST_ENTRIES:,} files; name a folder in it."
                )
            if entry.is_dir(follow_symlinks=False):
                if depth < _DEEPEST and entry.name.casefold() not in _COPIES_FOLDERS:
                    waiting.append((Path(entry.path), depth + 1))
            elif entry.is_file(follow_symlinks=False) and _is_film_name(entry.name):
                films.append(Path(entry.path))
    if not films:
        raise FilmError(
            place, "there is no film in this folder or below it; name the folder of the films."
        )
    return sorted(films, key=lambda path: _natural_place(path.relative_to(place)))


def _entries(folder: Path, *, first: bool) -> list[os.DirEntry[str]]:
    """List a folder without what is hidden; one below that can't be read is passed over."""
    try:
        with os.scandir(folder) as found:
            return [entry for entry in found if not entry.name.startswith(".")]
    except FileNotFoundError as error:
        if not first:
            return []
        raise FilmError(folder, "there is no such folder; check the name.") from error
    except OSError as error:
        if not first:
            return []
        said = (error.strerror or str(error)).lower()
        raise FilmError(folder, f"it can't be looked into ({said}).") from error


def _is_film_name(name: str) -> bool:
    return Path(name).suffix.lower() in FILM_SUFFIXES


def _natural_place(path: Path) -> tuple[list[_Name], _Name]:
    """Order by folder, a folder's own films before those below it, then by name."""
    return [_natural(Path(part)) for part in path.parts[:-1]], _natural(path)


def _natural(path: Path) -> _Name:
    """Return a sorting key that compares runs of digits as numbers."""
    parts = re.split(r"([0-9]+)", path.name.casefold())
    key = [(0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts if part]
    return key, path.name
