"""The Scheme page: the rules in force, a check of a file, and a look that might be."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PyQt6.QtWidgets import (
    QButtonGroup,
    QFileDialog,
    QHBoxLayout,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.actions import Action
from gradecut.app.file_check import FileCheck
from gradecut.app.labels import button, line_down, words
from gradecut.app.page import Page
from gradecut.app.rule_table import RuleTable
from gradecut.app.theme import Dress
from gradecut.app.what_if_panel import WhatIfPanel
from gradecut.desk import Desk

__all__ = ["SchemePage"]


class SchemePage(Page):
    """Shows the scheme in force, or a file that was looked at, beside a look that might be."""

    def __init__(self, desk: Desk, dress: Dress) -> None:
        super().__init__(desk, dress)
        self.scheme = desk.scheme
        self.rules = RuleTable(dress)
        self.file = FileCheck(dress)
        self.what_if = WhatIfPanel(dress)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(self._main_part(), 1)
        whole.addWidget(line_down())
        whole.addWidget(self._side_part())
        self._group = ""
        self.scheme.scheme_changed.connect(self._show_scheme)
        self.scheme.checked_changed.connect(self._show_checked)
        dress.changed.connect(self._show_rules)
        self._show_scheme()

    def _main_part(self) -> QVBoxLayout:
        column = QVBoxLayout()
        column.setContentsMargins(0, 20, 0, 12)
        column.setSpacing(0)
        head = QHBoxLayout()
        head.setContentsMargins(24, 0, 24, 0)
        head.setSpacing(8)
        self.title = words("", "title", 600)
        self.check = button("Check a file …", tip="Look at a scheme file for faults (O)")
        self.check.clicked.connect(self.choose_file)
        self.put = button("Put in force", "accent", tip="Grade by this file from now on")
        self.put.clicked.connect(self.scheme.put_in_force)
        self.away = button("Put away", "plain", tip="Back to the scheme in force (Esc)")
        self.away.clicked.connect(self.scheme.put_away)
        head.addWidget(self.title)
        head.addStretch(1)
        for part in (self.away, self.put, self.check):
            head.addWidget(part)
        column.addLayout(head)
        self.subtitle = words("", look="quiet", wrap=True)
        self.subtitle.setContentsMargins(24, 6, 24, 8)
        column.addWidget(self.subtitle)
        self.groups = QHBoxLayout()
        self.groups.setContentsMargins(24, 0, 24, 8)
        self.groups.setSpacing(6)
        self._group_buttons = QButtonGroup(self)
        column.addLayout(self.groups)
        self.stack = QStackedWidget()
        shown = QWidget()
        inside = QVBoxLayout(shown)
        inside.setContentsMargins(16, 0, 8, 0)
        inside.addWidget(self.rules)
        self.stack.addWidget(shown)
        self.stack.addWidget(self.file)
        column.addWidget(self.stack, 1)
        return column

    def _side_part(self) -> QWidget:
        side = QWidget()
        side.setFixedWidth(470)
        column = QVBoxLayout(side)
        column.setContentsMargins(0, 20, 0, 0)
        column.setSpacing(0)
        head = QHBoxLayout()
        head.setContentsMargins(20, 0, 14, 0)
        head.addWidget(words("What if they show …", "head", 600))
        head.addStretch(1)
        self.take = button("this play", "plain", tip="The look of the play on the Film page (T)")
        self.take.clicked.connect(self.take_look)
        nothing = button("know nothing", "plain", tip="Forget all facts (N)")
        nothing.clicked.connect(self.clear)
        head.addWidget(self.take)
        head.addWidget(nothing)
        column.addLayout(head)
        column.addWidget(self.what_if, 1)
        return side

    # ------------------------------------------------------------------ what can be done

    def enter(self) -> None:
        """Start from the play on the Film page while nothing is told yet."""
        what_if = self.scheme.what_if
        if what_if is not None and not what_if.look and "film" in self.desk.__dict__:
            self.take_look()
        self.rules.setFocus()

    def header(self) -> str:
        """Name the scheme in force."""
        return self.scheme.title()

    def actions_here(self) -> Sequence[Action]:
        """Return what can be done with the scheme."""
        return (
            Action(name="check a file", keys=("O",), group="Scheme", run=self.choose_file),
            Action(
                name="put the checked file in force",
                keys=("Ctrl+Return",),
                group="Scheme",
                run=self.scheme.put_in_force,
            ),
            Action(
                name="back to the scheme in force",
                keys=("Escape",),
                group="Scheme",
                run=self.scheme.put_away,
            ),
            Action(name="next group of men", keys=("G",), group="Scheme", run=self._next_group),
            Action(
                name="what if: the look of this play",
                keys=("T",),
                group="Scheme",
                run=self.take_look,
            ),
            Action(name="what if: know nothing", keys=("N",), group="Scheme", run=self.clear),
        )

    def choose_file(self) -> None:
        """Ask which file, and look at it."""
        path, _ = QFileDialog.getOpenFileName(
            self, "Check a scheme file", "", "Schemes (*.toml);;All files (*)"
        )
        if path:
            self.scheme.check_file(path)

    def take_look(self) -> None:
        """Take over the look of the play on the Film page."""
        what_if = self.scheme.what_if
        if what_if is None:
            return
        look = self.desk.look_on_film()
        if look:
            what_if.start_from(look)
        else:
            self.desk.say("The play on the Film page has no look yet.")

    def clear(self) -> None:
        """Know nothing of the look."""
        if self.scheme.what_if is not None:
            self.scheme.what_if.clear()

    # ------------------------------------------------------------------ what is shown

    def _show_scheme(self) -> None:
        self.title.setText(self.scheme.title())
        self.subtitle.setText(self.scheme.subtitle())
        while (item := self.groups.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                self._group_buttons.removeButton(widget)  # type: ignore[arg-type]  # only buttons are laid here
                widget.deleteLater()
        groups = (*self.scheme.groups(), "")
        if self._group not in groups or not self._group:
            self._group = groups[0]
        for group in groups if len(groups) > 1 else ():
            made = button(group or "all men", "choice")
            made.setCheckable(True)
            made.setChecked(group == self._group)
            made.clicked.connect(partial(self._choose_group, group))
            self._group_buttons.addButton(made)
            self.groups.addWidget(made)
        self.groups.addStretch(1)
        self.what_if.show_what_if(self.scheme.what_if)
        self._show_rules()
        self._show_checked()
        self.told.emit(self.header())

    def _show_rules(self) -> None:
        self.rules.show_rules(self.scheme.rules(self._group))

    def _show_checked(self) -> None:
        checked = self.scheme.checked
        self.put.setVisible(checked is not None)
        self.put.setEnabled(checked is not None and checked.scheme is not None)
        self.away.setVisible(checked is not None)
        if checked is not None:
            self.file.show_check(checked)
        self.stack.setCurrentIndex(0 if checked is None else 1)
        for made in self._group_buttons.buttons():
            made.setVisible(checked is None)

    def _choose_group(self, group: str, _checked: bool = False) -> None:
        self._group = group
        self._show_rules()

    def _next_group(self) -> None:
        buttons = self._group_buttons.buttons()
        at = next((place for place, made in enumerate(buttons) if made.isChecked()), -1)
        if buttons:
            buttons[(at + 1) % len(buttons)].click()
