"""A book to grade: three numbered films, their script, roster and the sample scheme."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from gradecut.book import Book
from gradecut.desk.film_actions import FILM_ACTIONS
from gradecut.desk.film_desk import FilmDesk
from gradecut.samples import week_folder
from gradecut.workflows.adding import add_film
from gradecut.workflows.booking import new_book
from tests.reels.numbered_film import make_film

FRAMES, RATE = 90, 30


def make_numbered_films(folder: Path) -> Path:
    """Write three end views and two side views that carry their frame numbers."""
    for angle, count in (("end", 3), ("side", 2)):
        (folder / angle).mkdir(parents=True)
        for number in range(1, count + 1):
            size = FRAMES - (angle == "side") * 10 - number
            make_film(folder / angle / f"{number}.mp4", size, Fraction(RATE))
    return folder


def make_film_book(path: Path, films: Path) -> Book:
    """Start a book whose three plays have a look and a line-up from the script, and no grade."""
    week = week_folder()
    book = new_book(
        path, name="Herons", author="Coach Alder", scheme=week / "harbor.toml",
        roster=week / "roster.csv",
    )  # fmt: skip
    add_film(book, [films / "end"], session="Tuesday", day="2026-10-06", script=week / "script.csv")
    add_film(book, [films / "side"], session="Tuesday", angle="side", by_order=True)
    return book


def press(desk: FilmDesk, *keys: str) -> int:
    """Do what keys do, by the table of actions; number keys answer. Returns how many."""
    by_key = {key: action.method for action in FILM_ACTIONS for key in action.keys}
    for key in keys:
        if key in "0123456789":
            assert desk.hand.answer(key), f"{key} answers nothing now"
            continue
        target: object = desk
        for name in by_key[key].split("."):
            target = getattr(target, name)
        target()  # type: ignore[operator]
    return len(keys)
