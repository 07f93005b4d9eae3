"""Actions as Qt knows them: keys of the window, entries of the menu."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PyQt6.QtGui import QAction, QKeySequence
from PyQt6.QtWidgets import QMenu, QWidget

from gradecut.app.actions import Action, by_group

__all__ = ["as_key", "menu_of"]


def as_key(action: Action, parent: QWidget) -> QAction:
    """Return an action that answers to its keys."""
    made = QAction(action.name, parent)
    made.setShortcuts([QKeySequence(key) for key in action.keys])
    made.setAutoRepeat(action.repeats)
    made.triggered.connect(partial(_run, action))
    return made


def menu_of(actions: Sequence[Action], parent: QWidget) -> QMenu:
    """Return a menu with one menu below it for each group; keys are told, not bound again."""
    menu = QMenu(parent)
    for group, found in by_group(actions).items():
        below = QMenu(group, menu)
        menu.addMenu(below)
        for action in found:
            told = f"\t{QKeySequence(action.keys[0]).toString()}" if action.keys else ""
            entry = QAction(f"{action.name}{told}", below)
            entry.triggered.connect(partial(_run, action))
            below.addAction(entry)
    return menu


def _run(action: Action, _checked: bool = False) -> None:
    action.run()
