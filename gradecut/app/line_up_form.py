"""The line-up of a period: positions and men, filled in by number keys."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QKeyEvent
from PyQt6.QtWidgets import QDialog, QHBoxLayout

from gradecut.app.columns_list import Cell, Column, ColumnsList, Row
from gradecut.app.labels import KeyHint, button, line_across, line_down, words
from gradecut.app.page import Page
from gradecut.app.sheet_frame import closing, footed, listed, titled, whole_of
from gradecut.app.sheet_room import lay_over
from gradecut.counting_words import counted
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.line_up_rows import LineUpRows, PositionRow
from gradecut.records import Player
from gradecut.workflows.play_words import plays_told

__all__ = ["LineUpForm"]

_SIZE_PX = (980, 480)
_MEN_PX = 284
_A_PAGE = 9
_STANDS = {
    "told": "set by hand",
    "script": "the script",
    "before": "◌ carried over",
    "chosen": "● chosen now",
    "open": "nobody yet",
}


class LineUpForm(QDialog):
    """Shows who stands where as a period begins; a number puts another man in, Enter keeps it.

    Parameters
    ----------
    page : Page
    film : FilmDesk
    rows : LineUpRows
    """

    def __init__(self, page: Page, film: FilmDesk, rows: LineUpRows) -> None:
        super().__init__(page)
        self._film, self.rows = film, rows
        self._page_of_men = 0
        self.setWindowTitle("Line-up")
        lay_over(self, _SIZE_PX)
        self.positions = ColumnsList(
            page.dress,
            (
                Column(head="position", wide_px=62),
                Column(head="", wide_px=26, anchor="right"),
                Column(head="man"),
                Column(head="known from", wide_px=88),
                Column(head="came in later", wide_px=176),
            ),
            "Positions of the period",
        )
        self.men = ColumnsList(
            page.dress,
            (
                Column(head="key", wide_px=24),
                Column(head="who stands there"),
                Column(head="", wide_px=74, anchor="right"),
            ),
            "Men who could stand there",
        )
        self.men.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.waiting = words("", "small", look="quiet")
        self.take = button("Take this line-up", "accent", tip="Enter")
        self._build()
        self.positions.currentRowChanged.connect(self._turn_to)
        self.men.itemClicked.connect(lambda _: self.choose(self.men.currentRow() + 1))
        self._show()
        at = next((n for n, row in enumerate(rows.rows) if row.position == film.hand.position), 0)
        self.positions.setCurrentRow(at)
        self._turn_to()
        self.positions.setFocus()

    def _build(self) -> None:
        whole = whole_of(self)
        head = titled("Line-up", self.rows.title)
        head.setContentsMargins(24, 18, 24, 14)
        whole.addLayout(head)
        whole.addWidget(line_across())
        middle = QHBoxLayout()
        middle.setSpacing(0)
        for part, wide in ((self.positions, 0), (self.men, _MEN_PX)):
            if wide:
                part.setFixedWidth(wide)
                middle.addWidget(line_down())
            middle.addLayout(listed(part), 0 if wide else 1)
        whole.addLayout(middle, 1)
        whole.addWidget(line_across())
        self.take.setDefault(True)
        self.take.clicked.connect(self.keep)
        keys = (("↑ ↓", "position"), ("1 – 9", "man"), ("0", "more men"))
        hints = (KeyHint(key, does) for key, does in keys)
        does = (self.waiting, closing(self, "Cancel"), self.take)
        whole.addLayout(footed(*hints, right=does))

    # ------------------------------------------------------------------ what can be done

    def choose(self, number: int) -> None:
        """Put the man of a number in at the position chosen, and go to the next one."""
        at = self.positions.currentRow()
        men = self._men_shown()
        if not 0 <= at < len(self.rows.rows) or not 0 < number <= len(men):
            return
        self.rows.choose(at, men[number - 1])
        self._show()
        if at + 1 < len(self.rows.rows):
            self.positions.setCurrentRow(at + 1)
        self._turn_to()

    def keep(self) -> None:
        """Keep the line-up for the whole period, and say what came of it."""
        if not self.rows.waiting:
            self.accept()
            return
        kept: list[str] = []

        def work() -> None:
            for position, came in self.rows.take().items():
                if came.kept:
                    kept.append(f"{position} on {plays_told(came.kept)}")

        if self._film.do(work, wide=True):
            period = self.rows.title.partition(" · ")[0]
            stay = f" Men judged already stay: {'; '.join(kept)}." if kept else ""
            self._film.say(f"The line-up of {period} is kept.{stay}")
            self.accept()

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Take numbers for men; 0 shows more of them."""
        if event is None:
            return
        told = event.text()
        if told == "0":
            self._page_of_men += 1
            self._show_men()
        elif len(told) == 1 and told in "123456789":
            self.choose(int(told))
        else:
            super().keyPressEvent(event)

    # ------------------------------------------------------------------ what is shown

    def _show(self) -> None:
        self.positions.show_rows([self._row(row) for row in self.rows.rows])
        count = self.rows.waiting
        told = f"{counted(count, 'position')} to be kept" if count else ""
        self.waiting.setText(told)

    def _turn_to(self) -> None:
        self._page_of_men = 0
        self._show_men()

    def _men_shown(self) -> tuple[Player, ...]:
        at = self.positions.currentRow()
        if not 0 <= at < len(self.rows.rows):
            return ()
        choices = self.rows.rows[at].choices
        pages = max(-(-len(choices) // _A_PAGE), 1)
        start = self._page_of_men % pages * _A_PAGE
        return choices[start : start + _A_PAGE]

    def _show_men(self) -> None:
        at = self.positions.currentRow()
        now = self.rows.rows[at].man if 0 <= at < len(self.rows.rows) else None
        shown = []
        for number, man in enumerate(self._men_shown(), start=1):
            here = now is not None and man.id == now.id
            told = self.rows.number(man)
            number_told = told if told[:1].isdecimal() else ""
            hint = "held out" if man.held_out else number_told
            shown.append(
                Row(
                    cells=(
                        Cell(str(number), "key"),
                        Cell(man.name, "ink", 600 if here else 400),
                        Cell(hint, "warn" if man.held_out else "quiet"),
                    ),
                    words=f"{number}: {man.name} {hint}{', there now' if here else ''}",
                )
            )
        self.men.show_rows(shown)
        self.men.setCurrentRow(-1)

    def _row(self, row: PositionRow) -> Row:
        man = row.man
        number = self.rows.number(man) if man is not None else ""
        who = "" if man is None else man.name
        number = number.split(" ")[0] if number[:1].isdecimal() else ""
        later = ", ".join(f"{one.short_name} on {play}" for play, one in row.changes)
        told = _STANDS[row.stand]
        firm = row.stand in ("told", "chosen")
        return Row(
            cells=(
                Cell(row.position, "ink", 600),
                Cell(number, "quiet"),
                Cell(who or "–", "ink" if firm else "quiet"),
                Cell(told, "accent" if row.stand == "chosen" else "quiet"),
                Cell(later, "quiet"),
            ),
            words=f"{row.position}: {f'{who} {number}'.strip() or 'nobody'}, {told.strip('◌● ')}"
            + (f"; came in later: {later}" if later else ""),
        )
