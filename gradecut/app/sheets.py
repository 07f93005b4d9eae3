"""What opens over the window: all keys, the cautions, the menu."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PyQt6.QtCore import QPoint
from PyQt6.QtWidgets import QMenu

from gradecut.app.menu import window_menu

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["menu_here", "show_cautions", "show_first_start", "show_keys", "show_menu", "show_tour"]


def show_keys(window: MainWindow) -> None:
    """Show every action with its keys."""
    from gradecut.app.cheat_sheet import CheatSheet

    CheatSheet(window.all_actions(), window).open()


def show_tour(window: MainWindow) -> None:
    """Lead through the Film page in four steps."""
    from gradecut.app.tour import show_tour as lead

    if lead(window) is not None:
        window.remember(replace(window.remembered, tour_seen=True))


def show_cautions(window: MainWindow) -> None:
    """Show the cautions; closed once, they were read."""
    from gradecut.app.cautions_sheet import CautionsSheet

    def read() -> None:
        window.remember(replace(window.remembered, cautions_shown=True))

    sheet = CautionsSheet(window)
    sheet.finished.connect(read)
    sheet.open()


def show_first_start(window: MainWindow) -> None:
    """Show the cautions once on this computer."""
    if not window.remembered.cautions_shown:
        show_cautions(window)


def menu_here(window: MainWindow) -> QMenu:
    """Return the menu: what can be done anywhere, then what this page can do."""
    here = window.pages.actions_here() if window.pages else ()
    return window_menu(window.actions_everywhere, here, window)


def show_menu(window: MainWindow) -> None:
    """Open the menu below the book's name."""
    menu = menu_here(window)
    menu.aboutToHide.connect(menu.deleteLater)
    menu.popup(window.header.mapToGlobal(QPoint(8, window.header.height())))
