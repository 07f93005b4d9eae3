"""Starts the window as a coach does who reads at 150 %; run as a program, tells what is cut.

Its arguments are a book, a folder of films beside it, and a recording.
"""

from __future__ import annotations

import json
import sys
import time
import traceback
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PyQt6.QtCore import QTimer
from PyQt6.QtWidgets import QApplication

from gradecut.app import opening
from gradecut.app.leaving import leave_with
from gradecut.app.window import MainWindow
from gradecut.app.window_actions import PAGES
from tests.app.all_sheets import SHEETS, Place, leave_sheets, open_sheet, too_large
from tests.app.page_states import page_states
from tests.app.seen_words import word_faults

BOOK, FILMS, RECORDING = (Path(one) for one in sys.argv[1:4])
TOLD: dict[str, Any] = {"faults": []}


class Watched(MainWindow):
    """The window, looked through as soon as its book is open."""

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        QTimer.singleShot(0, self.begin)

    def begin(self) -> None:
        """Look everything through, then leave."""
        try:
            until(lambda: self.desk is not None and self.pages is not None)
            settle(1.0)
            look_through(self)
        except Exception:  # noqa: BLE001 - told to whoever started the program
            TOLD["faults"].append(traceback.format_exc())
        leave_sheets()
        self.close()


def look_through(window: MainWindow) -> None:
    """Show every page in each of its states, and open every form and sheet."""
    screen = window.screen()
    assert screen is not None
    TOLD["ratio"] = window.devicePixelRatioF()
    TOLD["screen"] = [screen.size().width(), screen.size().height()]
    for name, _ in PAGES:
        for state in page_states(window, name):
            TOLD["faults"] += [f"{name} {state}: {one}" for one in word_faults(window)]
    TOLD["window"] = [window.width(), window.height()]
    place = Place(window, until, BOOK.parent, FILMS, RECORDING)
    for name in SHEETS:
        sheet = open_sheet(place, name)
        told = [*map(str, word_faults(sheet)), *too_large(sheet, window)]
        TOLD["faults"] += [f"{name}: {one}" for one in told]
        leave_sheets()
    TOLD["sheets"] = len(SHEETS)


def until(done: Callable[[], bool]) -> None:
    """Let the window's loop run until something holds."""
    last = time.monotonic() + 30
    while not done():
        if time.monotonic() > last:
            raise TimeoutError("what was waited for never came")
        QApplication.processEvents()


def settle(seconds: float) -> None:
    """Let the loop run for a while: the window is fitted to its screen in rounds."""
    last = time.monotonic() + seconds
    until(lambda: time.monotonic() > last)


if __name__ == "__main__":
    opening.MainWindow = Watched  # type: ignore[misc]
    code = opening.open_on_display(str(BOOK))
    sys.stdout.write(json.dumps(TOLD))
    leave_with(code)
