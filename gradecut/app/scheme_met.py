"""Looks really met on film that the scheme answers badly, beside the grid."""

from __future__ import annotations

from PyQt6.QtCore import pyqtSignal

from gradecut.app.labels import button
from gradecut.app.scheme_side_list import SideView
from gradecut.app.theme import Dress
from gradecut.desk.scheme_met import SchemeMet

__all__ = ["MetView"]


class MetView(SideView):
    """Lists the looks, the most frequent first.

    Signals
    -------
    asked : object
        A BesideRow to go to in the grid.
    play_asked : object
        A BesideRow whose plays are to be shown.
    """

    asked = pyqtSignal(object)
    play_asked = pyqtSignal(object)

    def __init__(self, met: SchemeMet, dress: Dress) -> None:
        super().__init__(dress, "Looks of your film that are answered badly")
        self._met = met
        self.row = button("To its row", "accent", tip="Or a new row with that look (Enter)")
        self.play = button("Show a play", tip="One of the plays it was met on (Alt+F)")
        self.row.clicked.connect(lambda _: self.go())
        self.play.clicked.connect(lambda _: self.show_play())
        self.foot.addWidget(self.row)
        self.foot.addWidget(self.play)
        self.list.itemDoubleClicked.connect(lambda _: self.go())
        met.changed.connect(self.renew)
        self.renew()

    def renew(self) -> None:
        """Show what was found last."""
        self.tell(self._met.verdict(), self._met.beside())
        self.list.show_rows(self._met.rows)
        if self._met.rows and self.list.currentRow() < 0:
            self.list.setCurrentRow(0)
        for made in (self.row, self.play):
            made.setVisible(bool(self._met.rows))

    def go(self) -> None:
        """Go to the row of the chosen look, or open one for it."""
        row = self.list.row_in_hand()
        if row is not None:
            self.asked.emit(row)

    def show_play(self) -> None:
        """Show one of the plays it was met on."""
        row = self.list.row_in_hand()
        if row is not None:
            self.play_asked.emit(row)
