from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from gradecut.book import Book, open_book


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """Name a book that is not there yet."""
    return tmp_path / "week.gradecut"


@pytest.fixture
def book(path: Path) -> Iterator[Book]:
    """Start an empty book."""
    with open_book(path, create=True, author="Coach Alder") as opened:
        yield opened
