"""F9 and F7 hand out what is graded now, on every page of the window."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import Qt, QUrl
from PyQt6.QtGui import QDesktopServices

from gradecut.app.window import MainWindow
from gradecut.workflows import printing

Until = Callable[[Callable[[], bool]], None]


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """Gather the folders the computer is asked to show; start no browser."""
    found: list[str] = []
    monkeypatch.setattr(printing, "browser_here", lambda: None)

    def show(url: QUrl) -> bool:
        found.append(url.toLocalFile())
        return True

    monkeypatch.setattr(QDesktopServices, "openUrl", show)
    return found


def test_one_key_each_on_any_page(
    window: MainWindow, qtbot: Any, until: Until, opened: list[str], book_path: Path
) -> None:
    """F9 on the Film page, F7 on the Board page; Shift+F9 shows the folder written to last."""
    desk = window.desk
    assert desk is not None
    window.activateWindow()
    qtbot.keyClick(window, Qt.Key.Key_F9)
    until(lambda: desk.walking_out.folder is not None)
    home = book_path.parent / "small handouts"
    assert window.line.sentence.startswith("The staff's page: 2 flagged reps, 2 stills")
    window.show_page("Board")
    qtbot.keyClick(window, Qt.Key.Key_F7)
    until(lambda: desk.walking_out.folder == home / "For the players")
    assert window.line.sentence.startswith("The players' reel: 2 reps")
    qtbot.keyClick(window, Qt.Key.Key_F9, Qt.KeyboardModifier.ShiftModifier)
    assert opened == [str(home / "For the players")]
    assert (home / "For the staff" / "Monday 2026-10-05.html").stat().st_size > 20_000


def test_before_anything_is_written_the_keys_are_told(
    window: MainWindow, qtbot: Any, opened: list[str]
) -> None:
    """And without a book a sentence says what is missing."""
    window.activateWindow()
    qtbot.keyClick(window, Qt.Key.Key_F9, Qt.KeyboardModifier.ShiftModifier)
    assert "F9 writes the staff's page" in window.line.sentence
    window.close_book()
    for key in (Qt.Key.Key_F9, Qt.Key.Key_F7):
        qtbot.keyClick(window, key)
        assert window.line.sentence.startswith("Open a book first")
    assert opened == []
