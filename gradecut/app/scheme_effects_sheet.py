"""What a scheme would turn, told before it is put in force."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import (
    QDialog,
    QGridLayout,
    QHBoxLayout,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.labels import button, line_across, words
from gradecut.app.page import Page
from gradecut.app.sheet_frame import closing
from gradecut.counting_words import counted
from gradecut.desk.scheme_effects import SchemeKeeping, TurnedMan

__all__ = ["EffectsSheet"]

_SIZE_PX = (760, 600)
_ROOM_PX = 40
_MOST = 400
"""So many grades are listed; beyond, each man's number says the rest."""


class EffectsSheet(QDialog):
    """Lists the grades that turn by man; nothing is in force before a button says so.

    Enter keeps and judges again; Esc goes back to the draft.

    Parameters
    ----------
    page : Page
    keeping : SchemeKeeping
    """

    def __init__(self, page: Page, keeping: SchemeKeeping) -> None:
        super().__init__(page)
        self._keeping = keeping
        self.setWindowTitle(f"What {keeping.name} turns")
        room = page.window() or page
        self.resize(
            min(_SIZE_PX[0], room.width() - _ROOM_PX), min(_SIZE_PX[1], room.height() - _ROOM_PX)
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(26, 22, 20, 18)
        column.setSpacing(6)
        column.addWidget(words(f"What {keeping.name} turns", "title", 600))
        first, *rest = keeping.summary() or ("Nothing turns.",)
        self.summary = words(first, "lead", 500, wrap=True)
        column.addWidget(self.summary)
        self.rest = words("\n".join(rest), look="quiet", wrap=True)
        self.rest.setVisible(bool(rest))
        column.addWidget(self.rest)
        column.addSpacing(6)
        column.addWidget(line_across())
        column.addWidget(self._list(), 1)
        column.addWidget(line_across())
        column.addSpacing(8)
        column.addLayout(self._foot())
        self.rejected.connect(keeping.leave)

    def _list(self) -> QScrollArea:
        area = QScrollArea()
        area.setWidgetResizable(True)
        area.setProperty("look", "scrolled")
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        area.setAccessibleName("The grades that turn, by man")
        inside = QWidget()
        grid = QGridLayout(inside)
        grid.setContentsMargins(0, 8, 12, 8)
        grid.setHorizontalSpacing(18)
        grid.setVerticalSpacing(3)
        grid.setColumnStretch(1, 1)
        grid.setColumnStretch(2, 1)
        left = _MOST
        for man in self._keeping.men():
            left = _add_man(grid, man, left)
        grid.setRowStretch(grid.rowCount(), 1)
        area.setWidget(inside)
        return area

    def _foot(self) -> QHBoxLayout:
        foot = QHBoxLayout()
        foot.setSpacing(8)
        self.back = closing(self, "Cancel", tip="Esc; nothing is in force")
        self.keep = button("Keep it, grades stay", tip="They stay as they are, and show as stale")
        self.keep.clicked.connect(self._keep)
        self.judge = button("Keep and judge those again", "accent", tip="Enter")
        self.judge.clicked.connect(self._judge)
        self.judge.setDefault(True)
        self.keep.setAutoDefault(False)
        foot.addStretch(1)
        foot.addWidget(self.back)
        foot.addWidget(self.keep)
        foot.addWidget(self.judge)
        effects = self._keeping.effects
        if effects is None or not effects.turned:
            self.judge.setText("Keep all the same" if self._keeping.findings else "Keep it")
            self.keep.setVisible(False)
        self.judge.setFocus()
        return foot

    def _keep(self) -> None:
        self._keeping.keep()
        self.accept()

    def _judge(self) -> None:
        self._keeping.keep_and_judge()
        self.accept()


def _add_man(grid: QGridLayout, man: TurnedMan, room: int) -> int:
    """Set a man's grades, as many as there is room for; return what room is left."""
    head = words(f"{man.name}: {counted(len(man.rows), 'grade')}", "body", 600)
    head.setContentsMargins(0, 8, 0, 2)
    grid.addWidget(head, grid.rowCount(), 0, 1, 3)
    for row in man.rows[:room]:
        at = grid.rowCount()
        for column, told in enumerate((row.play, row.owed, row.result)):
            label = words(told, look="quiet" if column == 0 else "", wrap=column > 0)
            grid.addWidget(label, at, column, Qt.AlignmentFlag.AlignTop)
        if row.again:
            why = words(row.again, "small", look="quiet", wrap=True)
            grid.addWidget(why, at + 1, 1, 1, 2)
    if len(man.rows) > room:
        more = words(f"and {len(man.rows) - room} more", look="quiet")
        grid.addWidget(more, grid.rowCount(), 0, 1, 3)
    return max(room - len(man.rows), 0)
