"""The start page: open a book, make one, or look at the sample week."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from gradecut.app import forms
from gradecut.app.labels import button, lead_with, line_across, words
from gradecut.app.theme import font
from gradecut.desk.remembered import Remembered

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow

__all__ = ["StartPage"]


class StartPage(QWidget):
    """What is seen while no book is open."""

    def __init__(self, window: MainWindow) -> None:
        super().__init__()
        self._window = window
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName("Start: open a book, make one, or look at the sample week")
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
        self.open = button("Open a book", tip="Ctrl+O")
        self.new = button("Make a new book", tip="Ctrl+N")
        self.sample = button("Look at the sample week", tip="A practice of twelve plays, drawn")
        self.open.clicked.connect(lambda: forms.choose_book(window))
        self.new.clicked.connect(lambda: forms.ask_new_book(window))
        self.sample.clicked.connect(lambda: forms.open_sample_week(window))
        for made in (self.open, self.new, self.sample):
            choices.addWidget(made)
        choices.addStretch(1)
        column.addLayout(choices)
        self.first = words(
            "New here? The sample week is a practice of twelve plays with its rules and grades; "
            "a four-step tour begins with it, and Esc skips it.",
            look="quiet", wrap=True,
        )  # fmt: skip
        column.addSpacing(8)
        column.addWidget(self.first)
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

    def show_recent(self, remembered: Remembered) -> None:
        """List the books opened before."""
        while (item := self._recent.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        paths = remembered.recent
        self._heading.setVisible(bool(paths))
        self._line.setVisible(bool(paths))
        self.first.setVisible(not remembered.tour_seen)
        if paths:
            lead_with(self.open, self.new, self.sample)
        else:
            lead_with(self.sample, self.open, self.new)
        for path in paths:
            self._recent.addWidget(self._entry(path, remembered.names.get(path, "")))

    def _entry(self, path: str, name: str) -> QPushButton:
        place = Path(path)
        made = button("", "row", tip=path)
        made.setAccessibleName(f"Open {name or place.stem}")
        made.clicked.connect(lambda: self._window.open_path(path))
        column = QVBoxLayout(made)
        column.setContentsMargins(8, 5, 8, 5)
        column.setSpacing(0)
        called = words(name or place.stem, weight=500)
        where = words(_shortened(place), "small", look="quiet")
        for label in (called, where):
            label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            column.addWidget(label)
        made.setFixedHeight(46)
        made.setFont(font())
        return made


def _shortened(file: Path) -> str:
    """Write a file from the home folder on, and its end only when it is long."""
    try:
        told = str(Path("~") / file.relative_to(Path.home()))
    except (ValueError, RuntimeError):
        told = str(file)
    return told if len(told) <= 72 else f"…{told[-70:]}"
