"""The cue of one cell, and which other fits are graded as right there."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QLineEdit, QScrollArea, QWidget

from gradecut.app.form import Form
from gradecut.app.labels import button
from gradecut.app.page import Page
from gradecut.app.scheme_chips import Flow
from gradecut.desk.scheme_desk import SchemeDesk

__all__ = ["CueForm"]

_ROOM_PX = 470


class CueForm(Form):
    """Asks what the coach says to the man in hand, and what counts as right too."""

    def __init__(self, page: Page, desk: SchemeDesk) -> None:
        place, row = desk.hand.place, desk.hand.row()
        cell = row.cells.get(place.man) if row is not None and place is not None else None
        who = place.man if place is not None else ""
        fit = cell.fit if cell is not None else ""
        super().__init__(page, f"{who}: {fit}", "Write it")
        self.setMinimumWidth(600)
        self._desk = desk
        self.cue = QLineEdit(cell.cue or "" if cell is not None else "")
        self.cue.setPlaceholderText("what you say to him")
        self.add_row("cue", self.cue, row.words if row is not None else "")
        fits = [name for name in (desk.shown.fits if desk.shown else ()) if name != fit]
        inside = QWidget()
        flow = Flow(inside)
        self.fits = {name: button(name, "choice") for name in fits}
        for name, made in self.fits.items():
            made.setCheckable(True)
            made.setAutoDefault(False)
            made.setChecked(cell is not None and name in cell.also)
            flow.addWidget(made)
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setFixedHeight(min(flow.heightForWidth(_ROOM_PX) + 6, 190))
        area.setWidget(inside)
        self.add_row("right too", area, "Pressed fits are graded as right there too.")
        if (label := self.rows.itemAtPosition(self.rows.rowCount() - 2, 0)) is not None:
            label.setAlignment(Qt.AlignmentFlag.AlignTop)

    def submit(self) -> None:
        """Write both."""
        also = [name for name, made in self.fits.items() if made.isChecked()]
        self._desk.hand.say_more(self.cue.text(), also)
        self.accept()
