"""The looks of a row: typed as one line or pressed fact by fact, drawn as they grow."""

from __future__ import annotations

from PyQt6.QtCore import QPointF, QSize, Qt
from PyQt6.QtGui import QPainter, QPaintEvent
from PyQt6.QtWidgets import QLineEdit, QWidget

from gradecut.app.choice_row import ChoiceRow
from gradecut.app.drop_down import DropDown
from gradecut.app.form import Form
from gradecut.app.grid_pictures import PICTURE_PX, GridPictures
from gradecut.app.labels import words
from gradecut.app.page import Page
from gradecut.app.scheme_chips import FactChips
from gradecut.app.theme import Dress
from gradecut.desk.scheme_conditions import AskedFact, Written, with_values
from gradecut.desk.scheme_desk import SchemeDesk
from gradecut.desk.scheme_files import first_fault
from gradecut.errors import SchemeError
from gradecut.scheme import Value

__all__ = ["RowForm", "SplitForm"]

_WIDE_PX = 640
"""Of the form: its width, the height of the values, and of all else."""


class RowForm(Form):
    """Asks for the looks of a new row, or other ones of the row in hand.

    Parameters
    ----------
    page : Page
    desk : SchemeDesk
    tier : str
        Where a new row goes; "" for the tier in hand.
    change : bool
        Change the row in hand.
    """

    def __init__(
        self, page: Page, desk: SchemeDesk, *, tier: str = "", change: bool = False
    ) -> None:
        super().__init__(page, "Other looks" if change else "A new row", "Take it")
        self.setMinimumWidth(_WIDE_PX)
        self._desk, self._change = desk, change
        row = desk.hand.row()
        self._sided = desk.hand.sided(row if change else None)
        start: Written = row.when if row is not None and change else {}
        self._when: Written = start
        self.line = QLineEdit("" if start == {} else row.line if row is not None else "")
        self.line.setPlaceholderText("concept power | counter; run to")
        self.line.textEdited.connect(self._read)
        place = desk.hand.place
        seen = f" Seen from {place.man}." if place is not None and self._sided else ""
        self.add_row(
            "looks", self.line,
            f"Choose below, or type: ; means and, | means or.{seen}",
        )  # fmt: skip
        self.tiers = ChoiceRow(desk.hand.tiers)
        if not change and len(desk.hand.tiers) > 1:
            wanted = tier or (row.tier if row is not None else desk.hand.tiers[0])
            self.tiers.choose(desk.hand.tiers.index(wanted))
            self.add_row("tier", self.tiers)
        self.picture = _Picture(page.dress)
        self.add_row("drawn", self.picture)
        self.chips = FactChips(desk.hand.asked_facts(row if change else None))
        self.chips.changed.connect(self._press)
        self.rows.setColumnMinimumWidth(0, self.chips.names_px)  # all fields begin below each other
        at = self.rows.rowCount()
        self.rows.addWidget(self.chips, at, 0, 1, 2)
        self.several = words("Either of several: change it in the line.", "small", look="quiet")
        self.rows.addWidget(self.several, at + 1, 0, 1, 2)
        self._show()

    def submit(self) -> None:
        """Take the row."""
        self._read(self.line.text())
        if self.refusal.isVisible() and self.refusal.text():
            return
        if self._change:
            self._desk.rows.change_row(self._when)
        else:
            row, tier = self._desk.hand.row(), self._desk.hand.tiers[self.tiers.place]
            here = row is not None and row.tier == tier
            self._desk.rows.add_row(self._when, sided=self._sided, tier="" if here else tier)
        self.accept()

    def _read(self, line: str) -> None:
        """Read what was typed, and say what can't be read of it."""
        try:
            self._when = self._desk.hand.read_line(line.strip() or "always", sided=self._sided)
        except SchemeError as error:
            self.refuse(first_fault(error))
            return
        self.refuse("")
        self._show()

    def _press(self, fact: AskedFact, chosen: list[Value]) -> None:
        from gradecut.scheme.editing import spell_condition

        if isinstance(self._when, list):
            return
        self._when = with_values(self._when, fact.reference, chosen, fact.values)
        self.line.setText(spell_condition(self._when) if self._when else "")
        self.refuse("")
        self._show()

    def _show(self) -> None:
        several = isinstance(self._when, list)
        self.several.setVisible(several)
        self.chips.setEnabled(not several)
        self.chips.show_way(self._when if isinstance(self._when, dict) else {})
        self.picture.show_look(self._desk.hand.look_of(self._when))


class SplitForm(Form):
    """Asks by which fact the row in hand is split, and which values stay in it."""

    def __init__(self, page: Page, desk: SchemeDesk) -> None:
        super().__init__(page, "Split the row", "Split it")
        self.setMinimumWidth(_WIDE_PX)
        self._desk = desk
        row = desk.hand.row()
        self.facts = desk.hand.split_facts()
        self.fact = DropDown()
        self.fact.addItems([whole.name for whole, _ in self.facts])
        self.fact.currentIndexChanged.connect(self._show_values)
        self.add_row("by", self.fact, row.words if row is not None else "")
        self.chips: FactChips | None = None
        self._at = self.rows.rowCount()
        self.rows.addWidget(words("stay", look="quiet"), self._at, 0, Qt.AlignmentFlag.AlignTop)
        hint = "The values pressed stay in this row; the others go to a new row below it."
        self.rows.addWidget(words(hint, "small", look="quiet", wrap=True), self._at + 1, 1)
        self._show_values(0)

    def submit(self) -> None:
        """Split it."""
        whole, open_ = self.facts[self.fact.currentIndex()]
        chosen = self.chips.chosen(open_) if self.chips is not None else []
        if not chosen or len(chosen) == len(open_.values):
            self.refuse("Press some of its values, not all of them.")
            return
        self._desk.rows.split_row(whole, chosen)
        self.accept()

    def _show_values(self, at: int) -> None:
        if self.chips is not None:
            self.rows.removeWidget(self.chips)
            self.chips.deleteLater()
        self.chips = FactChips([self.facts[at][1]], named=False) if self.facts else None
        if self.chips is not None:
            self.rows.addWidget(self.chips, self._at, 1)


class _Picture(QWidget):
    """The look the condition grows to."""

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self._pictures = GridPictures(dress)
        self._look: dict[str, Value] = {}
        self.setFixedHeight(PICTURE_PX[1])

    def show_look(self, look: object) -> None:
        """Draw another one."""
        self._look = dict(look) if isinstance(look, dict) else {}
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(*PICTURE_PX)

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        painter = QPainter(self)
        picture = self._pictures.picture(self._look, self.devicePixelRatioF())
        painter.drawImage(QPointF(-10, 0), picture)
        painter.end()
