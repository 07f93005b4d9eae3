"""The top of the Scheme page: what is shown, how far it is from what is in force, whose columns."""

from __future__ import annotations

from functools import partial

from PyQt6.QtCore import pyqtSignal
from PyQt6.QtGui import QResizeEvent
from PyQt6.QtWidgets import QButtonGroup, QHBoxLayout, QVBoxLayout, QWidget

from gradecut.app.labels import button, words
from gradecut.desk.scheme_desk import SchemeDesk

__all__ = ["SchemeHead"]

_NARROW_PX = 660
"""Below this width a draft is told below the title, and a file to check has its key alone."""


class SchemeHead(QWidget):
    """Names the scheme, tells the edits not in force, and lets a group of men be chosen.

    Signals
    -------
    kept, file_asked
        What is shown is to be put in force; a file is to be looked at.
    group_chosen
        Another group of men is shown.
    """

    kept = pyqtSignal()
    file_asked = pyqtSignal()
    group_chosen = pyqtSignal()

    def __init__(self, desk: SchemeDesk) -> None:
        super().__init__()
        self._desk = desk
        self._narrow = False
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 0, 24, 8)
        column.setSpacing(0)
        head = QHBoxLayout()
        head.setSpacing(8)
        self.title = words("", "title", 600)
        self.edits = words("", "body", look="quiet")
        self.drop = button("Discard the edits", "plain", tip="Back to what is in force")
        self.drop.clicked.connect(lambda _: desk.drop_draft())
        self.away = button("Put away", "plain", tip="Back to the grid (Esc)")
        self.away.clicked.connect(lambda _: desk.put_away())
        self.work = button("Work on it", tip="Take the file into the grid; nothing is in force yet")
        self.work.clicked.connect(lambda _: desk.work_on_file())
        self.put = button("Keep and put in force", "accent", tip="Ctrl+Enter")
        self.put.clicked.connect(self.kept)
        self.check = button("Check a file …", tip="Look at a scheme file (Ctrl+Shift+O)")
        self.check.clicked.connect(self.file_asked)
        head.addWidget(self.title)
        head.addStretch(1)
        for part in (self.edits, self.drop, self.away, self.work, self.put, self.check):
            head.addWidget(part)
        column.addLayout(head)
        self.subtitle = words("", look="quiet", wrap=True)
        self.subtitle.setContentsMargins(0, 6, 0, 8)
        column.addWidget(self.subtitle)
        self._row = QHBoxLayout()
        self._row.setSpacing(6)
        self._buttons = QButtonGroup(self)
        desk.hand.rows_changed.connect(self._show_groups)
        column.addLayout(self._row)

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Say less where there is less room: what is left out has keys."""
        super().resizeEvent(event)
        if (self.width() < _NARROW_PX) != self._narrow:
            self._narrow = self.width() < _NARROW_PX
            self.renew()

    def renew(self) -> None:
        """Show what the desk holds now."""
        self.title.setText(self._desk.title())
        edits = self._desk.draft_words() if self._narrow and self._desk.checked is None else ""
        self.subtitle.setText(" · ".join(part for part in (edits, self._desk.subtitle()) if part))
        self.subtitle.setVisible(bool(self.subtitle.text()))
        self._show_groups()
        self._show_buttons()

    def next_group(self) -> None:
        """Show the next group of men."""
        buttons = self._buttons.buttons()
        at = next((place for place, made in enumerate(buttons) if made.isChecked()), -1)
        if buttons:
            buttons[(at + 1) % len(buttons)].click()

    def _show_groups(self) -> None:
        groups = (*self._desk.groups(), "")
        groups = groups if len(groups) > 1 else ()
        if [made.property("group") for made in self._buttons.buttons()] != list(groups):
            while (item := self._row.takeAt(0)) is not None:
                if (widget := item.widget()) is not None:
                    self._buttons.removeButton(widget)  # type: ignore[arg-type]  # only buttons are laid here
                    widget.deleteLater()
            for group in groups:
                made = button(group or "all men", "choice")
                made.setCheckable(True)
                made.setProperty("group", group)
                made.clicked.connect(partial(self._choose, group))
                self._buttons.addButton(made)
                self._row.addWidget(made)
            self._row.addStretch(1)
        for one in self._buttons.buttons():
            one.setChecked(one.property("group") == self._desk.hand.group)
            one.setVisible(self._desk.checked is None)

    def _show_buttons(self) -> None:
        checked, draft = self._desk.checked, self._desk.draft_words()
        self.edits.setText(draft if checked is None and not self._narrow else "")
        self.drop.setVisible(bool(draft) and checked is None)
        brief = checked is not None or self._narrow
        self.put.setText("Put in force" if brief else "Keep and put in force")
        self.put.setVisible(bool(draft) or checked is not None)
        self.put.setEnabled(checked is None or checked.scheme is not None)
        self.work.setVisible(checked is not None)
        self.work.setEnabled(checked is not None and checked.scheme is not None)
        self.away.setVisible(checked is not None)
        busy = bool(draft) and self._narrow
        self.check.setVisible(checked is None and self._desk.shown is not None and not busy)

    def _choose(self, group: str, _checked: bool = False) -> None:
        self._desk.hand.show_group(group)
        self.group_chosen.emit()
