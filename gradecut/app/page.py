"""What the window asks of each of its pages."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import pyqtSignal
from PyQt6.QtWidgets import QWidget

from gradecut.app.actions import Action
from gradecut.app.parts_round import Part
from gradecut.app.theme import Dress
from gradecut.desk import Desk

__all__ = ["Page"]


class Page(QWidget):
    """One of the four pages; made when it is first shown.

    Signals
    -------
    told : str
        The words at the right of the header have changed.
    open_rep : (str, str)
        A clip, and a rep of it or "", is to be shown on the Film page.
    open_page : str
        Another page is to be shown.

    Parameters
    ----------
    desk : Desk
    dress : Dress
        The theme worn now.
    """

    told = pyqtSignal(str)
    open_rep = pyqtSignal(str, str)
    open_page = pyqtSignal(str)

    def __init__(self, desk: Desk, dress: Dress) -> None:
        super().__init__()
        self.desk = desk
        self.dress = dress

    def actions_here(self) -> Sequence[Action]:
        """Return what can be done on this page, for keys, menu and cheat sheet."""
        return ()

    def header(self) -> str:
        """Return the words at the right of the header: "Tue 6 Oct · inside run"."""
        return ""

    def enter(self) -> None:
        """Be shown: bring what is shown up to date, and take the keys."""
        self.setFocus()

    def parts(self) -> Sequence[Part]:
        """Return the parts F6 gives the keys to, the page as a whole first."""
        return (Part(self, self.enter),)

    def leave(self) -> None:
        """Be hidden: stop what runs."""
