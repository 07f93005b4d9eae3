"""Shift and a letter turn a fact of the look over: keys for the facts of the scheme in force."""

from __future__ import annotations

from functools import partial

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QKeyEvent

from gradecut.app.actions import Action
from gradecut.desk.film_desk import FilmDesk
from gradecut.scheme import fact_words

__all__ = ["fact_actions", "shifted_letter"]

_SHIFT = Qt.KeyboardModifier.ShiftModifier


def fact_actions(film: FilmDesk) -> tuple[Action, ...]:
    """Return an action for each fact that has a letter, for keys, menu and cheat sheet."""
    letters = film.state.fact_letters if film.state else {}
    return tuple(
        Action(
            name=fact_words(reference),
            keys=(f"Shift+{letter}",),
            group="Change the look",
            run=partial(film.telling.turn_over, letter),
        )
        for reference, letter in letters.items()
    )


def shifted_letter(event: QKeyEvent) -> str:
    """Return the letter that was pressed with Shift alone; empty for any other key."""
    key = event.key()
    if event.modifiers() == _SHIFT and Qt.Key.Key_A <= key <= Qt.Key.Key_Z:
        return chr(key)
    return ""
