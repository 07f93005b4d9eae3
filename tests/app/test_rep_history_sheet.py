"""Ctrl+H: the history of the man in hand, read by keys."""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QApplication

from gradecut.app.film_page import FilmPage
from gradecut.app.rep_history_sheet import RepHistorySheet
from gradecut.app.window import MainWindow
from tests.app.test_film_page import key
from tests.desk.conftest import film_book_file, numbered_films

__all__ = ["film_book_file", "numbered_films"]


@pytest.fixture
def page(qtbot: Any, closed_window: MainWindow, tmp_path: Path, film_book_file: Path) -> FilmPage:
    """Show the Film page on a book of numbered films."""
    path = tmp_path / "film.gradecut"
    shutil.copy(film_book_file, path)
    closed_window.open_path(str(path))
    assert closed_window.pages is not None
    shown = closed_window.pages.page("Film")
    assert isinstance(shown, FilmPage)
    closed_window.activateWindow()
    shown.setFocus()
    qtbot.waitUntil(shown.hasFocus)
    return shown


@pytest.fixture
def sheet(qtbot: Any, page: FilmPage) -> RepHistorySheet:
    """Judge Keel twice, take the second back, and open his history."""
    assert page.hasFocus()
    key(qtbot, "2", "1", "2", "2", "2", "Ctrl+Z", "2", "Ctrl+H")
    shown = QApplication.activeModalWidget()
    assert isinstance(shown, RepHistorySheet)
    return shown


def told(sheet: RepHistorySheet) -> list[str]:
    """Return what each row says."""
    rows = (sheet.list.item(at) for at in range(sheet.list.count()))
    return [row.data(Qt.ItemDataRole.AccessibleTextRole) for row in rows if row is not None]


def test_the_newest_act_stands_first(sheet: RepHistorySheet) -> None:
    """Who, what before and after; what was taken back says so, and is not lost."""
    assert sheet.windowTitle().startswith("History of Keel ")
    newest, before, *_, first = told(sheet)
    assert "Coach Alder: take back “grade Keel on play 1”." in newest
    assert "(taken back since)" in before
    assert "ran past it, then" in before
    assert "look: " in first


def test_it_is_read_and_closed_by_keys(qtbot: Any, page: FilmPage, sheet: RepHistorySheet) -> None:
    """Arrows go through it, the same key or Esc closes it, and the page has the keys again."""
    assert sheet.list.hasFocus()
    key(qtbot, "Down")
    assert sheet.list.currentRow() == 1
    sheet.grab()
    key(qtbot, "Escape")
    assert QApplication.activeModalWidget() is None
    page.window().activateWindow()
    qtbot.waitUntil(page.hasFocus)
    key(qtbot, "Ctrl+H")
    again = QApplication.activeModalWidget()
    assert isinstance(again, RepHistorySheet)
    again.activateWindow()
    qtbot.waitUntil(again.isActiveWindow)
    key(qtbot, "Ctrl+H")
    assert not again.isVisible()
    assert page.film.hand.position == "Keel"


def test_the_plays_acts_can_be_left_out(sheet: RepHistorySheet) -> None:
    """One button leaves what was done to him alone."""
    count = sheet.list.count()
    assert sheet.play_too.isChecked()
    sheet.play_too.click()
    assert all("look: " not in one or "who: " in one for one in told(sheet))
    sheet.play_too.click()
    assert sheet.list.count() == count


def test_a_long_note_is_not_cut(qtbot: Any, page: FilmPage) -> None:
    """A row is as high as its words: a note of several lines stands whole."""
    key(qtbot, "2", "1", "2")
    page.film.judging.note("Stayed on the near guard and never saw the far one. " * 8)
    key(qtbot, "Ctrl+H")
    shown = QApplication.activeModalWidget()
    assert isinstance(shown, RepHistorySheet)
    long, short = (shown.list.visualItemRect(shown.list.item(at)).height() for at in (0, 1))
    assert long > short + 40
    shown.grab()
    shown.reject()


def test_without_a_man_he_is_told_what_to_do(qtbot: Any, page: FilmPage) -> None:
    """No man in hand: no sheet, one sentence."""
    key(qtbot, "Ctrl+H")
    assert QApplication.activeModalWidget() is None
    window = page.window()
    assert isinstance(window, MainWindow)
    assert window.line.sentence == "Choose a man first: press his number, or Tab."
