"""The window's tests run without a display, and fail on any warning Qt gives."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import QEvent, QtMsgType
from PyQt6.QtWidgets import QApplication

from gradecut.app.film_page import FilmPage
from gradecut.app.leaving import leave_with
from gradecut.app.scheme_page import SchemePage
from gradecut.app.theme import DARK_THEME, Dress, load_type
from gradecut.app.window import MainWindow
from gradecut.desk.remembered import Remembered
from tests.app.long_words import GRADER, write_long
from tests.desk.conftest import book, film_book_file, films, numbered_films, whole_book

__all__ = ["book", "film_book_file", "films", "numbered_films", "whole_book"]

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

_SERIOUS = (QtMsgType.QtWarningMsg, QtMsgType.QtCriticalMsg, QtMsgType.QtFatalMsg)
_OF_THE_PLATFORM = ("This plugin does not support",)
"""What Qt's displayless platform says of itself whenever a window is shown."""


def pytest_sessionfinish(exitstatus: int) -> None:
    """End with what the tests came to, not with how Qt's objects are taken apart."""
    leave_with(int(exitstatus))


@pytest.fixture(autouse=True)
def no_qt_warning(qtlog: Any) -> Iterator[None]:
    """Fail a test during which Qt gave a warning."""
    yield
    told = [record.message for record in qtlog.records if record.type in _SERIOUS]
    assert [one for one in told if not one.startswith(_OF_THE_PLATFORM)] == []


@pytest.fixture(scope="session")
def dress(qapp: QApplication) -> Dress:
    """Load the type and wear the dark theme."""
    load_type()
    worn = Dress()
    worn.put_on(DARK_THEME, qapp)
    return worn


@pytest.fixture
def closed_window(
    qapp: QApplication, dress: Dress, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> Iterator[MainWindow]:
    """Show the window without a book, as large as a test wants it.

    The screen of a computer without a display is 800 by 800, less than any it is made for.
    """
    monkeypatch.setattr("gradecut.app.window.keep_on_screen", lambda *_: None)
    told = Remembered(grader="Coach Alder", cautions_shown=True, plays_run=False)
    window = MainWindow(qapp, dress, remembered=told, memory=tmp_path / "window.json")
    window.resize(1456, 819)
    window.show()
    yield window
    window.close()
    window.deleteLater()
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


@pytest.fixture
def book_path(tmp_path: Path, book: Any) -> Path:
    """Return the path of a copy of the small book, closed."""
    book.close()
    return tmp_path / "small.gradecut"


@pytest.fixture
def window(closed_window: MainWindow, book_path: Path) -> MainWindow:
    """Show the window with the small book open."""
    closed_window.open_path(str(book_path))
    return closed_window


@pytest.fixture
def long_window(closed_window: MainWindow, book_path: Path) -> MainWindow:
    """Show the window with a book of long names."""
    write_long(book_path)
    closed_window.open_path(str(book_path))
    closed_window.set_grader(GRADER)
    return closed_window


@pytest.fixture
def until(qtbot: Any) -> Callable[[Callable[[], bool]], None]:
    """Let the window's loop run until something holds."""

    def wait(done: Callable[[], bool]) -> None:
        qtbot.waitUntil(done, timeout=30_000)

    return wait


@pytest.fixture
def page(window: MainWindow, until: Callable[[Callable[[], bool]], None]) -> SchemePage:
    """Show the Scheme page, audited once; pages of other tests go by fixtures of their own."""
    window.activateWindow()
    window.show_page("Scheme")
    assert window.pages is not None
    shown = window.pages.pages["Scheme"]
    assert isinstance(shown, SchemePage)
    until(lambda: not shown.scheme.audit.running)
    return shown


@pytest.fixture
def numbered_film_page(
    closed_window: MainWindow,
    tmp_path: Path,
    film_book_file: Path,
    until: Callable[[Callable[[], bool]], None],
) -> FilmPage:
    """Show the Film page at the first frame of a book of numbered films."""
    path = tmp_path / "film.gradecut"
    shutil.copy(film_book_file, path)
    closed_window.resize(1456, 819)
    closed_window.open_path(str(path))
    shown = closed_window.pages.page("Film")  # type: ignore[union-attr]
    assert isinstance(shown, FilmPage)
    shown.setFocus()
    until(lambda: shown.film.playhead.shown == 0 and not shown.film.playhead.rough)
    return shown
