"""Plays kept for films that could not be taken: left without film, and filled by a later add."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from gradecut.book import Book
from gradecut.errors import FilmError
from gradecut.film import fingerprint_of
from gradecut.records import Angle, Clip, Session, StoredFilm
from gradecut.workflows.gathered_films import Gathered

__all__ = ["Line", "Places", "again_words", "keep_places", "passed_over_words"]

Places = dict[Path, int]
"""Which film goes to which play."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """Films in the order they are given to plays.

    Attributes
    ----------
    kept : dict of Path to int
        Those that have their play already: it was kept for them.
    waiting : list of Path
        The others, and those that can't be taken: each of these stands for a play.
    films : list of Path
        Those that wait and can be taken.
    """

    kept: Places
    waiting: list[Path]
    films: list[Path]


def keep_places(
    book: Book, home: Session, gathered: Gathered, new: Collection[Path], angle: str
) -> Line:
    """Give films that stand between films of the session the plays between theirs.

    So a film that could not be taken comes to its play when its folder is added again. Only
    where there are just as many plays as films, and none of them has film of the angle. One
    that can't be taken stands for no play where later films are in the book and none was kept.

    Parameters
    ----------
    new : collection of Path
        Which of the films are to be put in; of the others the book has those of the session.
    """
    there = _plays_of_films(book, home, [path for path in gathered.films if path not in new], angle)
    have = set(there.values())
    kept, waiting, run = Places(), list[Path](), list[Path]()
    before = 0
    for path in gathered.paths:
        if path in new or path in gathered.faults:
            run.append(path)
        elif path in there:
            between = range(before + 1, there[path])
            if len(between) == len(run) and have.isdisjoint(between):
                kept |= zip(run, between, strict=True)
            else:
                waiting += [one for one in run if one in new]
            before, run = there[path], []
    waiting += run
    films = [path for path in waiting if path in new]
    return Line(kept=kept, waiting=waiting if films else [], films=films)


def passed_over_words(
    faults: Mapping[Path, FilmError], goals: Mapping[Path, int], angle: str
) -> tuple[str, ...]:
    """Tell each film that was not taken: which, what became of its play, what is wrong."""
    return tuple(
        f"{path.name} was passed over{_of_its_play(goals.get(path), angle)}: "
        f"{fault.reason.rstrip('.')}."
        for path, fault in faults.items()
    )


def _of_its_play(play: int | None, angle: str) -> str:
    return "" if play is None else f", and play {play} has no {angle} film"


def again_words(count: int) -> list[str]:
    """Say how films for which plays were kept come in later; nothing where there are none."""
    if not count:
        return []
    when = "it is good: it goes" if count == 1 else "they are good: they go"
    whose = "its play" if count == 1 else "their plays"
    return [f"Add the same again once {when} to {whose}."]


def _plays_of_films(
    book: Book, home: Session, paths: Sequence[Path], angle: str
) -> dict[Path, int]:
    """Return which play of a session each film is an angle of, of those that are."""
    plays = {clip.id: clip.order for clip in book.find(Clip, session_id=home.id)}
    there = {
        one.film_id: plays[one.clip_id] for one in book.find(Angle, clip_id=list(plays), name=angle)
    }
    if not there:
        return {}
    films = {film.fingerprint: film.id for film in book.find(StoredFilm, id=list(there))}
    marks = {path: fingerprint_of(path) for path in paths}
    return {path: there[films[mark]] for path, mark in marks.items() if mark in films}
