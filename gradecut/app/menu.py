"""Actions as Qt knows them: keys of the window, entries of the menu."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QAction, QKeySequence
from PyQt6.QtWidgets import QMenu, QWidget

from gradecut.app.actions import Action, by_group, told_keys

__all__ = ["as_key", "menu_of", "window_menu"]

_THIS_PAGE = "This page"


def as_key(action: Action, parent: QWidget) -> QAction:
    """Return an action that answers to its keys."""
    made = QAction(action.name, parent)
    made.setShortcuts([QKeySequence(key) for key in action.keys])
    made.setAutoRepeat(action.repeats)
    made.triggered.connect(partial(_run, action))
    return made


def menu_of(actions: Sequence[Action], parent: QWidget) -> QMenu:
    """Return a menu with one menu below it for each group; keys are told, not bound again."""
    menu = _rounded("", parent)
    _add_groups(menu, by_group(actions))
    return menu


def window_menu(anywhere: Sequence[Action], here: Sequence[Action], parent: QWidget) -> QMenu:
    """Return the window's menu: the groups that every page shares, then what this page can do."""
    menu = menu_of(anywhere, parent)
    if here:
        page = _rounded(_THIS_PAGE, menu)
        menu.addMenu(page)
        grouped = by_group(here)
        if len(grouped) == 1:
            _add_entries(page, here)
        else:
            _add_groups(page, grouped)
    return menu


def _add_groups(menu: QMenu, grouped: Mapping[str, Sequence[Action]]) -> None:
    for group, found in grouped.items():
        below = _rounded(group, menu)
        menu.addMenu(below)
        _add_entries(below, found)


def _add_entries(menu: QMenu, actions: Sequence[Action]) -> None:
    for action in actions:
        told = f"\t{told_keys(action)[0]}" if action.keys else ""
        entry = QAction(f"{action.name}{told}", menu)
        entry.triggered.connect(partial(_run, action))
        menu.addAction(entry)


def _rounded(title: str, parent: QWidget) -> QMenu:
    """Return a menu whose corners show what lies below it."""
    menu = QMenu(title, parent)
    menu.setWindowFlag(Qt.WindowType.FramelessWindowHint)
    menu.setWindowFlag(Qt.WindowType.NoDropShadowWindowHint)
    menu.setAttribute(Qt.WidgetAttribute.WA_TranslucentBackground)
    return menu


def _run(action: Action, _checked: bool = False) -> None:
    action.run()
