"""A new book: its name, who grades, the scheme and the roster."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QLineEdit

from gradecut.app.choice_row import ChoiceRow
from gradecut.app.form import FileField, Form
from gradecut.app.forms import BOOKS
from gradecut.desk.scheme_starting import all_questions
from gradecut.errors import GradecutError

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["NewBookForm"]

_WITHOUT = (
    ("later", ""),
    (f"answer {all_questions()}", "questions"),
    ("learn as I grade", "learn"),
)
"""How he comes to a scheme where he has no file, and which form that opens."""


class NewBookForm(Form):
    """Asks what a new book needs; a file with faults is told here and nothing is made."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window, "A new book", "Make the book")
        self._window = window
        self.name = QLineEdit()
        self.grader = QLineEdit(window.remembered.grader)
        self.file = FileField("Where the book goes", BOOKS, to_save=True)
        self.scheme = FileField("The scheme", "Schemes (*.toml);;All files (*)")
        self.roster = FileField("The roster", "Sheets (*.csv);;All files (*)")
        self.add_row("name of the book", self.name, "The team and the season, such as Herons 2026.")
        self.add_row("who grades", self.grader)
        self.add_row("file", self.file)
        self.add_row("rules from a file", self.scheme, "Your scheme as a file, where you have one.")
        self.first = ChoiceRow([words for words, _ in _WITHOUT])
        self.add_row(
            "rules without one", self.first, "Until then you say yourself what each man owed."
        )
        self.add_row("roster", self.roster, "A sheet with a column “name”; may come later.")

    def submit(self) -> None:
        """Make the book and open it."""
        from gradecut.workflows.booking import new_book

        name, grader, file = self.name.text().strip(), self.grader.text().strip(), self.file.text()
        for text, asked in ((name, "name the book"), (grader, "say who grades")):
            if not text:
                self.refuse(f"First {asked}.")
                return
        if not file:
            self.refuse("Choose where the book goes.")
            return
        path = Path(file) if Path(file).suffix else Path(f"{file}.gradecut")
        try:
            book = new_book(
                path,
                name=name,
                author=grader,
                scheme=self.scheme.text() or None,
                roster=self.roster.text() or None,
            )
        except GradecutError as error:
            self.refuse(str(error))
            return
        self.accept()
        self._window.open_desk(book, grader)
        if not self.scheme.text():
            self._begin(_WITHOUT[self.first.place][1])

    def _begin(self, way: str) -> None:
        """Go on to the questions, over the Scheme page."""
        pages = self._window.pages
        if not way or pages is None:
            return
        from gradecut.app.scheme_page import SchemePage

        self._window.show_page("Scheme")
        page = pages.page("Scheme")
        if isinstance(page, SchemePage):
            (page.asking.start if way == "questions" else page.asking.start_blank)()
