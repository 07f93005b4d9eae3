"""Who grades: asked once, and kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QLineEdit

from gradecut.app.form import Form
from gradecut.records import Player

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["GraderForm"]


class GraderForm(Form):
    """Asks for the grader's name."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window, "Who grades?", "That's me")
        self._window = window
        self.name = QLineEdit(window.desk.author if window.desk else window.remembered.grader)
        self.add_row(
            "your name", self.name, "It stands beside every grade; only your own can be taken back."
        )

    def submit(self) -> None:
        """Keep the name, unless it is a player's: under that stand his own answers."""
        from gradecut.workflows.roster import why_no_grader

        name = self.name.text().strip()
        if not name:
            self.refuse("Write your name, such as J. Alder.")
            return
        desk = self._window.desk
        if desk is not None and (refusal := why_no_grader(name, desk.book.find(Player))):
            self.refuse(refusal)
            return
        self._window.set_grader(name)
        self.accept()
