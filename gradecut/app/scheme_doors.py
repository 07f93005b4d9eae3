"""The ways to a first scheme, one beneath the other, while the book has none."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QFrame, QHBoxLayout, QPushButton, QScrollArea, QVBoxLayout, QWidget

from gradecut.app.labels import KeyHint, button, line_across, words
from gradecut.desk.scheme_starting import all_questions

if TYPE_CHECKING:
    from gradecut.app.scheme_asking import SchemeAsking

__all__ = ["SchemeDoors"]

_WIDE_PX, _LEAST_PX, _BUTTON_PX = 640, 460, 170


class SchemeDoors(QScrollArea):
    """Says that there is no scheme yet, and offers the ways to one, each with its key.

    Attributes
    ----------
    doors : list of QPushButton
        In the order they were added.
    """

    def __init__(self) -> None:
        super().__init__()
        self.doors: list[QPushButton] = []
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName("Ways to a first scheme")
        inside = QWidget()
        across = QHBoxLayout(inside)
        across.addStretch(1)
        middle = QWidget()
        middle.setMinimumWidth(_LEAST_PX)
        middle.setMaximumWidth(_WIDE_PX)
        across.addWidget(middle, 8)
        across.addStretch(1)
        column = QVBoxLayout(middle)
        column.setSpacing(6)
        column.addStretch(2)
        column.addWidget(words("No scheme in this book yet", "title", 600))
        column.addWidget(
            words(
                "A scheme says what each man owes on each look. Reps can be graded without one: "
                "you then say what he owed yourself.",
                look="quiet",
                wrap=True,
            )
        )
        column.addSpacing(16)
        self._rows = QVBoxLayout()
        self._rows.setSpacing(0)
        self._rows.addWidget(line_across())
        column.addLayout(self._rows)
        column.addStretch(3)
        self.setWidget(inside)

    def add_usual(self, asking: SchemeAsking) -> None:
        """Add the ways there are in every book: questions, the film, a file."""
        self.add_door(
            f"Answer {all_questions()}",
            "About your front: they make a first scheme, all of it yours to change.",
            "Begin …",
            asking.start,
            key="Ctrl+Shift+B",
        )
        self.add_door(
            "Learn it as I grade",
            "Say what each man owed; rules are proposed from that, one by one.",
            "Begin without rules …",
            asking.start_blank,
            key="Ctrl+Shift+R",
        )
        self.add_door(
            "Open a scheme file",
            "A coach's own file; you see its mistakes before it counts.",
            "Choose a file …",
            asking.choose_file,
            key="Ctrl+Shift+O",
        )

    def add_door(
        self, title: str, told: str, does: str, run: Callable[[], object], *, key: str = ""
    ) -> QPushButton:
        """Add a way below the others; the first one is the usual one.

        Parameters
        ----------
        title : str
        told : str
            What it is, in a sentence.
        does : str
            What its button says.
        key : str
            The key that does the same from everywhere on the page; "" for none.
        """
        door = button(does, "" if self.doors else "accent")
        door.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        door.setAccessibleName(f"{title}: {told}")
        door.setMinimumWidth(_BUTTON_PX)
        door.clicked.connect(lambda _: run())
        row = QWidget()
        across = QHBoxLayout(row)
        across.setContentsMargins(0, 12, 0, 12)
        across.setSpacing(14)
        says = QVBoxLayout()
        says.setSpacing(2)
        says.addWidget(words(title, "lead", 600))
        says.addWidget(words(told, look="quiet", wrap=True))
        across.addLayout(says, 1)
        if key:
            across.addWidget(KeyHint(key, ""))
        across.addWidget(door)
        self._rows.addWidget(row)
        self._rows.addWidget(line_across())
        self.doors.append(door)
        return door
