"""Who grades: asked once, and kept."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QLineEdit

from gradecut.app.form import Form

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["GraderForm"]


class GraderForm(Form):
    """Asks for the grader's name."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window, "Who grades?", "That's me")
        self._window = window
        self.name = QLineEdit(window.remembered.grader)
        self.add_row(
            "your name", self.name, "It stands beside every grade; only your own can be taken back."
        )

    def submit(self) -> None:
        """Keep the name."""
        name = self.name.text().strip()
        if not name:
            self.refuse("Write your name, such as J. Alder.")
            return
        self._window.set_grader(name)
        self.accept()
