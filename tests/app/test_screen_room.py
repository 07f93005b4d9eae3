"""The window fits the free part of its screen, frame and title bar included."""

from __future__ import annotations

from PyQt6.QtCore import QPoint, QRect, QSize

from gradecut.app.screen_room import fit_screen, fitted
from gradecut.app.window import MainWindow

SCREEN = QRect(0, 0, 1280, 720)


def test_a_window_as_large_as_the_screen_leaves_room_for_its_frame() -> None:
    """A title bar of 20 px above, a border of 1 px beside and 5 px below: all of it is seen."""
    inner, outer = QSize(1280, 720), QRect(0, 0, 1282, 745)
    size, corner = fitted(inner, outer, SCREEN)
    assert size == QSize(1278, 695)
    assert corner == QPoint(0, 0)


def test_a_window_that_reaches_off_the_screen_is_brought_in() -> None:
    """Below a bar of the desktop too; its size stays where there is room for it."""
    room = QRect(0, 30, 1920, 1050)
    size, corner = fitted(QSize(1456, 819), QRect(900, 400, 1458, 844), room)
    assert size == QSize(1456, 819)
    assert corner == QPoint(1920 - 1458, 1080 - 844)
    assert fitted(QSize(800, 600), QRect(-40, 0, 802, 625), room)[1] == QPoint(0, 30)


def test_a_window_with_room_stays_as_it_is() -> None:
    """Nothing is moved under the coach's hands."""
    outer = QRect(72, 48, 1458, 844)
    assert fitted(QSize(1456, 819), outer, QRect(0, 0, 1920, 1080)) == (
        QSize(1456, 819), outer.topLeft(),
    )  # fmt: skip


def test_the_real_window_gets_no_larger_than_its_screen(closed_window: MainWindow) -> None:
    """Its least size gives way as well."""
    screen = closed_window.screen()
    assert screen is not None
    room = screen.availableGeometry()
    closed_window.resize(room.size() + QSize(300, 300))
    fit_screen(closed_window, QSize(853, 480))
    assert room.contains(closed_window.frameGeometry())
