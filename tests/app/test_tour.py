"""Whoever sees the Film page first is led through it, and is never held up."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QApplication

from gradecut.app.sheets import show_tour
from gradecut.app.start_page import StartPage
from gradecut.app.tour import STEPS, Tour
from gradecut.app.window import MainWindow


@pytest.fixture
def tour(window: MainWindow) -> Tour:
    """Lead through the small book."""
    window.resize(1456, 819)
    window.activateWindow()
    QApplication.processEvents()
    show_tour(window)
    found = window.findChild(Tour)
    assert found is not None
    return found


def press(qtbot: Any, tour: Tour, key: Qt.Key) -> None:
    """Press a key on the tour."""
    qtbot.keyClick(tour, key)


def test_four_steps_each_beside_what_it_tells_of(qtbot: Any, tour: Tour) -> None:
    """Enter goes on four times; the card never covers what it tells of, nor leaves the window."""
    seen = []
    for _ in range(4):
        seen.append(tour.title.text())
        card = tour.card.geometry()
        assert tour.rect().contains(card)
        assert not card.intersects(tour.clear_rect())
        assert tour.title.text() in tour.accessibleDescription()
        press(qtbot, tour, Qt.Key.Key_Return)
    assert seen == [step.title for step in STEPS]
    assert not tour.isVisible()


def test_the_tour_is_left_at_once(qtbot: Any, window: MainWindow, tour: Tour) -> None:
    """Esc on the first step leaves; nothing was graded and it is not shown again by itself."""
    assert window.desk is not None
    before = window.desk.film.clip
    press(qtbot, tour, Qt.Key.Key_Escape)
    assert not tour.isVisible()
    assert window.desk.film.clip == before
    assert window.remembered.tour_seen


def test_keys_are_the_tours_while_it_is_shown(qtbot: Any, window: MainWindow, tour: Tour) -> None:
    """Enter goes on in the tour, and lets no play through; arrows go back and forth."""
    assert window.desk is not None
    before = window.desk.film.clip
    press(qtbot, tour, Qt.Key.Key_Right)
    press(qtbot, tour, Qt.Key.Key_Left)
    assert tour.step == 0
    press(qtbot, tour, Qt.Key.Key_Return)
    assert (tour.step, window.desk.film.clip) == (1, before)


def test_without_a_play_it_is_said(closed_window: MainWindow) -> None:
    """No book, no tour: one sentence says what to open."""
    show_tour(closed_window)
    assert closed_window.findChild(Tour) is None
    assert "open a book" in closed_window.line.sentence
    assert not closed_window.remembered.tour_seen


def test_the_first_start_leads_to_the_sample_week_and_through_it(
    qtbot: Any,
    closed_window: MainWindow,
    until: Callable[[Callable[[], bool]], None],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """One press of the start page's button builds it, shows its first play and begins the tour.

    A second press of the same button, once the book is there, opens it without leading again.
    """
    monkeypatch.setattr(
        "gradecut.desk.remembered.sample_book_file", lambda: tmp_path / "sample.gradecut"
    )
    closed_window.activateWindow()
    start = closed_window.findChild(StartPage)
    assert start is not None
    start.sample.setFocus()
    qtbot.keyClick(start.sample, Qt.Key.Key_Space)
    until(lambda: closed_window.findChild(Tour) is not None)
    tour = closed_window.findChild(Tour)
    assert tour is not None
    assert tour.title.text() == STEPS[0].title
    assert closed_window.desk is not None
    assert closed_window.desk.film.plays.line.boxes
    until(lambda: closed_window.desk is not None and closed_window.desk.film.playhead.found)
    press(qtbot, tour, Qt.Key.Key_Escape)
    assert not tour.isVisible()
    closed_window.close_book()
    qtbot.keyClick(start.sample, Qt.Key.Key_Space)
    until(lambda: closed_window.desk is not None)
    assert not any(one.isVisible() for one in closed_window.findChildren(Tour))
