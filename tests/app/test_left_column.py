"""In a low window, or with large text, what is asked stays in sight."""

from __future__ import annotations

from typing import Any

import pytest
from PyQt6.QtCore import QRect, Qt
from PyQt6.QtWidgets import QApplication, QWidget

from gradecut.app.film_page import FilmPage
from gradecut.app.window import MainWindow


@pytest.fixture
def page(window: MainWindow) -> FilmPage:
    """Show the Film page in the smallest window there is: 1280 x 720 with text at 150 %."""
    window.resize(853, 480)
    window.activateWindow()
    QApplication.processEvents()
    assert window.pages is not None
    shown = window.pages.pages["Film"]
    assert isinstance(shown, FilmPage)
    shown.setFocus()
    return shown


def seen(part: QWidget) -> bool:
    """Tell whether all of a part is in sight."""
    QApplication.processEvents()
    return part.visibleRegion().boundingRect() == QRect(0, 0, part.width(), part.height())


def test_the_window_may_be_as_small_as_the_least_screen(page: FilmPage) -> None:
    """853 x 480 is given, and nothing in the column is squeezed below what it needs."""
    assert (page.window().width(), page.window().height()) == (853, 480)
    for part in (page.ask, page.men, page.points, page.owed):
        assert part.height() >= part.sizeHint().height()


def test_what_is_asked_is_in_sight(qtbot: Any, page: FilmPage) -> None:
    """A man's number brings his misses into sight; with nobody in hand the picture is back."""
    qtbot.keyClick(page, Qt.Key.Key_2)
    assert page.film.hand.position
    qtbot.waitUntil(lambda: seen(page.ask))
    qtbot.keyClick(page, Qt.Key.Key_Escape)
    QApplication.processEvents()
    assert page.look.visibleRegion().boundingRect().top() == 0
