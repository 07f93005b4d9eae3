"""The Board page: who, against what, how sure, what to drill."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PyQt6.QtGui import QResizeEvent
from PyQt6.QtWidgets import (
    QFileDialog,
    QHBoxLayout,
    QMenu,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.actions import Action
from gradecut.app.board_table import BoardTable
from gradecut.app.drill_list import DrillList
from gradecut.app.labels import button, line_across, line_down, words
from gradecut.app.page import Page
from gradecut.app.rep_list import RepList
from gradecut.app.theme import Dress, font
from gradecut.desk import Desk
from gradecut.desk.board_desk import Cell
from gradecut.desk.board_words import percent, way_words
from gradecut.grading import ALL_RUNS

__all__ = ["BoardPage"]

_SIDE_PX, _NARROW_SIDE_PX, _NARROW_PX = 372, 300, 1000
_NOTHING_YET = (
    "Nothing is graded yet. Grade plays on the Film page (F1): the board counts each as you go."
)
_Entry = tuple[str, Callable[[], object]]
"""What a menu entry says and does."""


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
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(self._main_part(), 1)
        whole.addWidget(line_down())
        whole.addWidget(self._side_part())
        self.board.changed.connect(self._show_board)
        self.board.chosen_changed.connect(self._show_chosen)

    # ------------------------------------------------------------------ parts

    def _main_part(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setContentsMargins(0, 20, 0, 14)
        column.setSpacing(0)
        title = QHBoxLayout()
        title.setContentsMargins(24, 0, 24, 0)
        title.setSpacing(7)
        self.group = self._choice(self._choose_group, "Whose fits")
        self.way = self._choice(self._choose_way, "What the columns show")
        self.sessions = self._choice(self._choose_sessions, "Which sessions")
        for part in ("Right fits of", self.group, "by", self.way, "in", self.sessions):
            title.addWidget(words(part, "title", 600) if isinstance(part, str) else part)
        title.addStretch(1)
        column.addLayout(title)
        self.reading = words("", look="quiet", wrap=True)
        self.reading.setContentsMargins(24, 6, 24, 4)
        column.addWidget(self.reading)
        column.addWidget(self.table, 1)
        self.cell_told = words("", "body", wrap=True)
        self.cell_told.setContentsMargins(24, 8, 24, 0)
        self.cell_told.setMinimumHeight(44)
        self.cell_told.setAccessibleName("The cell in words")
        column.addWidget(self.cell_told)
        self.summary = words("", "small", look="quiet", wrap=True)
        self.summary.setContentsMargins(24, 4, 24, 0)
        column.addWidget(self.summary)
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
        column.addSpacing(8)
        foot = QHBoxLayout()
        foot.setSpacing(8)
        sheet = button("Grade sheet …", tip="Write the grade sheet as a workbook (W)")
        report = button("Report …", tip="Write the staff's report as one page (R)")
        sheet.clicked.connect(self.write_sheet)
        report.clicked.connect(self.write_report)
        foot.addWidget(sheet)
        foot.addWidget(report)
        foot.addStretch(1)
        column.addLayout(foot)
        return side

    def _drill_side(self) -> QWidget:
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        column.addWidget(words("What to drill tomorrow", "head", 600))
        column.addWidget(words("by cause, because the cure differs", look="quiet"))
        column.addSpacing(6)
        column.addWidget(line_across())
        column.addSpacing(8)
        column.addWidget(self.drills, 1)
        return part

    def _rep_side(self) -> QWidget:
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        head = QHBoxLayout()
        self.cell_name = words("", "head", 600)
        close = button("close", "plain", tip="Back to what to drill (Esc)")
        close.clicked.connect(self.close_cell)
        head.addWidget(self.cell_name)
        head.addStretch(1)
        head.addWidget(close)
        column.addLayout(head)
        self.cell_words = words("", "small", look="quiet", wrap=True)
        column.addWidget(self.cell_words)
        column.addSpacing(6)
        column.addWidget(line_across())
        column.addSpacing(4)
        column.addWidget(self.reps, 1)
        return part

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Leave the table its room in a narrow window."""
        super().resizeEvent(event)
        self._beside.setFixedWidth(_NARROW_SIDE_PX if self.width() < _NARROW_PX else _SIDE_PX)

    def _choice(self, choose: Callable[[], None], name: str) -> QPushButton:
        made = button("", "words")
        made.setAccessibleName(name)
        made.setFont(font("title", 600))
        made.clicked.connect(partial(_run, choose))
        return made

    # ------------------------------------------------------------------ what is shown

    def enter(self) -> None:
        """Count the board the first time, and take the keys."""
        if self.board.view is None:
            self.board.count()
        self.table.setFocus()

    def header(self) -> str:
        """Say what the board rests on."""
        if self.board.view is None:
            return ""
        cell = self.board.view.board.group[ALL_RUNS]
        return f"{cell.examined} reps examined, {cell.passed} passed"

    def actions_here(self) -> Sequence[Action]:
        """Return what can be done with the board."""
        moves = (("cell left", "Left", 0, -1), ("cell right", "Right", 0, 1))
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
            Action(name="choose the group", keys=("G",), group="Board", run=self._choose_group),
            Action(
                name="choose what columns show", keys=("C",), group="Board", run=self._choose_way
            ),
            Action(name="choose sessions", keys=("S",), group="Board", run=self._choose_sessions),
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
        view, choice = self.board.view, self.board.choice
        if view is None:
            return
        _tell(self.group, choice.group)
        _tell(self.way, way_words(view.board.by))
        _tell(self.sessions, self._session_words())
        told = (
            "Each cell: rate, reps (examined + passed), 95 % interval. The dotted line is good, "
            f"{percent(view.board.good)}; ▼ where all of the interval lies below it. "
            "Where intervals overlap, the board ranks nobody."
        )
        self.reading.setText(told if view.lines else _NOTHING_YET)
        self.summary.setText(self.board.summary())
        self.table.renew()
        self.drills.show_drills(view.drills)
        self._show_chosen()
        self.told.emit(self.header())

    def _session_words(self) -> str:
        chosen = self.board.choice.session_ids
        if chosen is None:
            return "all sessions"
        names = [one.name for one in self.board.sessions() if one.id in chosen]
        return ", ".join(names) or "no session"

    def _show_chosen(self) -> None:
        chosen = self.board.chosen
        if chosen is None:
            self.side.setCurrentIndex(0)
        else:
            self.cell_name.setText(self.board.cell_name(chosen))
            self.cell_words.setText(self.board.cell_words(chosen))
            self.reps.show_rows(self.board.reps_of(chosen))
            self.side.setCurrentIndex(1)
        self.table.renew()

    def _tell_cell(self, cell: Cell | None) -> None:
        self.cell_told.setText(self.board.cell_words(cell) if cell else "")

    def _move(self, by: int) -> None:
        if self.reps.hasFocus():
            self.reps.move_row(by)
        else:
            self.table.go(by, 0)

    def _open(self) -> None:
        if self.reps.hasFocus():
            self.reps.open_here()
            return
        self.table.open_here()
        if self.board.chosen is not None:
            self.reps.setFocus()
            self.reps.setCurrentRow(0)

    # ------------------------------------------------------------------ choices

    def _choose_group(self) -> None:
        self._popup(
            self.group,
            [(group, partial(self.board.choose, group=group)) for group in self.board.groups()],
        )

    def _choose_way(self) -> None:
        self._popup(
            self.way,
            [(way_words(way), partial(self.board.choose, by=way)) for way in self.board.ways()],
        )

    def _choose_sessions(self) -> None:
        entries: list[_Entry] = [("all sessions", partial(self.board.choose, all_sessions=True))]
        entries += [
            (
                f"{one.name}  {one.day}".strip(),
                partial(self.board.choose, session_ids=(one.id,)),
            )
            for one in self.board.sessions()
        ]
        self._popup(self.sessions, entries)

    def _popup(self, below: QPushButton, entries: Sequence[_Entry]) -> None:
        menu = QMenu(self)
        menu.aboutToHide.connect(menu.deleteLater)
        for text, run in entries:
            action = menu.addAction(text)
            if action is not None:
                action.triggered.connect(partial(_run, run))
        menu.popup(below.mapToGlobal(below.rect().bottomLeft()))


def _run(run: Callable[[], object], _checked: bool = False) -> None:
    run()


def _with_ending(path: str, ending: str) -> str:
    return path if path.lower().endswith(ending) else f"{path}{ending}"


def _tell(choice: QPushButton, told: str) -> None:
    """Show what is chosen, and name it with what is asked."""
    choice.setText(told)
    asks = choice.accessibleName().partition(":")[0]
    choice.setAccessibleName(f"{asks}: {told}")
