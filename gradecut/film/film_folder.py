"""The films of a folder, in the order a person would put them."""

from __future__ import annotations

import re
from os import PathLike
from pathlib import Path

from gradecut.errors import FilmError

__all__ = ["FILM_SUFFIXES", "film_files"]

FILM_SUFFIXES = frozenset(
    {
        *(".mp4", ".m4v", ".mov", ".qt", ".3gp", ".3g2", ".mkv", ".webm", ".avi", ".ogv"),
        *(".mpg", ".mpeg", ".m2v", ".m2t", ".m2ts", ".mts", ".ts", ".tod", ".mod"),
        *(".wmv", ".asf", ".flv", ".mxf", ".dv", ".mjpeg", ".mjpg"),
        *(".h264", ".264", ".h265", ".265", ".hevc"),
    }
)
"""Endings of film files, in lower case."""


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


def _natural(path: Path) -> tuple[list[tuple[int, int, str]], str]:
    """Return a sorting key that compares runs of digits as numbers."""
    parts = re.split(r"([0-9]+)", path.name.casefold())
    key = [(0, int(part), "") if part.isdecimal() else (1, 0, part) for part in parts if part]
    return key, path.name
