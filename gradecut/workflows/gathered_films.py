"""Films of files and folders, each read once, and what among them can't be taken."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from os import PathLike
from pathlib import Path

from gradecut.errors import FilmError, InputError
from gradecut.film import film_files, find_films, index_films, open_film
from gradecut.progress import CancelToken, Progress, silent

__all__ = ["Gathered", "gather_films"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Gathered:
    """Films of files and folders, and what among them can't be taken.

    Attributes
    ----------
    paths : tuple of Path
        All of them in order, also those that can't be taken.
    faults : mapping of Path to FilmError
        Those that can't, each with what is wrong.
    """

    paths: tuple[Path, ...]
    faults: Mapping[Path, FilmError]

    @property
    def films(self) -> tuple[Path, ...]:
        """Those that can be taken."""
        return tuple(path for path in self.paths if path not in self.faults)


def gather_films(
    places: Sequence[str | PathLike[str]],
    *,
    damaged: bool = False,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Gathered:
    """Return the films of files and folders, in natural order, each one read once.

    Of a folder its own films are taken; where it has none, as on a camera card, those of the
    folders below. What is no film, or can't be opened, is told beside the others.

    Parameters
    ----------
    damaged : bool
        Whether a film whose end is cut off is taken too. The whole film would be another
        one, to which nothing that is marked on the rest belongs.

    Raises
    ------
    FilmError
        When the one film there is can't be taken, or a folder holds none.
    InputError
        When of several films none can be taken: one sentence each.
    Cancelled
        When asked to stop.
    """
    paths = tuple(dict.fromkeys(path.absolute() for place in places for path in _films_in(place)))
    faults = index_films(paths, progress, cancel)
    if not damaged:
        faults |= _cut_off([path for path in paths if path not in faults])
    ordered = {path: faults[path] for path in paths if path in faults}
    found = Gathered(paths=paths, faults=ordered)
    if found.films:
        return found
    if len(ordered) == 1:
        raise ordered[paths[0]]
    told = [(0, f"{path.name}: {fault.reason.rstrip('.')}") for path, fault in ordered.items()]
    raise InputError(places[0], told)


def _films_in(place: str | PathLike[str]) -> list[Path]:
    """Return the films of a place; of the folders below where it has none of its own."""
    try:
        return film_files(place)
    except FilmError:
        if not Path(place).is_dir() or not any(Path(place).iterdir()):
            raise
        return find_films(place)


def _cut_off(paths: Sequence[Path]) -> dict[Path, FilmError]:
    """Find films whose end is missing, as after a card was pulled out too soon."""
    found: dict[Path, FilmError] = {}
    for path in paths:
        with open_film(path) as film:
            told = film.index.faults[:1] if film.index.cut_off else ()
        if told:
            found[path] = FilmError(
                path,
                f"{told[0]}; copy it from the camera again, or add it with --damaged if this is "
                "all there is.",
            )
    return found
