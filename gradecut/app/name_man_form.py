"""Naming an unknown man: who he is, everywhere at once or on some plays only."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import QEvent, QObject, Qt
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QLineEdit

from gradecut.app.choice_row import ChoiceRow
from gradecut.app.columns_list import Cell, Column, ColumnsList, Row
from gradecut.app.drop_down import DropDown
from gradecut.app.form import Form
from gradecut.app.labels import words
from gradecut.app.page import Page
from gradecut.counting_words import counted
from gradecut.desk.film_desk import FilmDesk
from gradecut.errors import GradecutError
from gradecut.records import Player
from gradecut.workflows.naming_men import Named, UnknownMan, name_man, name_new_man
from gradecut.workflows.periods import plays_of_period
from gradecut.workflows.roster import told_apart

__all__ = ["NameManForm"]

_WHERE = ("everywhere", "in this period", "on this play")
_LIST_PX = 232
_WIDE_PX = 560


class NameManForm(Form):
    """Asks who an unknown man is: type a name or a number, Enter names the man chosen.

    Parameters
    ----------
    page : Page
    film : FilmDesk
    unknown : sequence of UnknownMan
        Those still to be named; the first is shown first.
    players : sequence of Player
        The roster.
    """

    def __init__(
        self, page: Page, film: FilmDesk, unknown: Sequence[UnknownMan], players: Sequence[Player]
    ) -> None:
        super().__init__(page, "Who is he?", "Name him")
        self.setMinimumWidth(_WIDE_PX)
        self._film, self._unknown = film, list(unknown)
        self._game = film.state is not None and film.state.session.kind == "game"
        self._players = sorted(
            (man for man in players if not man.unknown), key=lambda man: man.name
        )
        self._all = list(players)
        self._found: list[Player] = []
        self.which = DropDown()
        self.which.addItems([one.player.name for one in self._unknown])
        self.told = words("", look="quiet", wrap=True)
        self.name = QLineEdit()
        self.name.setPlaceholderText("name or number")
        self.name.installEventFilter(self)
        self.men = ColumnsList(
            page.dress,
            (Column(head="man"), Column(head="number", wide_px=110), Column(head="", wide_px=130)),
            "Men of the roster",
        )
        self.men.led = True
        self.men.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.men.setFixedHeight(_LIST_PX)
        self.where = ChoiceRow(_WHERE)
        if len(self._unknown) > 1:
            self.add_row("unknown man", self.which)
        self.rows.addWidget(self.told, self.rows.rowCount(), 1)
        self.add_row("he is", self.name)
        self.rows.addWidget(self.men, self.rows.rowCount(), 1)
        self.add_row("said of him", self.where)
        self._first = self.name
        self.name.textChanged.connect(lambda _: self._find())
        self.which.currentIndexChanged.connect(lambda _: self._show_unknown())
        self.men.itemDoubleClicked.connect(lambda _: self.submit())
        self._show_unknown()

    @property
    def man(self) -> UnknownMan:
        """Who is to be named."""
        return self._unknown[max(self.which.currentIndex(), 0)]

    def submit(self) -> None:
        """Name him; where it can't be, say why and stay."""
        named: list[Named] = []
        refused = ""

        def work() -> None:
            nonlocal refused
            try:
                named.append(self._name())
            except GradecutError as error:
                refused = str(error)

        self._film.do(work, wide=True)
        if refused:
            self.refuse(refused)
            return
        came = named[0]
        what = f"{counted(came.reps, 'rep')} and {counted(came.grades, 'grade')}"
        still = f"; {self.man.player.name} stays on other plays" if came.left else ""
        self._film.say(f"{self.man.player.name} is {came.player.name}: {what} are his{still}.")
        self.accept()

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:
        """Let the arrow keys go along the men while a name is typed."""
        if (
            watched is self.name
            and isinstance(event, QKeyEvent)
            and event.type() == QEvent.Type.KeyPress
            and event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down)
        ):
            by = 1 if event.key() == Qt.Key.Key_Down else -1
            at = min(max(self.men.currentRow() + by, 0), self.men.count() - 1)
            self.men.setCurrentRow(at)
            return True
        return super().eventFilter(watched, event)

    def _name(self) -> Named:
        unknown, book = self.man.player, self._film.book
        at = self.men.currentRow()
        if 0 <= at < len(self._found):
            return name_man(book, unknown, self._found[at], only=self._only())
        told = self.name.text().strip()
        if not told:
            raise GradecutError("Type his name or number, or choose him with the arrow keys.")
        if self.where.place:
            raise GradecutError("A new man comes onto the roster everywhere at once.")
        return name_new_man(book, unknown, told)

    def _only(self) -> set[str] | None:
        clip = self._film.clip
        if self.where.place == 0 or clip is None:
            return None
        if self.where.place == 2:
            return {clip.id}
        return {one.id for one in plays_of_period(self._film.book, clip, whole=True)}

    # ------------------------------------------------------------------ what is shown

    def _show_unknown(self) -> None:
        man = self.man
        judged = f", {counted(man.graded, 'rep')} judged" if man.graded else ""
        self.told.setText(f"{man.player.name}: {man.words}{judged}.")
        self._find()

    def _find(self) -> None:
        """List the men a name or number may mean: those of his position first."""
        typed = self.name.text().strip().casefold().removeprefix("#")
        places = self.man.positions
        found = [man for man in self._players if not typed or self._may_be(man, typed)]
        found.sort(key=lambda man: (man.position not in places, man.name))
        self._found = found
        self.refuse("")
        rows = [self._row(man) for man in found]
        if not rows and typed:
            told = f"Enter puts “{self.name.text().strip()}” on the roster as a new man"
            rows = [Row(cells=(Cell(told, "accent"), Cell(""), Cell("")), words=told)]
        self.men.show_rows(rows)
        # Nobody is chosen before something was typed: Enter must not name him by chance.
        self.men.setCurrentRow(0 if rows and typed else -1)

    def _may_be(self, man: Player, typed: str) -> bool:
        words_of = man.name.casefold().replace("-", " ").split()
        numbers = (man.practice_number, man.game_number)
        return (
            typed in numbers
            or man.name.casefold().startswith(typed)
            or any(word.startswith(typed) for word in words_of)
        )

    def _row(self, man: Player) -> Row:
        told = told_apart(man, self._all, game=self._game)
        number = told.split(" ")[0] if told[:1].isdecimal() else "no number"
        shared = " shared" if " " in told and told[:1].isdecimal() else ""
        return Row(
            cells=(
                Cell(man.name),
                Cell(f"{number}{shared}", "quiet"),
                Cell(man.position, "quiet"),
            ),
            words=f"{man.name}, {number}, {man.position}",
        )
