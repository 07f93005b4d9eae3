"""The Scheme page: his rules as a grid, the audit and a look that might be beside it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from PyQt6.QtCore import QPoint
from PyQt6.QtGui import QResizeEvent
from PyQt6.QtWidgets import (
    QApplication,
    QHBoxLayout,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.actions import Action
from gradecut.app.file_check import FileCheck
from gradecut.app.grid_picker import FitPicker
from gradecut.app.grid_table import GridTable
from gradecut.app.handed_keys import hand_on_arrow, hand_on_enter
from gradecut.app.labels import button, line_down
from gradecut.app.menu import menu_of
from gradecut.app.page import Page
from gradecut.app.scheme_actions import row_actions, scheme_actions
from gradecut.app.scheme_asking import SchemeAsking
from gradecut.app.scheme_beside import SchemeBeside
from gradecut.app.scheme_chips import Flow
from gradecut.app.scheme_doors import SchemeDoors
from gradecut.app.scheme_findings import FindingsView
from gradecut.app.scheme_foot import SchemeFoot
from gradecut.app.scheme_head import SchemeHead
from gradecut.app.scheme_learning import LearningView
from gradecut.app.scheme_met import MetView
from gradecut.app.scheme_side import SideViews
from gradecut.app.theme import Dress
from gradecut.app.what_if_panel import WhatIfPanel
from gradecut.desk import Desk
from gradecut.desk.saying import Refusal
from gradecut.desk.scheme_audit import FindingRow

__all__ = ["FINDINGS", "LEARN", "ON_FILM", "WHAT_IF", "SchemePage"]

FINDINGS, WHAT_IF, LEARN, ON_FILM = "Findings", "What if", "Learn", "On film"
_SIDE_PX, _NARROW_SIDE_PX, _NARROW_PX = 430, 340, 1300
_LEAST_SIDE_PX, _LEAST_PX = 300, 1000
_PICTURE_PX, _LOW_PICTURE_PX, _LOW_PX = 252, 184, 680
_GRID, _FILE, _DOORS = 0, 1, 2


class SchemePage(Page):
    """Shows the grid, a file that was looked at, or the ways to a first scheme.

    Attributes
    ----------
    asking : SchemeAsking
        The forms it opens.
    side : SideViews
        What stands beside the grid; more views can be added.
    doors : SchemeDoors
        The ways to a first scheme; more can be added.
    """

    def __init__(self, desk: Desk, dress: Dress) -> None:
        super().__init__(desk, dress)
        self.scheme = desk.scheme
        self.asking = SchemeAsking(self)
        self.head = SchemeHead(self.scheme)
        self.grid = GridTable(self.scheme, dress)
        self.file = FileCheck(dress)
        self.doors = SchemeDoors()
        self.doors.add_usual(self.asking)
        self.picker = FitPicker(self.scheme.hand.fits, dress, self)
        self.findings = FindingsView(self.scheme.audit, dress)
        self.learning = LearningView(self.scheme.learning, dress)
        self.met = MetView(self.scheme.met, dress)
        self.what_if = WhatIfPanel(dress)
        self.side = SideViews()
        self.beside = SchemeBeside(self)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(self._main_part(), 1)
        self._line = line_down()
        whole.addWidget(self._line)
        whole.addWidget(self._side_part())
        self._connect()
        self._show_scheme()

    # ------------------------------------------------------------------ making it

    def _main_part(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setContentsMargins(0, 20, 0, 8)
        column.setSpacing(0)
        column.addWidget(self.head)
        self.stack = QStackedWidget()
        for part in (self.grid, self.file, self.doors):
            self.stack.addWidget(part)
        column.addWidget(self.stack, 1)
        self.foot = SchemeFoot()
        column.addWidget(self.foot)
        return column

    def _side_part(self) -> QWidget:
        self.side.setFixedWidth(_SIDE_PX)
        self.side.add_view(FINDINGS, "Alt+1", self.findings)
        part = QWidget()
        column = QVBoxLayout(part)
        column.setContentsMargins(0, 10, 0, 0)
        column.setSpacing(0)
        head = QHBoxLayout()
        head.setContentsMargins(12, 0, 14, 0)
        ways = Flow(gap_px=2)
        head.addLayout(ways, 1)
        column.addLayout(head)
        for name, tip, run in (
            (
                "use this play's look",
                "The look of the play on the Film page (Alt+T)",
                self.take_look,
            ),
            ("clear", "Forget all facts (Alt+N)", self.clear),
            ("add as a row", "A row for this look, for the man in hand (Alt+R)", self.row_of_look),
        ):
            made = button(name, "plain", tip=tip)
            made.clicked.connect(partial(_run, run))
            ways.addWidget(made)
        column.addWidget(self.what_if, 1)
        self.side.add_view(WHAT_IF, "Alt+2", part, self._show_what_if)
        for name, key, view, renewed in (
            (LEARN, "Alt+3", self.learning, self.scheme.learning.learn),
            (ON_FILM, "Alt+4", self.met, self.scheme.met.look_through),
        ):
            self.side.add_view(name, key, view, view.take_keys, renewed=renewed)
        return self.side

    def _connect(self) -> None:
        self.head.kept.connect(self.keep)
        self.head.file_asked.connect(self.asking.choose_file)
        self.head.group_chosen.connect(self.grid.setFocus)
        self.grid.typed.connect(self.pick)
        self.grid.opened.connect(self.pick)
        self.grid.row_opened.connect(self.asking.change_looks)
        self.grid.row_asked.connect(self.asking.add_row)
        self.grid.menu_asked.connect(self._open_menu)
        self.picker.chosen.connect(self._take_fit)
        self.picker.left.connect(self._end_choosing)
        self.findings.asked.connect(self.go_to_finding)
        self.learning.play_asked.connect(self.beside.show_play)
        self.met.play_asked.connect(self.beside.show_play)
        self.met.asked.connect(self.beside.go_to_met)
        self.scheme.keeping.asked.connect(self.asking.tell_effects)
        self.scheme.scheme_changed.connect(self._show_scheme)
        self.scheme.checked_changed.connect(self._show_checked)
        self.scheme.audit.changed.connect(self._show_audit)
        self.scheme.hand.place_changed.connect(self._tell_cell)
        self.scheme.hand.place_changed.connect(self.picker.close_it)
        self.scheme.hand.rows_changed.connect(self._tell_cell)
        self.desk.book_changed.connect(self._follow_book)

    # ------------------------------------------------------------------ Page

    def enter(self) -> None:
        """Take the keys, say where a draft was left, and read anew what stands beside the grid."""
        self.scheme.in_hand = True
        self.desk.undo_changed.emit()
        self.side.renew()
        self.scheme.welcome()
        self.back_to_grid()

    def leave(self) -> None:
        """Give Ctrl+Z back to the book."""
        self.scheme.in_hand = False
        self.desk.undo_changed.emit()
        self.picker.close_it(by_key=False)

    def header(self) -> str:
        """Name the scheme that is shown."""
        return self.scheme.title()

    def actions_here(self) -> Sequence[Action]:
        """Return what can be done with the scheme."""
        return scheme_actions(self)

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Give a narrow window's room to the grid; a list that stands open on it is left."""
        super().resizeEvent(event)
        self.picker.close_it()
        narrow = self.width() < _NARROW_PX
        least = self.width() < _LEAST_PX
        side = _LEAST_SIDE_PX if least else _NARROW_SIDE_PX if narrow else _SIDE_PX
        self.side.setFixedWidth(side)
        low = self.height() < _LOW_PX
        self.what_if.picture.setFixedHeight(_LOW_PICTURE_PX if low else _PICTURE_PX)
        self.foot.set_narrow(least)

    # ------------------------------------------------------------------ cells

    def back_to_grid(self) -> None:
        """Give the keys to what is shown."""
        index = self.stack.currentIndex()
        if index == _DOORS and self.doors.doors:
            self.doors.doors[0].setFocus()
        else:
            (self.file if index == _FILE else self.grid).setFocus()

    def go(self, down: int, across: int) -> None:
        """Move the cell in hand, or what the keys are on beside the grid."""
        focus = QApplication.focusWidget()
        view = self.side.view_with_keys()
        if view is not None and down:
            view.choose(down)
        elif focus in (self.grid, self, None):
            self.scheme.hand.go(down, across)
        else:
            hand_on_arrow(focus, down, across)

    def page(self, by: int) -> None:
        """Go a page of rows up or down."""
        self.scheme.hand.go(by * self.grid.rows_seen(), 0)

    def open_here(self) -> None:
        """Open what the keys are on: the list of fits, or a finding."""
        focus = QApplication.focusWidget()
        view = self.side.view_with_keys()
        if view is not None:
            view.go()
        elif focus in (self.grid, self, None):
            self.pick()
        else:
            hand_on_enter(focus)

    def pick(self, typed: str = "") -> None:
        """Open the list of fits for the cell in hand."""
        if self.scheme.hand.place is None:
            self.desk.say(Refusal("There is no row yet; + adds one."))
            return
        self.grid.show_place()
        port = self.grid.viewport()
        rect = self.grid.rect_in_hand()
        if port is not None:
            rect.moveTopLeft(port.mapTo(self, rect.topLeft()))
        self.grid.choosing = True
        row, place = self.scheme.hand.row(), self.scheme.hand.place
        cell = row.cells.get(place.man) if row is not None else None
        self.picker.open_at(rect, typed, cell.fit if cell is not None else "")

    def clear_cell(self) -> None:
        """Ask nothing of the man in hand on his row's looks."""
        focus = QApplication.focusWidget()
        view = self.side.view_with_keys()
        if view is not None:
            view.drop()
        elif focus in (self.grid, self, None):
            self.scheme.hand.clear()

    def _end_choosing(self, by_key: bool = True) -> None:
        self.grid.choosing = False
        self.grid.show_place()
        if by_key:
            self.grid.setFocus()

    def _take_fit(self, fit: str, on: int) -> None:
        self._end_choosing()
        self.scheme.hand.set_fit(fit)
        if on:
            self.scheme.hand.go(0, on)

    def row_of_look(self) -> None:
        """Make a row of the look that might be, as the man in hand sees it."""
        what_if = self.scheme.what_if
        if what_if is None or not what_if.look:
            self.desk.say(Refusal("Tell a fact of the look first; a row is made of those told."))
            return
        if self.scheme.rows.add_look(what_if.look):
            self.back_to_grid()

    # ------------------------------------------------------------------ findings, what if, files

    def go_to_finding(self, finding: FindingRow) -> None:
        """Go to the cell of a finding, or open a row for the look that has no answer.

        A duty is broken by no one row: its finding stays in view, its look drawn.
        """
        if finding.kind == "hole" and finding.position:
            lowest = self.scheme.hand.tiers[0]
            if self.scheme.rows.add_look(finding.look, finding.position, lowest):
                self.grid.setFocus()
                self.pick()
        elif finding.rules and self.scheme.hand.go_to(finding.rules, finding.position):
            self.grid.setFocus()
        elif finding.look:
            self.side.show_view(FINDINGS)
            self.findings.take_keys()
            if self.scheme.what_if is not None:
                self.scheme.what_if.start_from(finding.look)
        elif finding.kind == "idle":
            self.desk.say("Ask it in a row, or drop it among the facts (Ctrl+Shift+K).")
        else:
            self.desk.say("It stands among where they line up (Ctrl+Shift+L).")

    def next_finding(self, by: int) -> None:
        """Go to the next finding, or to one before."""
        if self.side.name != FINDINGS:
            self.side.show_view(FINDINGS)
        self.findings.step(by)

    def take_look(self) -> None:
        """Take over the look of the play on the Film page."""
        what_if = self.scheme.what_if
        if what_if is None:
            return
        self.side.show_view(WHAT_IF)
        look = self.desk.look_on_film()
        if look:
            what_if.start_from(look)
        else:
            self.desk.say("The play on the Film page has no look yet.")

    def clear(self) -> None:
        """Know nothing of the look."""
        if self.scheme.what_if is not None:
            self.scheme.what_if.clear()

    def keep(self) -> None:
        """Put the draft in force, or the file that is looked at."""
        if self.scheme.checked is not None:
            self.scheme.put_in_force()
        else:
            self.scheme.keep()

    def escape(self) -> None:
        """Leave the file, or come back to the grid."""
        if self.scheme.checked is not None:
            self.scheme.put_away()
        self.back_to_grid()

    # ------------------------------------------------------------------ what is shown

    def _show_scheme(self) -> None:
        self._show_checked()
        if self.side.name == WHAT_IF:
            self._show_what_if()
        self.told.emit(self.header())
        self.desk.undo_changed.emit()

    def _show_checked(self) -> None:
        checked = self.scheme.checked
        self.head.renew()
        if checked is not None:
            self.file.show_check(checked)
        index = _FILE if checked is not None else _DOORS if self.scheme.shown is None else _GRID
        self.stack.setCurrentIndex(index)
        for part in (self._line, self.side):
            part.setVisible(self.scheme.shown is not None)
        self.foot.setVisible(index == _GRID)
        self.head.setVisible(index != _DOORS)

    def _show_audit(self) -> None:
        audit = self.scheme.audit
        serious = sum(row.serious for row in audit.rows)
        self.side.tell(
            FINDINGS, f"· {serious}" if serious else "",
            f"{serious} of {len(audit.rows)} to be mended" if serious else "",
        )  # fmt: skip
        self.grid.show_place()

    def _show_what_if(self) -> None:
        self.what_if.show_what_if(self.scheme.what_if)

    def _follow_book(self, _tables: frozenset[str]) -> None:
        """Read anew beside the grid what was said or told, as long as the page is shown."""
        if self.scheme.in_hand:
            self.side.renew()

    def _tell_cell(self) -> None:
        self.foot.told.setText(self.scheme.hand.cell_words())

    def _open_menu(self, at: QPoint) -> None:
        menu = menu_of(row_actions(self), self)
        menu.aboutToHide.connect(menu.deleteLater)
        menu.popup(at)


def _run(run: Callable[[], object], _checked: bool = False) -> None:
    run()
