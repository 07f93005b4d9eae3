"""Handing my grades to a colleague: which, into which file, and what to heed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt6.QtCore import Qt

from gradecut.app.choice_row import ChoiceRow
from gradecut.app.form import FileField, Form
from gradecut.app.labels import words
from gradecut.desk.colleagues import Colleagues, file_for
from gradecut.errors import GradecutError

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow
    from gradecut.desk import Desk

__all__ = ["HandOffForm"]

_WIDE_PX = 620


class HandOffForm(Form):
    """Asks for the sessions and the file; says what is in it, and whose grades they are."""

    def __init__(self, window: MainWindow, desk: Desk) -> None:
        super().__init__(window, f"Send {desk.author}'s grades", "Write the file")
        self.setMinimumWidth(_WIDE_PX)
        self._colleagues = Colleagues(desk)
        session = desk.film.plays.session
        self._session_id = session.id if session else None
        self.which = ChoiceRow(
            (f"{session.name} only" if session else "this session", "all sessions")
        )
        self.file = FileField(
            "Where to write the hand-off", "Hand-offs (*.hand);;All files (*)", to_save=True
        )
        self.file.path.setText(file_for(desk.book))
        self.file.path.setCursorPosition(0)
        self.add_row("what", self.which)
        self.add_row(
            "file", self.file, "A hand-off: one file, no film in it. He brings it into his book, "
            "where what differs is shown to him first.",
        )  # fmt: skip
        self.holds = words("", "body", 600, wrap=True)
        self.holds.setAccessibleName("What is in it")
        self.heed = words("", look="quiet", wrap=True)
        self.heed.setAccessibleName("What to heed")
        row = self.rows.rowCount()
        self.rows.addWidget(words("in it", look="quiet"), row, 0)
        self.rows.addWidget(self.holds, row, 1)
        heading = words("caution", look="quiet")
        self.rows.addWidget(heading, row + 1, 0, Qt.AlignmentFlag.AlignTop)
        self.rows.addWidget(self.heed, row + 1, 1)
        self.which.chosen.connect(lambda _: self._show())
        self._show()

    def submit(self) -> None:
        """Write the file; a refusal stays in the form."""
        path = self.file.text()
        if not path:
            self.refuse("Name the file, such as alder.hand.")
            return
        try:
            self._colleagues.hand_over(path if "." in path else f"{path}.hand", self._ids())
        except GradecutError as error:
            self.refuse(str(error))
            return
        self.accept()

    def _ids(self) -> list[str] | None:
        here = self._session_id
        return [here] if here is not None and self.which.place == 0 else None

    def _show(self) -> None:
        self.holds.setText("counting …")
        self._colleagues.would_hand(self._ids(), self._told, self._nothing)

    def _nothing(self, why: str) -> None:
        self.holds.setText("nothing yet")
        self.heed.setText("–")
        self.refuse(why)
        self.do.setEnabled(False)

    def _told(self, holds: str, heed: tuple[str, ...]) -> None:
        self.refuse("")
        self.do.setEnabled(True)
        self.holds.setText(holds)
        self.heed.setText("\n\n".join(heed))
