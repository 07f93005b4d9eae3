"""What every form is made of: named rows, a file to choose, a refusal, two buttons."""

from __future__ import annotations

from PyQt6.QtGui import QShowEvent
from PyQt6.QtWidgets import (
    QComboBox,
    QDialog,
    QFileDialog,
    QGridLayout,
    QHBoxLayout,
    QLineEdit,
    QVBoxLayout,
    QWidget,
)

from gradecut.app.labels import button, words
from gradecut.app.sheet_room import Scrolled, fit_around

__all__ = ["FileField", "Form"]

_ROW_PX = 31
"""Rows are as high as a text field, so that they stand in one pitch."""


class FileField(QWidget):
    """A path to write, with a button to choose it.

    Parameters
    ----------
    asks : str
        The title of the chooser.
    files : str
        Which files it shows.
    to_save : bool
        Choose a name for a file that is not there yet.
    """

    def __init__(self, asks: str, files: str, *, to_save: bool = False) -> None:
        super().__init__()
        self._asks, self._files, self._to_save = asks, files, to_save
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(8)
        self.path = QLineEdit()
        self.choose = button("Choose …")
        self.choose.setAutoDefault(False)
        self.choose.clicked.connect(self._choose)
        row.addWidget(self.path, 1)
        row.addWidget(self.choose)
        self.setFocusProxy(self.path)

    def text(self) -> str:
        """Return the path as it stands."""
        return self.path.text().strip()

    def _choose(self) -> None:
        ask = QFileDialog.getSaveFileName if self._to_save else QFileDialog.getOpenFileName
        path, _ = ask(self, self._asks, self.text(), self._files)
        if path:
            self.path.setText(path)


class Form(QDialog):
    """A form with a title, rows, and a sentence when it is refused.

    The cursor stands in its first row, so that what is typed is written there; Enter does
    what the form is for.
    """

    def __init__(self, parent: QWidget, title: str, does: str) -> None:
        super().__init__(parent)
        self.setWindowTitle(title)
        self.setMinimumWidth(520)
        self._first: QWidget | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(26, 22, 26, 20)
        column.setSpacing(6)
        column.addWidget(words(title, "title", 600))
        column.addSpacing(8)
        self.rows = QGridLayout()
        self.rows.setHorizontalSpacing(14)
        self.rows.setVerticalSpacing(9)
        self.rows.setColumnStretch(1, 1)
        self._asked = Scrolled()
        self._asked.column.addLayout(self.rows)
        self._asked.column.addStretch(1)
        self._asked.grown.connect(self._grow)
        column.addWidget(self._asked, 1)
        self.refusal = words("", look="warn", wrap=True)
        self.refusal.setVisible(False)
        column.addWidget(self.refusal)
        column.addSpacing(8)
        foot = QHBoxLayout()
        foot.addStretch(1)
        leave = button("Cancel", tip="Esc")
        leave.setAutoDefault(False)
        leave.clicked.connect(self.reject)
        self.do = button(does, "accent")
        self.do.setDefault(True)
        self.do.clicked.connect(self.submit)
        foot.addWidget(leave)
        foot.addWidget(self.do)
        column.addLayout(foot)

    def add_row(self, name: str, field: QWidget, hint: str = "") -> None:
        """Add a named field, with a hint below it."""
        row = self.rows.rowCount()
        self._first = self._first or field
        label = words(name, look="quiet")
        label.setBuddy(field)
        label.setMinimumHeight(_ROW_PX)
        field.setAccessibleName(name)
        if (inner := field.focusProxy()) is not None and not inner.accessibleName():
            inner.setAccessibleName(name)
        self.rows.addWidget(label, row, 0)
        self.rows.addWidget(field, row, 1)
        if hint:
            self.rows.addWidget(words(hint, "small", look="quiet", wrap=True), row + 1, 1)

    def refuse(self, sentence: str) -> None:
        """Say why the form can't be taken as it is."""
        self.refusal.setText(sentence)
        self.refusal.setVisible(bool(sentence))
        if self.isVisible():
            self.fit()

    def fit(self) -> None:
        """Be as large as what is asked, and no larger than the window below."""
        fit_around(self, self._asked)

    def _grow(self) -> None:
        if self.isVisible():
            self.fit()

    def showEvent(self, event: QShowEvent | None) -> None:
        """Put the cursor into the first row, what stands in it selected."""
        if event is not None and not event.spontaneous():
            self.resize(self.minimumSize())  # what Qt guesses is too high where words wrap
            self.fit()
        super().showEvent(event)
        self.fit()
        field = self._first
        if field is None:
            return
        while (inner := field.focusProxy()) is not None:
            field = inner
        field.setFocus()
        line = field.lineEdit() if isinstance(field, QComboBox) else field
        if isinstance(line, QLineEdit):
            line.selectAll()

    def submit(self) -> None:
        """Take what was written; a form says how."""
        self.accept()
