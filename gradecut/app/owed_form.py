"""A fit that is not listed: its name, and the gap it fits."""

from __future__ import annotations

from PyQt6.QtWidgets import QLineEdit

from gradecut.app.choice_row import ChoiceRow
from gradecut.app.form import Form
from gradecut.app.page import Page
from gradecut.desk.film_desk import FilmDesk

__all__ = ["OwedForm"]

_GAPS = ("none", "A", "B", "C", "D", "E")


class OwedForm(Form):
    """Asks what the man in hand owed, in a word the scheme has not yet; it is added to it.

    Parameters
    ----------
    page : Page
    film : FilmDesk
    """

    def __init__(self, page: Page, film: FilmDesk) -> None:
        man = film.hand.man
        who = man.position if man is not None else "he"
        super().__init__(page, f"What did {who} owe?", "He owed it")
        self._film = film
        self.name = QLineEdit()
        self.name.setPlaceholderText("wall B")
        self.gap = ChoiceRow(_GAPS)
        self.add_row("the fit", self.name, "It is added to your list of fits.")
        self.add_row("its gap", self.gap, "On his own side.")

    def submit(self) -> None:
        """Keep his word; a name that can't be one is told."""
        name = self.name.text().strip()
        if not name:
            self.refuse("Write what the fit is called.")
            return
        gap = _GAPS[self.gap.place] if self.gap.place else ""
        if self._film.judging.owed_anew(name, gap):
            self.accept()
        else:
            self.refuse("That could not be kept; the line at the bottom of the window says why.")
