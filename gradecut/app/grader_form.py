"""Who grades, which men are his, and whether he sees what others judged: asked once, and kept."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QLineEdit

from gradecut.app.choice_row import ChoiceRow
from gradecut.app.drop_down import DropDown
from gradecut.app.form import Form
from gradecut.desk.grader import proposed_grader
from gradecut.desk.grader_ways import GraderWays
from gradecut.records import Player

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow
    from gradecut.desk import Desk

__all__ = ["GraderForm"]

_ALL = "everybody who is graded"


class GraderForm(Form):
    """Asks for the grader's name and, in a book, for his men and what he sees of others' work."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window, "Who grades?", "That's me")
        self._window = window
        desk = window.desk
        self.name = QLineEdit(proposed_grader(desk.book) if desk else window.remembered.grader)
        self.add_row(
            "your name", self.name, "It stands beside every grade; only your own can be taken back."
        )
        self.men = DropDown()
        self.sight = ChoiceRow(("show", "hide: I grade blind"))
        self._groups: list[str | None] = [None]
        if desk is not None:
            self._ask_ways(desk)
            self.name.textChanged.connect(lambda _: self._show_ways())
            self._show_ways()

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
        self._window.set_grader(name, self._told(desk) if desk is not None else None)
        self.accept()

    def _ask_ways(self, desk: Desk) -> None:
        from gradecut.workflows.booking import book_info, scheme_in_force

        scheme, usual = scheme_in_force(desk.book), book_info(desk.book).graded_group
        self.men.addItem(f"as the book has it: {usual or _ALL}")
        groups = scheme.groups if scheme else {}
        for group, men in groups.items():
            graded = [man for man in men if scheme and scheme.positions[man].graded]
            if group and graded:
                self.men.addItem(f"{group}: {', '.join(graded)}")
                self._groups.append(group)
        self.men.addItem(_ALL)
        self._groups.append("")
        self.add_row("your men", self.men, "Each coach grades his own on the same plays.")
        self.add_row(
            "others' work", self.sight,
            "Grading blind hides the others' grades, flags and drawings until you show them. Only "
            "what you graded before counts as agreement.",
        )  # fmt: skip

    def _ways(self) -> GraderWays:
        desk = self._window.desk
        if desk is None:
            return GraderWays()
        name = self.name.text().strip()
        there = self._window.remembered.ways.get(str(desk.book.path), {})
        return there.get(name, GraderWays())

    def _show_ways(self) -> None:
        """Show how the man of this name works here."""
        ways = self._ways()
        known = ways.group in self._groups
        self.men.setCurrentIndex(self._groups.index(ways.group) if known else 0)
        self.sight.choose(1 if ways.blind else 0)

    def _told(self, desk: Desk) -> GraderWays:
        ways = replace(self._ways(), group=self._groups[self.men.currentIndex()])
        if self.sight.place == 1:
            return ways.begin_blind()
        clip, session = desk.film.clip, desk.film.plays.session
        where = f"{session.name}, play {clip.order}" if clip and session else ""
        return ways.lift_blind(where)
