"""Brings each page of the window into the states a reader meets."""

from __future__ import annotations

from collections.abc import Iterator

from PyQt6.QtTest import QTest

from gradecut.app.window import MainWindow

__all__ = ["page_states", "run", "take_man"]

_PATIENCE_MS, _STEP_MS = 20_000, 20

_TOGGLED = (
    "both angles at once", "draw on film", "look closely at what is flagged, or leave",
    "the film alone",
)  # fmt: skip
_ASKED = (
    "technique and effort", "facts of the look", "he played another fit", "he can't be graded",
    "how he lined up", "count an event", "my word on what he owed",
    "another man in, from here on", "another session", "move the pairing of angles",
)  # fmt: skip
"""What is done on the Film page before it is looked at: turned on, or a list opened."""
_DONE = {
    "Film": ("", *_TOGGLED, *_ASKED),
    "Scheme": ("", "list of fits; letters find one", "beside the grid: what if",
               "beside the grid: learn", "beside the grid: on film"),
    "Board": ("", "open the cell, or the rep on film"),
    "Teach": ("", "tomorrow's corrections"),
}  # fmt: skip
"""What is done on each page before it is looked at."""


def page_states(window: MainWindow, name: str) -> Iterator[str]:
    """Show a page as it opens, then in each of its states; returns what was done."""
    window.show_page(name)
    _rest(window)
    if name == "Scheme":
        assert window.desk is not None
        hand = window.desk.scheme.hand
        hand.take(hand.rows[0].key, hand.men[0])
    for done in _DONE[name]:
        if name == "Film":
            take_man(window)
        if done:
            run(window, done)
        yield done
        if done in _TOGGLED:
            run(window, done)
        elif done in _ASKED:
            run(window, "back one step")


def _rest(window: MainWindow) -> None:
    """Wait until nothing is counted or read beside the window: a page changes when it is there."""
    assert window.desk is not None
    for _ in range(_PATIENCE_MS // _STEP_MS):
        if not window.desk.jobs.busy:
            return
        QTest.qWait(_STEP_MS)
    raise AssertionError("what is worked at beside the window did not end")


def run(window: MainWindow, name: str) -> None:
    """Do what an action of the window or its page is called."""
    assert window.pages is not None
    every = (*window.pages.actions_here(), *window.actions_everywhere)
    next(action for action in every if action.name == name).run()


def take_man(window: MainWindow) -> None:
    """Take the first man of the play in hand."""
    assert window.desk is not None
    state = window.desk.film.state
    assert state is not None
    window.desk.film.hand.choose(state.men[0].position)
