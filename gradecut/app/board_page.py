"""The Board page: who, against what, how sure, what to drill."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PyQt6.QtGui import QResizeEvent
from PyQt6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.actions import Action
from gradecut.app.board_start import BoardStart
from gradecut.app.board_table import BoardTable
from gradecut.app.board_title import BoardTitle
from gradecut.app.drill_list import DrillList
from gradecut.app.labels import button, line_across, line_down, words
from gradecut.app.page import Page
from gradecut.app.rep_list import RepList
from gradecut.app.theme import Dress
from gradecut.desk import Desk
from gradecut.desk.board_desk import Cell
from gradecut.desk.board_words import percent
from gradecut.grading import ALL_RUNS
from gradecut.reports.wording import how_many

__all__ = ["BoardPage"]

_SIDE_PX, _NARROW_SIDE_PX, _NARROW_PX = 372, 300, 1000
_TITLE_PX = 28
_NOTHING_HERE = "Nothing of this is graded yet; choose another group or other sessions above."
_NO_RANKS = "Where two intervals overlap, the board ranks nobody."


class BoardPage(Page):
    """Shows the board, its cells' reps, and what to drill."""

    def __init__(self, desk: Desk, dress: Dress) -> None:
        super().__init__(desk, dress)
        self.board = desk.board
        self.table = BoardTable(self.board, dress)
        self.table.cell_opened.connect(self.board.open_cell)
        self.table.cell_told.connect(self._tell_cell)
        self.reps = RepList(dress)
        self.reps.rep_opened.connect(self.open_rep)
        self.drills = DrillList(self.board, dress)
        self.drills.rep_opened.connect(self.open_rep)
        self.start = BoardStart()
        self.start.grade.clicked.connect(lambda: self.open_page.emit("Film"))
        self.shown = QStackedWidget()
        self.shown.addWidget(self._counted_part())
        self.shown.addWidget(self.start)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.addWidget(self.shown)
        self.table.worded.connect(lambda _: self._tell_reading())
        self.board.changed.connect(self._show_board)
        self.board.chosen_changed.connect(self._show_chosen)

    # ------------------------------------------------------------------ parts

    def _counted_part(self) -> QWidget:
        part = QWidget()
        whole = QHBoxLayout(part)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(self._main_part(), 1)
        self._between = line_down()
        whole.addWidget(self._between)
        whole.addWidget(self._side_part())
        return part

    def _main_part(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setContentsMargins(0, 20, 0, 14)
        column.setSpacing(0)
        self.title = BoardTitle(self.board)
        column.addWidget(self.title)
        self.reading = words("", look="quiet", wrap=True)
        self.reading.setContentsMargins(24, 6, 24, 4)
        column.addWidget(self.reading)
        self.reading.setToolTip(_NO_RANKS)
        self.reading.setAccessibleDescription(_NO_RANKS)
        table = QHBoxLayout()
        table.setContentsMargins(24, 0, 12, 0)
        table.addWidget(self.table)
        column.addLayout(table, 1)
        self.cell_told = words("", "body", wrap=True)
        self.cell_told.setContentsMargins(24, 8, 24, 0)
        self.cell_told.setMinimumHeight(44)
        self.cell_told.setAccessibleName("The cell in words")
        column.addWidget(self.cell_told)
        self.summary = words("", "small", look="quiet", wrap=True)
        foot = QHBoxLayout()
        foot.setContentsMargins(24, 4, 12, 0)
        foot.setSpacing(8)
        foot.addWidget(self.summary, 1)
        self.sheet = button("Grade sheet …", tip="Write the grade sheet as a workbook (W)")
        self.report = button("Report …", tip="Write the staff's report as one page (R)")
        self.sheet.clicked.connect(self.write_sheet)
        self.report.clicked.connect(self.write_report)
        foot.addWidget(self.sheet)
        foot.addWidget(self.report)
        column.addLayout(foot)
        column.addStretch(0)
        return column

    def _side_part(self) -> QWidget:
        side = QWidget()
        side.setFixedWidth(_SIDE_PX)
        self._beside = side
        column = QVBoxLayout(side)
        column.setContentsMargins(20, 20, 14, 14)
        column.setSpacing(4)
        self.side = QStackedWidget()
        self.side.addWidget(self._drill_side())
        self.side.addWidget(self._rep_side())
        column.addWidget(self.side, 1)
        return side

    def _drill_side(self) -> QWidget:
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        title = words("What to drill tomorrow", "head", 600)
        title.setFixedHeight(_TITLE_PX)
        column.addWidget(title)
        column.addWidget(words("by cause, because the cure differs", look="quiet"))
        column.addSpacing(10)
        column.addWidget(line_across())
        column.addSpacing(8)
        column.addWidget(self.drills, 1)
        return part

    def _rep_side(self) -> QWidget:
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        head = QHBoxLayout()
        self.cell_name = words("", "head", 600)
        self.cell_name.setFixedHeight(_TITLE_PX)
        close = button("close", "plain", tip="Back to what to drill (Esc)")
        close.clicked.connect(self.close_cell)
        head.addWidget(self.cell_name)
        head.addStretch(1)
        head.addWidget(close)
        column.addLayout(head)
        self.cell_words = words("", "small", look="quiet", wrap=True)
        column.addWidget(self.cell_words)
        column.addSpacing(10)
        column.addWidget(line_across())
        column.addSpacing(4)
        column.addWidget(self.reps, 1)
        column.addStretch(0)
        return part

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Leave the table its room in a narrow window."""
        super().resizeEvent(event)
        self._beside.setFixedWidth(_NARROW_SIDE_PX if self.width() < _NARROW_PX else _SIDE_PX)

    # ------------------------------------------------------------------ what is shown

    def enter(self) -> None:
        """Count the board the first time, and take the keys."""
        if self.board.view is None:
            self.board.count()
        self._take_keys()

    def _take_keys(self) -> None:
        if self.shown.currentWidget() is self.start:
            self.start.grade.setFocus()
        else:
            self.table.setFocus()

    def header(self) -> str:
        """Say what the board rests on."""
        if self.board.view is None or not self.board.view.graded:
            return ""
        return how_many(self.board.view.board.group[ALL_RUNS])

    def actions_here(self) -> Sequence[Action]:
        """Return what can be done with the board."""
        moves = (("cell left", "Left", 0, -1), ("cell right", "Right", 0, 1))
        title = self.title
        rows = (("cell or rep up", "Up", -1), ("cell or rep down", "Down", 1))
        return (
            *(
                Action(
                    name=name,
                    keys=(key,),
                    group="Board",
                    run=partial(self.table.go, down, across),
                    repeats=True,
                )
                for name, key, down, across in moves
            ),
            *(
                Action(
                    name=name, keys=(key,), group="Board", run=partial(self._move, by), repeats=True
                )
                for name, key, by in rows
            ),
            Action(
                name="open the cell, or the rep on film",
                keys=("Return", "Enter"),
                group="Board",
                run=self._open,
            ),
            Action(
                name="back to what to drill", keys=("Escape",), group="Board", run=self.close_cell
            ),
            Action(name="choose the group", keys=("G",), group="Board", run=title.choose_group),
            Action(
                name="choose what columns show",
                keys=("C",),
                group="Board",
                run=title.choose_way,
            ),
            Action(name="choose sessions", keys=("S",), group="Board", run=title.choose_sessions),
            Action(name="write the grade sheet", keys=("W",), group="Board", run=self.write_sheet),
            Action(name="write the report", keys=("R",), group="Board", run=self.write_report),
        )

    def close_cell(self) -> None:
        """Show what to drill again."""
        self.board.open_cell(None)
        self.table.setFocus()

    def write_sheet(self) -> None:
        """Ask where the grade sheet goes, and write it."""
        path, _ = QFileDialog.getSaveFileName(
            self, "Where the grade sheet goes", "grade sheet.xlsx", "Workbooks (*.xlsx)"
        )
        if path:
            self.board.write_sheet(_with_ending(path, ".xlsx"))

    def write_report(self) -> None:
        """Ask where the report goes, and write it."""
        path, _ = QFileDialog.getSaveFileName(
            self, "Where the report goes", "report.html", "Pages (*.html)"
        )
        if path:
            self.board.write_report(_with_ending(path, ".html"))

    def _show_board(self) -> None:
        view = self.board.view
        if view is None:
            return
        self.title.renew()
        for part in (
            self.table, self.cell_told, self.summary, self.sheet, self.report,
            self._between, self._beside,
        ):  # fmt: skip
            part.setVisible(view.graded)
        self._tell_reading()
        self.summary.setText(self.board.summary())
        self.summary.setToolTip(self.board.why_not())
        self.summary.setAccessibleDescription(self.board.why_not())
        self.table.renew()
        self.drills.show_drills(view.drills)
        self._show_chosen()
        self._show_start(not view.begun)
        self.told.emit(self.header())

    def _show_start(self, starting: bool) -> None:
        """Show what to do first in a book without grades, else the board."""
        shown = self.start if starting else self.shown.widget(0)
        if shown is self.shown.currentWidget():
            return
        had_keys = self.isAncestorOf(self.focusWidget()) if self.focusWidget() else False
        self.shown.setCurrentWidget(shown)
        if had_keys:
            self._take_keys()

    def _tell_reading(self) -> None:
        """Say how to read a cell, as the table writes it now."""
        view = self.board.view
        if view is None:
            return
        told = (
            f"Share right, and its 95 % interval. Dotted: the goal, {percent(view.board.good)}; "
            "▼ all of it below."
        )
        if not self.table.in_words:
            told += " Then reps; 4+2: 4 looked at closely, 2 at speed."
        self.reading.setText(told if view.graded else _NOTHING_HERE)

    def _show_chosen(self) -> None:
        chosen = self.board.chosen
        if chosen is None:
            self.side.setCurrentIndex(0)
        else:
            name = self.board.cell_name(chosen)
            self.cell_name.setText(name)
            self.cell_words.setText(self.board.cell_words(chosen).removeprefix(f"{name}: "))
            self.reps.show_rows(self.board.reps_of(chosen))
            self.side.setCurrentIndex(1)
        self.table.renew()
        self._tell_cell(None)

    def _tell_cell(self, cell: Cell | None) -> None:
        """Say what a cell holds, unless it is open and that stands beside the board."""
        told = cell is not None and cell != self.board.chosen
        self.cell_told.setText(self.board.cell_words(cell) if cell and told else "")

    def _move(self, by: int) -> None:
        if self.reps.hasFocus():
            self.reps.move_row(by)
        else:
            self.table.go(by, 0)

    def _open(self) -> None:
        if self.shown.currentWidget() is self.start:
            self.start.grade.click()
            return
        if self.reps.hasFocus():
            self.reps.open_here()
            return
        self.table.open_here()
        if self.board.chosen is not None:
            self.reps.setFocus()
            self.reps.setCurrentRow(0)


def _with_ending(path: str, ending: str) -> str:
    return path if path.lower().endswith(ending) else f"{path}{ending}"
