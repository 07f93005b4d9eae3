"""The ways to a first scheme, side by side, while the book has none."""

from __future__ import annotations

from collections.abc import Callable

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from gradecut.app.labels import button, words
from gradecut.app.theme import font

__all__ = ["SchemeDoors"]

_WIDE_PX, _HIGH_PX = 250, 132


class SchemeDoors(QWidget):
    """Says that there is no scheme yet, and offers the ways to one.

    Attributes
    ----------
    doors : list of QPushButton
        In the order they were added.
    """

    def __init__(self) -> None:
        super().__init__()
        self.doors: list[QPushButton] = []
        column = QVBoxLayout(self)
        column.setContentsMargins(24, 0, 24, 24)
        column.setSpacing(14)
        told = words(
            "A scheme says what each man owes on each look. Reps can be graded without one: "
            "you then say what he owed yourself.",
            look="quiet",
            wrap=True,
        )
        told.setMaximumWidth(640)
        column.addWidget(told)
        self._row = QHBoxLayout()
        self._row.setSpacing(14)
        self._row.addStretch(1)
        column.addLayout(self._row)
        column.addStretch(1)

    def add_door(
        self, title: str, told: str, run: Callable[[], object], *, place: int | None = None
    ) -> QPushButton:
        """Add a way: its name, what it is in a sentence, and what it does.

        Parameters
        ----------
        place : int or None
            Where among the others, from 0; None: after them.
        """
        door = button("")
        door.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        door.setAccessibleName(f"{title}: {told}")
        door.setFixedSize(_WIDE_PX, _HIGH_PX)
        door.setFont(font())
        inside = QVBoxLayout(door)
        inside.setContentsMargins(16, 14, 16, 14)
        inside.setSpacing(6)
        for label in (words(title, "head", 600, wrap=True), words(told, look="quiet", wrap=True)):
            label.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            inside.addWidget(label)
        inside.addStretch(1)
        door.clicked.connect(lambda _: run())
        at = len(self.doors) if place is None else place
        self._row.insertWidget(at, door)
        self.doors.insert(at, door)
        return door
