"""The start page: open a book, make one, or look at the sample week."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from gradecut.app import forms
from gradecut.app.labels import button, line_across, words
from gradecut.app.theme import font

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["StartPage"]


class StartPage(QWidget):
    """What is seen while no book is open."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        outer = QHBoxLayout(self)
        outer.addStretch(1)
        column = QVBoxLayout()
        column.setSpacing(6)
        outer.addLayout(column)
        outer.addStretch(1)
        column.addStretch(2)
        column.addWidget(words("gradecut", "title", 600))
        about = words(
            "Cut the film, see what each man owed, grade how he fit, teach from it.", look="quiet"
        )
        column.addWidget(about)
        column.addSpacing(18)
        choices = QHBoxLayout()
        choices.setSpacing(10)
        self.open = button("Open a book", "accent", tip="Ctrl+O")
        self.new = button("Make a new book", tip="Ctrl+N")
        self.sample = button("Look at the sample week")
        self.open.clicked.connect(lambda: forms.choose_book(window))
        self.new.clicked.connect(lambda: forms.ask_new_book(window))
        self.sample.clicked.connect(lambda: forms.open_sample_week(window))
        for made in (self.open, self.new, self.sample):
            choices.addWidget(made)
        choices.addStretch(1)
        column.addLayout(choices)
        column.addSpacing(26)
        self._heading = words("Opened before", "small", 600, look="quiet")
        column.addWidget(self._heading)
        self._line = line_across()
        column.addWidget(self._line)
        self._recent = QVBoxLayout()
        self._recent.setSpacing(0)
        column.addLayout(self._recent)
        column.addStretch(3)
        self.setMinimumWidth(560)

    def show_recent(self, paths: Sequence[str]) -> None:
        """List the books opened before."""
        while (item := self._recent.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        self._heading.setVisible(bool(paths))
        self._line.setVisible(bool(paths))
        for path in paths:
            self._recent.addWidget(self._entry(path))

    def _entry(self, path: str) -> QPushButton:
        place = Path(path)
        made = button("", "row", tip=path)
        made.setAccessibleName(f"Open {place.stem}")
        made.clicked.connect(lambda: self._window.open_path(path))
        row = QHBoxLayout(made)
        row.setContentsMargins(8, 7, 8, 7)
        name = words(place.stem, weight=500)
        where = words(_shortened(place.parent), "small", look="quiet")
        for label in (name, where):
            label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        row.addWidget(name)
        row.addStretch(1)
        row.addWidget(where)
        made.setFixedHeight(34)
        made.setFont(font())
        return made


def _shortened(folder: Path) -> str:
    """Write a folder from the home folder on, and its end only when it is long."""
    try:
        told = str(Path("~") / folder.relative_to(Path.home()))
    except (ValueError, RuntimeError):
        told = str(folder)
    return told if len(told) <= 48 else f"…{told[-46:]}"
