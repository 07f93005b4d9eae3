from __future__ import annotations

from typing import Any

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QApplication

from gradecut.app.film_page import FilmPage
from gradecut.app.window import MainWindow

_F6 = Qt.Key.Key_F6


@pytest.fixture
def page(window: MainWindow) -> FilmPage:
    """Show the Film page, its first man in hand."""
    window.activateWindow()
    QApplication.processEvents()
    assert window.pages is not None
    shown = window.pages.pages["Film"]
    assert isinstance(shown, FilmPage)
    shown.setFocus()
    assert shown.film.state is not None
    shown.film.hand.choose(shown.film.state.men[0].position)
    return shown


def press(qtbot: Any, *keys: Qt.Key) -> None:
    """Press keys where the focus is."""
    for key in keys:
        qtbot.keyClick(QApplication.focusWidget(), key)


def test_the_keys_go_round_the_film_page(qtbot: Any, window: MainWindow, page: FilmPage) -> None:
    """F6 reaches the picture, the note and the header, then the page again; nothing is graded."""
    newest = window.line.undo.text()
    press(qtbot, _F6)
    assert page.look.keys.on
    press(qtbot, _F6)
    assert page.note.hasFocus()
    assert page.look.keys.here is None or not page.look.hasFocus()
    press(qtbot, _F6)
    assert window.header.pages["Film"].hasFocus()
    press(qtbot, _F6)
    assert page.hasFocus()
    assert window.line.undo.text() == newest


def test_the_header_is_worked_by_keys(qtbot: Any, window: MainWindow, page: FilmPage) -> None:
    """In the header arrows go along its buttons, Enter presses one and grades nothing."""
    frame = page.film.playhead.frame
    window.header.take_keys()
    press(qtbot, Qt.Key.Key_Right)
    assert window.header.pages["Scheme"].hasFocus()
    assert page.film.playhead.frame == frame
    press(qtbot, Qt.Key.Key_Tab, Qt.Key.Key_Return)
    assert window.pages is not None
    assert window.pages.name == "Board"


def test_escape_leaves_the_header(qtbot: Any, window: MainWindow, page: FilmPage) -> None:
    """Esc in the header gives the keys back to the page, and lets no man go."""
    window.header.take_keys()
    press(qtbot, Qt.Key.Key_Escape)
    assert page.hasFocus()
    assert page.film.hand.position
