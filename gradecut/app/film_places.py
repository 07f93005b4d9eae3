"""Where film lies, and where it goes: fields to write places in, with choosers beside them."""

from __future__ import annotations

from collections.abc import Callable

from PyQt6.QtWidgets import QFileDialog, QHBoxLayout, QLineEdit, QPushButton, QWidget

from gradecut.app.labels import button
from gradecut.film.film_folder import FILM_SUFFIXES

__all__ = ["BETWEEN", "FolderField", "PlacesField"]

BETWEEN = ";"
"""Stands between two places written in one line."""


class FolderField(QWidget):
    """A folder to write, with a button to choose it.

    Attributes
    ----------
    path : QLineEdit
    """

    def __init__(self, asks: str) -> None:
        super().__init__()
        self._asks = asks
        self.path = QLineEdit()
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(8)
        self._row.addWidget(self.path, 1)
        self.folder = self._add_button("Folder …", self._choose_folder)
        self.setFocusProxy(self.path)

    def text(self) -> str:
        """Return the path as it stands."""
        return self.path.text().strip()

    def _add_button(self, text: str, does: Callable[[], None]) -> QPushButton:
        made = button(text)
        made.setAutoDefault(False)
        made.clicked.connect(does)
        self._row.addWidget(made)
        return made

    def _choose_folder(self) -> None:
        folder = QFileDialog.getExistingDirectory(self, self._asks, self.text())
        if folder:
            self.path.setText(folder)


class PlacesField(FolderField):
    """Folders and films to write, with a button for each."""

    def __init__(self) -> None:
        super().__init__("The folder that holds the films")
        self._one = False
        self.files = self._add_button("Films …", self._choose_files)

    def take_one(self, one: bool) -> None:
        """Let one film be chosen, or many."""
        self._one = one
        self.files.setText("Film …" if one else "Films …")

    def places(self) -> list[str]:
        """Return the places written, in order."""
        return [one.strip() for one in self.path.text().split(BETWEEN) if one.strip()]

    def _choose_files(self) -> None:
        endings = " ".join(f"*{ending}" for ending in sorted(FILM_SUFFIXES))
        shown = f"Films ({endings})"
        if self._one:
            path, _ = QFileDialog.getOpenFileName(self, "The recording", "", shown)
            paths = [path] if path else []
        else:
            paths, _ = QFileDialog.getOpenFileNames(self, "The films", "", shown)
        if paths:
            self.path.setText(BETWEEN.join(paths))
