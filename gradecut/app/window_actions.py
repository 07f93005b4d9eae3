"""What can be done anywhere in the window."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from gradecut.app.actions import Action
from gradecut.app.full_screen import turn_whole_screen

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["PAGES", "window_actions"]

PAGES = (("Film", "F1"), ("Scheme", "F2"), ("Board", "F3"), ("Teach", "F4"))
"""The pages in the order of the header, each with its key."""


def window_actions(window: MainWindow) -> tuple[Action, ...]:
    """Return the table of actions that every page shares."""
    from gradecut.app import coach_doors, forms, sheets, walking_doors
    from gradecut.app.parts_round import go_round
    from gradecut.app.text_size import change_text_size

    go = [
        Action(
            name=f"go to {name}",
            keys=(key, f"Ctrl+{number}"),
            group="Window",
            run=partial(window.show_page, name),
        )
        for number, (name, key) in enumerate(PAGES, start=1)
    ]
    return (
        Action(name="open a book", keys=("Ctrl+O",), group="Book",
               run=partial(forms.choose_book, window)),
        Action(name="make a new book", keys=("Ctrl+N",), group="Book",
               run=partial(forms.ask_new_book, window)),
        Action(name="add film", keys=("Ctrl+Shift+A",), group="Book",
               run=partial(forms.ask_film, window)),
        Action(name="bring in a roster", keys=("Ctrl+R",), group="Book",
               run=partial(forms.choose_roster, window)),
        Action(name="find films that were moved", group="Book",
               run=partial(forms.choose_moved, window)),
        Action(name="send my grades to another coach (hand-off)", group="Book",
               run=partial(coach_doors.ask_hand_off, window)),
        Action(name="bring in another coach's grades (hand-off)", group="Book",
               run=partial(coach_doors.choose_hand_off, window)),
        Action(name="say who grades", group="Book", run=partial(forms.ask_grader, window)),
        Action(name="close the book", keys=("Ctrl+W",), group="Book", run=window.close_book),
        Action(name="page for the staff's meeting", keys=("F9",), group="Hand out",
               run=partial(walking_doors.write_staff_page, window)),
        Action(name="reel for the players", keys=("F7",), group="Hand out",
               run=partial(walking_doors.write_reel, window)),
        Action(name="open the folder of what was handed out", keys=("Shift+F9",), group="Hand out",
               run=partial(walking_doors.show_written, window)),
        *go,
        Action(name="undo", keys=("Ctrl+Z",), group="Window", run=window.undo),
        Action(name="redo", keys=("Ctrl+Shift+Z", "Ctrl+Y"), group="Window",
               run=window.redo),
        Action(name="stop the work", keys=("Ctrl+.",), group="Window", run=window.stop_work),
        Action(name="next part of the window", keys=("F6",), group="Window",
               run=partial(go_round, window)),
        Action(name="part of the window before", keys=("Shift+F6",), group="Window",
               run=partial(go_round, window, -1)),
        Action(name="menu", keys=("F10",), group="Window", run=partial(sheets.show_menu, window)),
        Action(name="all keys", keys=("?",), group="Window",
               run=partial(sheets.show_keys, window)),
        Action(name="tour of the Film page", group="Window",
               run=partial(sheets.show_tour, window)),
        Action(name="cautions", group="Window", run=partial(sheets.show_cautions, window)),
        Action(name="whole screen", keys=("F11",), group="Window",
               run=partial(turn_whole_screen, window)),
        Action(name="dark or light", keys=("Ctrl+D",), group="Window",
               run=window.change_theme),
        Action(name="larger text", keys=("Alt+=", "Alt++"), group="Window",
               run=partial(change_text_size, window, 1)),
        Action(name="smaller text", keys=("Alt+-",), group="Window",
               run=partial(change_text_size, window, -1)),
        Action(name="leave gradecut", keys=("Ctrl+Q",), group="Window", run=window.close),
    )  # fmt: skip
