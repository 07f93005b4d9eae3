"""What is on a camera card, where each film of it goes, and which are there already."""

from __future__ import annotations

import re
import shutil
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count, pairwise
from os import PathLike
from pathlib import Path

from gradecut.errors import FilmError, OutputError
from gradecut.film import find_films, fingerprint_of
from gradecut.film.writing.unfinished import clear_unfinished
from gradecut.outfile import check_folder
from gradecut.progress import CancelToken, Progress, silent
from gradecut.workflows.pace import size_words
from gradecut.workflows.verified_copy import digest_of, said_of

__all__ = ["CardFilm", "CardPlan", "looks_like_card", "plan_card"]

_SAME_TIME_S = 2
"""A drive formatted as FAT keeps the time of a file in steps of two seconds (from memory)."""

_PART_THEN_FILM = re.compile(r"(?P<name>.*?)(?P<part>\d\d)(?P<film>\d{4})")


@dataclass(frozen=True, slots=True, kw_only=True)
class CardFilm:
    """One film of a card.

    Attributes
    ----------
    source, goal : Path
        Where it lies on the card, and where its copy goes or is.
    size_bytes : int
    there : bool
        Whether a whole and equal copy is there already.
    """

    source: Path
    goal: Path
    size_bytes: int
    there: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CardPlan:
    """The films of a card in the order they were shot, and where each goes.

    Attributes
    ----------
    card, goal : Path
        The two folders.
    films : tuple of CardFilm
    notes : tuple of str
        Names that were taken by another film.
    """

    card: Path
    goal: Path
    films: tuple[CardFilm, ...]
    notes: tuple[str, ...]


def plan_card(
    card: str | PathLike[str],
    goal_folder: str | PathLike[str],
    *,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> CardPlan:
    """Look at a card and at the folder it is to be copied to; nothing is written.

    What a copying that was killed left in that folder is removed: its room is needed.

    A film keeps the folders it has on the card, and its name. Where another film has that
    name already, it gets a number.

    Raises
    ------
    FilmError
        When there is no card, or no film on it.
    OutputError
        When the goal can't be written to, has too little room, or lies on the card.
    Cancelled
    """
    root, goal = Path(card).absolute(), Path(goal_folder).absolute()
    sources = _as_shot(find_films(root))
    _refuse_card(root, goal)
    check_folder(goal)
    films: list[CardFilm] = []
    notes: list[str] = []
    taken: set[str] = set()
    for number, source in enumerate(sources, start=1):
        progress(0.0, f"Looking at the card: {number} of {len(sources)}")
        wanted = goal / source.relative_to(root)
        _refuse_card(root, wanted)
        film = _placed(source, wanted, taken, cancel)
        taken.add(str(film.goal).casefold())
        if film.goal != wanted:
            notes.append(f"{source.name} goes by {film.goal.name}: another film has its name.")
        films.append(film)
    _check_room(goal, films)
    return CardPlan(card=root, goal=goal, films=tuple(films), notes=tuple(notes))


def looks_like_card(place: str | PathLike[str]) -> bool:
    """Tell whether a place is a folder that has no film of its own, but folders of film."""
    root = Path(place)
    if not root.is_dir():
        return False
    try:
        return all(film.parent != root for film in find_films(root))
    except FilmError:
        return False


def _as_shot(films: Sequence[Path]) -> list[Path]:
    """Put films whose parts are numbered before the film itself back into order.

    A camera that begins a new file at 4 GB may name the second part of film 0012 020012,
    which by its name would come after 010013. Then the files' times tell, where they do.
    """
    folders: defaultdict[Path, list[Path]] = defaultdict(list)
    for film in films:
        folders[film.parent].append(film)
    return [film for found in folders.values() for film in _folder_as_shot(found)]


def _folder_as_shot(films: list[Path]) -> list[Path]:
    parts: defaultdict[tuple[str, str], int] = defaultdict(int)
    for film in films:
        found = _PART_THEN_FILM.fullmatch(film.stem)
        if found is not None:
            parts[found["name"].casefold(), found["film"]] += 1
    if max(parts.values(), default=0) < 2:
        return films
    try:
        by_time = sorted((film.stat().st_mtime, place) for place, film in enumerate(films))
    except OSError:
        return films  # what can't be read is told when its turn comes
    told_apart = all(
        after - before >= _SAME_TIME_S for (before, _), (after, _) in pairwise(by_time)
    )
    return [films[place] for _, place in by_time] if told_apart else films


def _placed(source: Path, wanted: Path, taken: set[str], cancel: CancelToken | None) -> CardFilm:
    """Find where a film goes: to the first name that is free or has its copy already."""
    try:
        size_bytes = source.stat().st_size
    except OSError as error:
        raise FilmError(source, f"it can't be read ({said_of(error)}).") from error
    for place in _names(wanted):
        if str(place).casefold() in taken:
            continue
        free = not (place.exists() or place.is_symlink())
        if free or _is_copy(source, place, cancel):
            break
    return CardFilm(source=source, goal=place, size_bytes=size_bytes, there=not free)


def _names(wanted: Path) -> Iterator[Path]:
    """Give the names a film may have: its own, then numbered ones, without end."""
    yield wanted
    for number in count(2):
        yield wanted.with_name(f"{wanted.stem}-{number}{wanted.suffix}")


def _is_copy(source: Path, place: Path, cancel: CancelToken | None) -> bool:
    """Tell whether a file is a whole copy of one on the card.

    One of the same size and time whose two ends are equal was put in place by a copying
    that had read it back; any other of the same size is compared byte by byte.
    """

    def digest(path: Path) -> str:
        return digest_of(path, moved=lambda _size_bytes: None, cancel=cancel)

    try:
        ours, theirs = place.stat(), source.stat()
        if not place.is_file() or ours.st_size != theirs.st_size:
            return False
        if abs(ours.st_mtime - theirs.st_mtime) <= _SAME_TIME_S:
            return fingerprint_of(place) == fingerprint_of(source)
        return digest(place) == digest(source)
    except (OSError, FilmError):
        return False  # an unreadable one is no good copy; the card's own is told in its turn


def _refuse_card(card: Path, place: Path) -> None:
    if place.resolve().is_relative_to(card.resolve()):
        raise OutputError(
            place, "this lies on the card, which is only read; name a folder on your own drive."
        )


def _check_room(goal: Path, films: list[CardFilm]) -> None:
    there = next(place for place in (goal, *goal.parents) if place.exists())
    needed = sum(film.size_bytes for film in films if not film.there)
    for folder in {film.goal.parent for film in films}:
        clear_unfinished(folder)
    try:
        missing = needed - shutil.disk_usage(there).free
    except OSError as error:
        raise OutputError(goal, f"{said_of(error)}; choose another folder.") from error
    if missing > 0:
        raise OutputError(
            goal,
            f"{size_words(missing)} of room are missing there: the films to copy take "
            f"{size_words(needed)}; free so much, or copy to another drive.",
        )
