"""A pairing over the window: plays and films side by side, moved along with keys, accepted."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QKeySequence, QShortcut
from PyQt6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QSizePolicy,
    QTableWidget,
    QTableWidgetItem,
)

from gradecut.app.actions import told_key
from gradecut.app.form import Form
from gradecut.app.labels import words
from gradecut.desk.pairing_desk import PairingDesk, PairRow
from gradecut.workflows.pairing import Pairing

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["PairingForm"]

_TABLE_PX = 330
_WIDE_PX = 760
_OF_NUMBERS = (0, 1, 3)
_RIGHT = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter


class PairingForm(Form):
    """Shows which film is proposed for which play; the coach corrects it and takes it.

    Parameters
    ----------
    on_accepted : callable
        Gets the pairing as it stands when it is taken.
    """

    def __init__(
        self, window: MainWindow, desk: PairingDesk, on_accepted: Callable[[Pairing], None]
    ) -> None:
        angle = desk.proposed.angle
        super().__init__(window, f"Pair the {angle} film", "Take this pairing")
        self.desk, self._on_accepted = desk, on_accepted
        self.setMinimumWidth(_WIDE_PX)
        self.table = _table(("play", "length", f"{angle} film", "length", ""))
        self.table.setAccessibleName(f"Plays and {angle} films")
        reasons = words(" ".join(desk.proposed.reasons), look="quiet", wrap=True)
        reasons.setAccessibleName("What speaks for it")
        self.counts = words("", "small", 600)
        self.counts.setAccessibleName("How many are paired")
        wide = self.rows.rowCount()
        self.rows.addWidget(reasons, wide, 0, 1, 2)
        self.rows.addWidget(self.table, wide + 1, 0, 1, 2)
        self.rows.addWidget(self.counts, wide + 2, 0, 1, 2)
        for number, (keys, does, act) in enumerate(self._ways(), start=wide + 3):
            for key in keys:
                QShortcut(QKeySequence(key), self, act)
            cap = words(" or ".join(told_key(key) for key in keys), "small", 600)
            cap.setProperty("look", "key")
            cap.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Preferred)
            self.rows.addWidget(cap, number, 0)
            self.rows.addWidget(words(does, "small", look="quiet"), number, 1)
        self._first = self.table
        self._show(_first_odd(desk.rows))

    def submit(self) -> None:
        """Hand the pairing over as it stands."""
        if not any(play is not None and film is not None for play, film in self.desk.pairs):
            self.refuse("No film is paired with a play; cancel, or put one beside a play.")
            return
        self.accept()
        self._on_accepted(self.desk.accepted)

    def _ways(self) -> tuple[tuple[tuple[str, ...], str, Callable[[], None]], ...]:
        """Return the keys, what they do, and how."""
        desk = self.desk
        return (
            (("G", "Ctrl+Down"), "no film for this play: its film and those below go one on",
             partial(self._do, desk.move_on)),
            (("Ctrl+Up",), "this film and those below go one play back",
             partial(self._do, desk.move_back)),
            (("X",), "this film shows no play: leave it out, or take it in again",
             partial(self._do, desk.leave_out)),
            (("R",), "as it was proposed", self._begin_again),
        )  # fmt: skip

    def _do(self, act: Callable[[int], int]) -> None:
        before = list(self.desk.pairs)
        place = act(max(self.table.currentRow(), 0))
        self.refuse("" if self.desk.pairs != before else "That can't be done with this pair.")
        self._show(place)

    def _begin_again(self) -> None:
        self.desk.begin_again()
        self.refuse("")
        self._show(_first_odd(self.desk.rows))

    def _show(self, place: int) -> None:
        rows = self.desk.rows
        self.table.setRowCount(len(rows))
        for number, row in enumerate(rows):
            for column, text in enumerate(_texts(row)):
                item = QTableWidgetItem(text)
                if column in _OF_NUMBERS:
                    item.setTextAlignment(_RIGHT)
                item.setData(Qt.ItemDataRole.AccessibleTextRole, row.words)
                self.table.setItem(number, column, item)
        self.table.setCurrentCell(min(place, len(rows) - 1), 2)
        self.counts.setText(f"{self.desk.told()}.")


def _table(columns: tuple[str, ...]) -> QTableWidget:
    table = QTableWidget(0, len(columns))
    table.setHorizontalHeaderLabels(list(columns))
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setTabKeyNavigation(False)
    table.setShowGrid(False)
    table.setMinimumHeight(_TABLE_PX)
    if (across := table.horizontalHeader()) is not None:
        across.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        across.setHighlightSections(False)
        for column in _OF_NUMBERS:
            if (heading := table.horizontalHeaderItem(column)) is not None:
                heading.setTextAlignment(_RIGHT)
        across.setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        across.setSectionResizeMode(2, QHeaderView.ResizeMode.Stretch)
        for column, wide in ((0, 70), (1, 90), (3, 90), (4, 160)):
            across.resizeSection(column, wide)
    if (down := table.verticalHeader()) is not None:
        down.setVisible(False)
        down.setMinimumSectionSize(30)
        down.setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
    return table


def _texts(row: PairRow) -> tuple[str, str, str, str, str]:
    said = (
        "no play: left out" if row.play is None
        else "no film" if row.film is None
        else "lengths differ" if row.apart
        else ""
    )  # fmt: skip
    return (
        "–" if row.play is None else str(row.play),
        "" if row.play_s is None else f"{row.play_s:.1f} s",
        "–" if row.film is None else row.film.name,
        "" if row.film_s is None else f"{row.film_s:.1f} s",
        said,
    )


def _first_odd(rows: list[PairRow]) -> int:
    """Return the first row to look at: one without its other half, or of other length."""
    odd = (n for n, row in enumerate(rows) if row.play is None or row.film is None or row.apart)
    return next(odd, 0)
