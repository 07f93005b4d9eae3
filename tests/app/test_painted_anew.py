"""Only what looks otherwise than before is painted anew."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PyQt6.QtWidgets import QApplication

from gradecut.app.film_page import FilmPage
from gradecut.app.window import MainWindow
from gradecut.desk.plays_line import PlaysLine
from gradecut.records import Clip
from tests.desk.conftest import film_book_file, numbered_films

__all__ = ["film_book_file", "numbered_films"]

Until = Callable[[Callable[[], bool]], None]


@pytest.fixture
def page(closed_window: MainWindow, tmp_path: Path, film_book_file: Path, until: Until) -> FilmPage:
    """Show the Film page of a book of numbered films, painted once."""
    path = tmp_path / "film.gradecut"
    shutil.copy(film_book_file, path)
    closed_window.resize(1456, 819)
    closed_window.open_path(str(path))
    closed_window.show()
    shown = closed_window.pages.page("Film")  # type: ignore[union-attr]
    assert isinstance(shown, FilmPage)
    until(lambda: shown.plays.painted > 0)
    return shown


def test_one_play_that_changed_is_painted_with_its_neighbours(page: FilmPage, until: Until) -> None:
    """Of a long line's boxes the one that was graded, and what the counts touch."""
    clips = [Clip(session_id="s", order=number) for number in range(1, 161)]
    line = page.film.plays.line = PlaysLine.unread(clips, "s")
    page.plays.show_plays()
    until(lambda: page.plays.painted > 10)
    QApplication.processEvents()
    line.put(replace(line.boxes[7], status="done"))
    page.plays.show_plays()
    until(lambda: 1 <= page.plays.painted <= 4)
    assert any(one.tip == "Play 8: all right" for one in page.plays.spots)


def test_the_same_picture_of_the_look_is_drawn_once(page: FilmPage) -> None:
    """A list that is opened leaves the picture alone; another man in hand is another picture."""
    before = page.look.ready()
    page.film.hand.open_facts()
    assert page.look.ready() is before
    page.film.hand.choose(page.film.state.men[0].position)  # type: ignore[union-attr]
    assert page.look.ready() is not before
