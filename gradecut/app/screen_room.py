"""The window fits the free part of its screen, its frame and title bar included."""

from __future__ import annotations

from PyQt6.QtCore import QPoint, QRect, QSize, QTimer
from PyQt6.QtWidgets import QWidget

__all__ = ["fit_screen", "fitted", "keep_on_screen"]

_WAITS_MS = (60, 150, 300, 700, 1000)
"""A window manager puts the frame around a window some time after it is shown."""


def keep_on_screen(window: QWidget, least: QSize) -> None:
    """Fit a window that is being shown, as soon as its frame is known."""
    waits_ms = iter(_WAITS_MS)
    look = QTimer(window)
    look.setSingleShot(True)

    def again() -> None:
        fit_screen(window, least)
        wait_ms = next(waits_ms, None)
        # Begun anew each time: while a book is opened several waits would end at once, unheard
        # what the window manager says meanwhile.
        if wait_ms is None:
            look.deleteLater()
        else:
            look.start(wait_ms)

    look.timeout.connect(again)
    look.start(0)


def fit_screen(window: QWidget, least: QSize) -> None:
    """Make a window smaller, and bring it in, where it or its frame reaches off the screen."""
    screen = window.screen()
    if screen is None or not window.isVisible():
        return
    if window.isMaximized() or window.isFullScreen() or window.isMinimized():
        return
    inner, outer = window.geometry(), window.frameGeometry()
    size, corner = fitted(inner.size(), outer, screen.availableGeometry())
    window.setMinimumSize(least.boundedTo(size))
    if size != inner.size():
        window.resize(size)
    if corner != outer.topLeft():
        window.move(corner)


def fitted(inner: QSize, outer: QRect, room: QRect) -> tuple[QSize, QPoint]:
    """Return the size a window can have, and where its frame's corner is to lie.

    Parameters
    ----------
    inner : QSize
        Of the window without its frame.
    outer, room : QRect
        Of the window with its frame, and of the free part of the screen.
    """
    frame = outer.size() - inner
    size = inner.boundedTo(room.size() - frame)
    whole = size + frame
    return size, QPoint(
        max(min(outer.x(), room.right() + 1 - whole.width()), room.x()),
        max(min(outer.y(), room.bottom() + 1 - whole.height()), room.y()),
    )
