"""Books of torture films, to be stepped and played through."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

from gradecut.book import open_book
from gradecut.desk.film_desk import FilmDesk
from gradecut.workflows.adding import add_film
from gradecut.workflows.booking import new_book
from tests.desk.small_book import Posted
from tests.film.torture import FILMS, make_film, number_on, spoil

__all__ = [
    "LOST",
    "desk_on",
    "make_book",
    "make_damaged",
    "make_torture_film",
    "number_beside",
    "number_shown",
    "settle",
]

LOST = range(18, 24)
"""Frames of ``make_damaged`` that can't be shown: from the noise to the next keyframe."""


def make_torture_film(
    folder: Path, kind: str, *, count: int, name: str = "1", **told: object
) -> Path:
    """Write one film of the torture set, so many frames long."""
    folder.mkdir(parents=True, exist_ok=True)
    suffix, making = FILMS[kind]
    return make_film(folder / f"{name}.{suffix}", replace(making, count=count, **told))  # type: ignore[arg-type]


def make_damaged(folder: Path) -> Path:
    """Write a film of 60 frames, keys every 12, with noise from frame 18 on."""
    whole = make_torture_film(folder / "whole", "closed", count=60)
    (folder / "end").mkdir()
    return spoil(whole, folder / "end" / "1.mp4", [18])


def make_book(path: Path, angles: Mapping[str, Path]) -> None:
    """Start a book of one play, an angle a folder."""
    with new_book(path, name="Herons", author="Coach Alder") as book:
        for angle, folder in angles.items():
            add_film(book, [folder], session="Tuesday", angle=angle)


@contextmanager
def desk_on(path: Path, posted: Posted, said: list[str]) -> Iterator[FilmDesk]:
    """Sit down at a book."""
    with open_book(path, author="Coach Alder") as book:
        desk = FilmDesk(book, posted, said.append)
        try:
            yield desk
        finally:
            desk.close()


def settle(desk: FilmDesk, posted: Posted) -> None:
    """Wait until the frame wished for is the one shown, in its true picture."""
    head = desk.playhead
    posted.until(lambda: head.shown == head.frame and (not head.rough or head.hurried))


def number_shown(desk: FilmDesk) -> int:
    """Read the number burnt into the picture on stage."""
    assert desk.playhead.picture is not None
    return number_on(desk.playhead.picture)


def number_beside(desk: FilmDesk) -> int:
    """Read the number burnt into the second angle's picture."""
    assert desk.second.picture is not None
    return number_on(desk.second.picture)
