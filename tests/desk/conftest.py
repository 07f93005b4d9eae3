from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.book import Book, open_book
from gradecut.desk import Desk
from tests.desk.small_book import Posted, make_book, make_films


@pytest.fixture(scope="session")
def films(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the tiny films once."""
    return make_films(tmp_path_factory.mktemp("film") / "end")


@pytest.fixture(scope="session")
def whole_book(tmp_path_factory: pytest.TempPathFactory, films: Path) -> Path:
    """Make the small book once, closed."""
    path = tmp_path_factory.mktemp("book") / "small.gradecut"
    make_book(path, films).close()
    return path


@pytest.fixture
def book(tmp_path: Path, whole_book: Path) -> Book:
    """Open a copy of the small book."""
    path = tmp_path / "small.gradecut"
    shutil.copy(whole_book, path)
    return open_book(path, author="Coach Alder")


@pytest.fixture
def posted() -> Posted:
    """Stand in for the window's loop."""
    return Posted()


@pytest.fixture
def said() -> list[str]:
    """Gather what was said."""
    return []


@pytest.fixture
def desk(book: Book, posted: Posted, said: list[str]) -> Iterator[Desk]:
    """Sit down at the small book."""
    opened = Desk(book, post=posted)
    opened.said.connect(said.append)
    yield opened
    opened.close()
