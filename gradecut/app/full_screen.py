"""The window on the whole screen, and back as it was."""

from __future__ import annotations

from PyQt6.QtCore import QRect
from PyQt6.QtWidgets import QWidget

__all__ = ["turn_whole_screen"]

_BEFORE = "place before it filled the screen"
_LARGE = "was as large as the screen lets it be"


def turn_whole_screen(window: QWidget) -> None:
    """Let a window fill the screen, or give it its frame back, as large as it was before.

    Its size is set here too: a screen without a window manager leaves it as it is.
    """
    screen = window.screen()
    if not window.isFullScreen():
        window.setProperty(_LARGE, window.isMaximized())
        window.setProperty(_BEFORE, window.geometry())
        if screen is not None:
            # Before the state: setting a place takes the state away again.
            window.setGeometry(screen.geometry())
        window.showFullScreen()
        return
    window.showNormal()
    before = window.property(_BEFORE)
    if isinstance(before, QRect):
        window.setGeometry(before)
    if window.property(_LARGE):
        window.showMaximized()
