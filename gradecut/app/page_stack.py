"""The four pages of an open book: made when first shown, brought up to date when seen."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from PyQt6.QtCore import QObject, pyqtSignal
from PyQt6.QtGui import QAction
from PyQt6.QtWidgets import QMainWindow, QStackedWidget

from gradecut.app.actions import Action
from gradecut.app.menu import as_key
from gradecut.app.page import Page
from gradecut.app.theme import Dress
from gradecut.app.window_actions import PAGES
from gradecut.desk import Desk

__all__ = ["PageStack"]

_REFRESHED_BY = {
    "Board": frozenset(
        {"grades", "reps", "facts", "owed", "clips", "sessions", "players", "book", "line_ups"}
    ),
    "Scheme": frozenset({"book", "scheme_versions"}),
    "Teach": frozenset({"reels", "pieces", "grades", "flags", "reps", "marks", "moments"}),
}
"""Which tables each page shows; the Film page follows the book by itself."""


class PageStack(QObject):
    """Holds the pages of one open book, and gives the window the keys of the one shown.

    Attributes
    ----------
    pages : dict of name to Page
        Those that were made.
    name : str
        The page that is shown; empty before the first.

    Signals
    -------
    told : str
        The words at the right of the header, of the page that is shown.
    shown : str
        A page is shown, maybe the same again.
    left
        Another page is about to be shown.
    """

    told = pyqtSignal(str)
    shown = pyqtSignal(str)
    left = pyqtSignal()

    def __init__(self, window: QMainWindow, stack: QStackedWidget, desk: Desk, dress: Dress):
        super().__init__(window)
        self._window, self._stack = window, stack
        self._desk, self._dress = desk, dress
        self._stale: set[str] = set()
        self._keys: list[QAction] = []
        self.pages: dict[str, Page] = {}
        self.name = ""
        desk.book_changed.connect(self._book_changed)

    def show(self, name: str) -> None:
        """Show a page and take over its keys."""
        page = self.page(name)
        if name != self.name:
            self.left.emit()
            self.leave()
            self.name = name
            self._keys = [as_key(action, self._window) for action in page.actions_here()]
            self._window.addActions(self._keys)
        self._stack.setCurrentWidget(page)
        self.shown.emit(name)
        if name in self._stale:
            self._stale.discard(name)
            self._refresh(name)
        page.enter()
        self.told.emit(page.header())

    def page(self, name: str) -> Page:
        """Return a page, made where it was not yet."""
        if name not in self.pages:
            made = _page_class(name)(self._desk, self._dress)
            made.told.connect(self._told_by)
            made.open_rep.connect(self.open_rep)
            made.open_page.connect(self.show)
            self.pages[name] = made
            self._stack.addWidget(made)
        return self.pages[name]

    def open_rep(self, clip_id: str, rep_id: str) -> None:
        """Show a clip, and one man of it, on the Film page."""
        self.show("Film")
        self._desk.film.open_rep(clip_id, rep_id)

    def actions_here(self) -> Sequence[Action]:
        """Return what the page that is shown can do."""
        return self.pages[self.name].actions_here() if self.name else ()

    def all_actions(self) -> dict[str, Sequence[Action]]:
        """Return what each page can do, the one that is shown first."""
        names = [name for name, _ in PAGES if name != self.name]
        names = [self.name, *names] if self.name else names
        return {name: self.page(name).actions_here() for name in names}

    def leave(self) -> None:
        """Leave the page that is shown, and give its keys back."""
        if self.name:
            self.pages[self.name].leave()
        for key in self._keys:
            self._window.removeAction(key)
            key.deleteLater()
        self._keys = []
        self.name = ""

    def close(self) -> None:
        """Let all pages go."""
        self.leave()
        for page in self.pages.values():
            self._stack.removeWidget(page)
            page.deleteLater()
        self.pages.clear()
        self.deleteLater()

    def _told_by(self, text: str) -> None:
        if self.name and self.sender() is self.pages[self.name]:
            self.told.emit(text)

    def _book_changed(self, tables: frozenset[str]) -> None:
        for name, by in _REFRESHED_BY.items():
            if name in self.pages and by.intersection(tables):
                if name == self.name:
                    self._refresh(name)
                else:
                    self._stale.add(name)

    def _refresh(self, name: str) -> None:
        match name:
            case "Board":
                self._desk.board.count()
            case "Scheme":
                self._desk.scheme.refresh()
            case "Teach":
                self._desk.teach.refresh()


def _page_class(name: str) -> Callable[[Desk, Dress], Page]:
    """Import a page when it is first shown."""
    if name == "Film":
        from gradecut.app.film_page import FilmPage

        return FilmPage
    if name == "Scheme":
        from gradecut.app.scheme_page import SchemePage

        return SchemePage
    if name == "Board":
        from gradecut.app.board_page import BoardPage

        return BoardPage
    from gradecut.app.teach_page import TeachPage

    return TeachPage
