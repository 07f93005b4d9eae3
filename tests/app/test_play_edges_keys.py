"""Edges of a play moved with real keys on the Film page, and taken back."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PyQt6.QtCore import Qt

from gradecut.app.film_page import FilmPage
from gradecut.app.window import MainWindow
from tests.desk.conftest import film_book_file, numbered_films
from tests.desk.film_book import FRAMES

__all__ = ["film_book_file", "numbered_films"]

_CTRL, _SHIFT = Qt.KeyboardModifier.ControlModifier, Qt.KeyboardModifier.ShiftModifier


def test_edges_move_with_keys_and_come_back(
    closed_window: MainWindow,
    tmp_path: Path,
    film_book_file: Path,
    qtbot: Any,
    until: Callable[[Callable[[], bool]], None],
) -> None:
    """[ and Shift End at the frame on stage, Ctrl Home for more; Ctrl Z takes each back."""
    path = tmp_path / "film.gradecut"
    shutil.copy(film_book_file, path)
    closed_window.open_path(str(path))
    assert closed_window.pages is not None
    page = closed_window.pages.page("Film")
    assert isinstance(page, FilmPage)
    page.setFocus()
    head = page.film.playhead

    def stand(frame: int) -> None:
        head.seek(frame)
        until(lambda: head.shown == frame)

    stand(30)
    qtbot.keyClick(page, Qt.Key.Key_BracketLeft)
    stand(60)
    qtbot.keyClick(page, Qt.Key.Key_End, _SHIFT)
    assert (head.first, head.last) == (30, 60)
    qtbot.keyClick(page, Qt.Key.Key_Home, _CTRL)
    assert (head.first, head.last, head.frame) == (15, 60, 15)
    until(lambda: head.shown == 15)
    for _ in range(3):
        qtbot.keyClick(page, Qt.Key.Key_Z, _CTRL)
    assert (head.first, head.last) == (0, FRAMES - 2)
