"""The window on the whole screen, and back as it was."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QWidget

__all__ = ["turn_whole_screen"]


def turn_whole_screen(window: QWidget) -> None:
    """Let a window fill the screen, or give it its frame back, as large as it was before."""
    window.setWindowState(window.windowState() ^ Qt.WindowState.WindowFullScreen)
