"""A window opened anew stands as the one before did, and is up before that one goes."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PyQt6.QtWidgets import QApplication

from gradecut.app.as_it_was import AsItWas, as_it_is, read_as_it_was, stand_as_it_was, words_of
from gradecut.app.film_page import FilmPage
from gradecut.app.opening_anew import HandingOver, stand_instead
from gradecut.app.theme import Dress
from gradecut.app.window import MainWindow
from gradecut.desk.remembered import Remembered
from tests.desk.conftest import film_book_file, numbered_films

__all__ = ["film_book_file", "numbered_films"]

Until = Callable[[Callable[[], bool]], None]


@pytest.fixture
def graded(closed_window: MainWindow, tmp_path: Path, film_book_file: Path) -> MainWindow:
    """Open the book of numbered films, a man of its last play in hand, the film stepped on."""
    path = tmp_path / "film.gradecut"
    shutil.copy(film_book_file, path)
    closed_window.open_path(str(path))
    assert closed_window.desk is not None
    assert closed_window.pages is not None
    film = closed_window.desk.film
    film.next_clip()
    film.hand.choose("Keel")
    film.other_angle()
    film.playhead.step(7)
    page = closed_window.pages.page("Film")
    assert isinstance(page, FilmPage)
    page.stage.loupe.on = True
    return closed_window


def test_play_man_angle_frame_and_loupe_are_as_they_were(
    graded: MainWindow, qapp: QApplication, dress: Dress, until: Until
) -> None:
    """He goes on with the very key he would have pressed."""
    told = as_it_is(graded)
    assert (told.page, told.position, told.loupe) == ("Film", "Keel", True)
    other = MainWindow(qapp, dress, remembered=Remembered(grader="Coach Alder"))
    other.open_path(told.path)
    stand_as_it_was(other, read_as_it_was(words_of(told)))
    other.show()
    until(lambda: as_it_is(other) == told)
    other.close()


def test_what_cannot_be_read_is_as_nothing() -> None:
    """A damaged note opens the window as usual."""
    for text in ("", "[]", '{"frame": "x"}', "{"):
        assert read_as_it_was(text) == AsItWas()


def test_a_play_gone_meanwhile_is_passed_over(graded: MainWindow) -> None:
    """The book opens where it would have."""
    stand_as_it_was(graded, AsItWas(clip_id="gone", position="Keel"))
    assert graded.desk is not None
    assert graded.desk.film.clip is not None


def test_the_old_window_goes_once_the_new_one_is_up(graded: MainWindow, until: Until) -> None:
    """It stays in use until the other is ready, and says where it stands only then."""
    heard: list[str] = []
    began: list[AsItWas] = []

    def stands() -> AsItWas:
        heard.append("asked")
        return AsItWas(clip_id="c1", frame=44)

    def ends(how: str) -> Callable[[], None]:
        return lambda: heard.append(how)

    words: list[list[str]] = []
    over = HandingOver(
        graded, lambda told: not words.append(told), stands, ends("done"), ends("failed")
    )
    assert words == [["--instead", str(over.folder)]]
    assert heard == []

    def begin(told: AsItWas) -> None:
        assert heard == ["asked"]
        began.append(told)

    stand_instead(graded, over.folder, begin)
    until(lambda: len(heard) == 2)
    assert heard == ["asked", "done"]
    assert began == [AsItWas(clip_id="c1", frame=44)]
    assert not over.folder.exists()


def test_a_process_that_does_not_start_leaves_the_window(graded: MainWindow, until: Until) -> None:
    """It is told, and nothing else happens."""
    heard: list[str] = []
    HandingOver(
        graded, lambda _: False, AsItWas, lambda: heard.append("done"),
        lambda: heard.append("failed"),
    )  # fmt: skip
    until(lambda: heard == ["failed"])
