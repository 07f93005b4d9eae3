"""What two coaches need of each other, opened over the window."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QFileDialog

from gradecut.desk.saying import Refusal

if TYPE_CHECKING:
    from gradecut.app.page import Page
    from gradecut.app.window import MainWindow

__all__ = ["ask_hand_off", "choose_hand_off", "hold_hand_off", "show_beside"]

_FILES = "Hand-offs (*.hand);;All files (*)"


def ask_hand_off(window: MainWindow) -> None:
    """Ask what goes to a colleague, and write it."""
    from gradecut.app.hand_off_form import HandOffForm

    if window.desk is None:
        window.say(Refusal("Open a book first; the grades in it are what is sent."))
        return
    HandOffForm(window, window.desk).open()


def choose_hand_off(window: MainWindow) -> None:
    """Choose a colleague's hand-off and show what differs."""
    desk = window.desk
    if desk is None:
        window.say(Refusal("Open a book first; the other coach's grades come into it."))
        return
    beside = str(desk.book.path.parent)
    path, _ = QFileDialog.getOpenFileName(window, "Bring in another coach's grades", beside, _FILES)
    if path:
        hold_hand_off(window, path)


def hold_hand_off(window: MainWindow, path: str) -> None:
    """Show what a hand-off would change; a file that is none is told on the line."""
    from gradecut.app.differences_sheet import DifferencesSheet
    from gradecut.desk.colleagues import Colleagues

    if window.desk is None:
        return
    colleagues = Colleagues(window.desk)
    colleagues.hold(path, lambda held: DifferencesSheet(window, colleagues, held).open())


def show_beside(page: Page) -> None:
    """Lay the other coach's word beside this grader's on the play shown."""
    from gradecut.app.beside_sheet import BesideSheet
    from gradecut.app.window import MainWindow
    from gradecut.desk.colleagues import Colleagues
    from gradecut.desk.grader_ways import ways_of

    colleagues = Colleagues(page.desk)
    window = page.window()
    lifted = (
        ways_of(window.remembered, page.desk.book).lifted_at
        if isinstance(window, MainWindow)
        else ""
    )
    read = partial(colleagues.beside, blind_until=lifted)
    shown = read()
    if shown is not None:
        BesideSheet(page, colleagues, shown, read).open()
