"""The small week's films and book, made once a run; each test works on its own copy."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.book import Book, open_book
from gradecut.film import index_films
from tests.workflows.practice_films import Practice, write_practice
from tests.workflows.small_week import COACH, build_book, write_films


@pytest.fixture(scope="session")
def week_films(tmp_path_factory: pytest.TempPathFactory, index_folder: None) -> tuple[Path, Path]:
    """Give the folders of both cameras' films, read once."""
    assert index_folder is None
    end, side = write_films(tmp_path_factory.mktemp("card"))
    assert index_films([*end.iterdir(), *side.iterdir()]) == {}
    return (end, side)


@pytest.fixture(scope="session")
def week_book(tmp_path_factory: pytest.TempPathFactory, week_films: tuple[Path, Path]) -> Path:
    """Give the week's book, closed; copy it before use."""
    path = tmp_path_factory.mktemp("week") / "week.gradecut"
    build_book(path, *week_films).close()
    return path


@pytest.fixture
def book_path(week_book: Path, tmp_path: Path) -> Path:
    """Give a copy of the week's book, closed."""
    return Path(shutil.copy(week_book, tmp_path / "herons.gradecut"))


@pytest.fixture
def book(book_path: Path) -> Iterator[Book]:
    """Give a copy of the week's book, open."""
    with open_book(book_path, author=COACH) as opened:
        yield opened


@pytest.fixture(scope="session")
def practice(tmp_path_factory: pytest.TempPathFactory) -> Practice:
    """Give one practice of six plays, filmed by two cameras."""
    return write_practice(tmp_path_factory.getbasetemp() / "two cameras")
