"""A look that might be: its facts to choose, its picture, and what each man would owe."""

from __future__ import annotations

from collections.abc import Sequence

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import (
    QComboBox,
    QGridLayout,
    QHBoxLayout,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.drop_down import DropDown
from gradecut.app.labels import button, line_across, words
from gradecut.app.painted import PaintedList
from gradecut.app.scheme_chips import Flow
from gradecut.app.theme import Dress
from gradecut.desk.what_if import FactRow, ManRow, WhatIf
from gradecut.drawing import Shape, look_shapes, look_words
from gradecut.workflows.rule_words import value_words

__all__ = ["WhatIfPanel"]

_MOST_BUTTONS = 5
_NOT_KNOWN = "not known"


class WhatIfPanel(QWidget):
    """Shows a WhatIf and tells it facts."""

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self._dress = dress
        self.what_if: WhatIf | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        self.picture = PaintedList(self._shapes)
        self.picture.setFixedHeight(252)
        self.picture.setAccessibleName("Picture of the look that is told")
        column.addWidget(self.picture)
        self.asks = words("", "body", 500, wrap=True)
        self.asks.setContentsMargins(20, 4, 20, 8)
        column.addWidget(self.asks)
        column.addWidget(line_across())
        area = QScrollArea()
        area.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        area.setWidgetResizable(True)
        area.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        inside = QWidget()
        below = QVBoxLayout(inside)
        below.setContentsMargins(20, 10, 16, 12)
        below.setSpacing(0)
        self._facts = QGridLayout()
        self._facts.setHorizontalSpacing(12)
        self._facts.setVerticalSpacing(6)
        self._facts.setColumnStretch(1, 1)
        below.addLayout(self._facts)
        below.addSpacing(12)
        self._men = QVBoxLayout()
        self._men.setSpacing(2)
        below.addLayout(self._men)
        below.addStretch(1)
        area.setWidget(inside)
        column.addWidget(area, 1)
        self.fields: dict[str, _FactField] = {}
        dress.changed.connect(self.picture.renew)

    def show_what_if(self, what_if: WhatIf | None) -> None:
        """Show a look under a scheme."""
        if self.what_if is not None:
            self.what_if.changed.disconnect(self.renew)
        self.what_if = what_if
        _empty(self._facts)
        self.fields.clear()
        if what_if is None:
            return
        what_if.changed.connect(self.renew)
        for place, row in enumerate(what_if.facts()):
            field = _FactField(row, what_if)
            self.fields[row.reference] = field
            self._facts.addWidget(field.name, place, 0)
            self._facts.addWidget(field, place, 1)
        self.renew()

    def renew(self) -> None:
        """Show what follows from the facts."""
        what_if = self.what_if
        if what_if is None:
            return
        for row in what_if.facts():
            self.fields[row.reference].show_row(row)
        question = what_if.question()
        self.asks.setText(
            f"First answer: {question}" if question else "Every man's fit is settled."
        )
        self.picture.renew()
        self.picture.setAccessibleDescription(look_words(what_if.picture()))
        self._show_men(what_if.men())

    def _show_men(self, rows: Sequence[ManRow]) -> None:
        _empty(self._men)
        for row in rows:
            if row.graded:
                self._men.addWidget(line_across())
                self._men.addWidget(_graded_man(row))
        others = [row for row in rows if not row.graded]
        if others:
            self._men.addWidget(line_across())
            self._men.addSpacing(6)
        for row in others:
            told = words(f"{row.position}: {row.owes}", "small", look="quiet", wrap=True)
            told.setToolTip(row.reason)
            self._men.addWidget(told)

    def _shapes(self, width_px: float, height_px: float) -> Sequence[Shape]:
        if self.what_if is None:
            return ()
        drawn = look_shapes(
            self.what_if.picture(),
            size_px=(width_px, height_px),
            palette=self._dress.theme.drawn,
        )
        return drawn.shapes


class _FactField(QWidget):
    """One question: buttons for a few answers, a list for many."""

    def __init__(self, row: FactRow, what_if: WhatIf) -> None:
        super().__init__()
        self._what_if = what_if
        self._row = row
        self.name = words(row.name)
        self.name.setToolTip(row.asks)
        self.setAccessibleName(row.asks or row.name)
        self.buttons: list[QPushButton] = []
        self.list: QComboBox | None = None
        if len(row.values) <= _MOST_BUTTONS:
            flow = Flow(self)
            for value in row.values:
                made = button(value_words(value), "choice")
                made.setCheckable(True)
                made.clicked.connect(lambda on, value=value: self._tell(value if on else None))
                self.buttons.append(made)
                flow.addWidget(made)
        else:
            self.list = DropDown()
            self.list.setAccessibleName(row.asks or row.name)
            self.list.addItems([_NOT_KNOWN, *(value_words(value) for value in row.values)])
            self.list.activated.connect(
                lambda at: self._tell(self._row.values[at - 1] if at else None)
            )
            line = QVBoxLayout(self)
            line.setContentsMargins(0, 0, 0, 0)
            line.addWidget(self.list)

    def show_row(self, row: FactRow) -> None:
        """Show what is told, and whether it matters."""
        self._row = row
        self.name.setText(f"{row.name} ?" if row.matters and row.value is None else row.name)
        for made, value in zip(self.buttons, row.values, strict=False):
            made.setChecked(value == row.value and type(value) is type(row.value))
        if self.list is not None:
            at = row.values.index(row.value) + 1 if row.value is not None else 0
            self.list.setCurrentIndex(at)

    def _tell(self, value: str | int | bool | None) -> None:
        self._what_if.tell(self._row.reference, value)


def _graded_man(row: ManRow) -> QWidget:
    part = QWidget()
    column = QVBoxLayout(part)
    column.setContentsMargins(0, 8, 0, 8)
    column.setSpacing(2)
    head = QHBoxLayout()
    head.setSpacing(8)
    told = f"{row.position} owes {row.owes}" if row.settled else f"{row.position}: still open"
    head.addWidget(words(told, "lead", 600, wrap=True), 1)
    if row.told_by:
        by = words(row.told_by, "small", look="quiet")
        head.addWidget(by, 0, Qt.AlignmentFlag.AlignTop)
    column.addLayout(head)
    if row.lines_up:
        column.addWidget(words(f"Lines up {row.lines_up}", "small", 500, wrap=True))
    if row.cue:
        column.addWidget(words(row.cue, wrap=True))
    column.addWidget(words(row.reason, "small", look="quiet", wrap=True))
    return part


def _empty(layout: QGridLayout | QVBoxLayout) -> None:
    """Take everything out of a layout."""
    while (item := layout.takeAt(0)) is not None:
        widget = item.widget()
        if widget is not None:
            widget.hide()
            widget.deleteLater()
