from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.book import Book, open_book
from gradecut.desk import Desk
from gradecut.desk.film_desk import FilmDesk
from tests.desk.film_book import make_film_book, make_numbered_films
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


@pytest.fixture(scope="session")
def numbered_films(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Write the numbered films once."""
    return make_numbered_films(tmp_path_factory.mktemp("numbered"))


@pytest.fixture(scope="session")
def film_book_file(tmp_path_factory: pytest.TempPathFactory, numbered_films: Path) -> Path:
    """Make the book once, closed."""
    path = tmp_path_factory.mktemp("film book") / "film.gradecut"
    make_film_book(path, numbered_films).close()
    return path


@pytest.fixture
def film_book(tmp_path: Path, film_book_file: Path) -> Iterator[Book]:
    """Open a copy of the book."""
    path = tmp_path / "film.gradecut"
    shutil.copy(film_book_file, path)
    with open_book(path, author="Coach Alder") as book:
        yield book


@pytest.fixture
def film(film_book: Book, posted: Posted, said: list[str]) -> Iterator[FilmDesk]:
    """Sit down at the film."""
    desk = FilmDesk(film_book, posted, said.append)
    yield desk
    desk.close()
