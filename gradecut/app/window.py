"""The main window: header, pages, the line at the bottom, and the keys."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path

from PyQt6.QtCore import QPoint
from PyQt6.QtGui import QAction, QCloseEvent
from PyQt6.QtWidgets import QApplication, QMainWindow, QMenu, QStackedWidget, QVBoxLayout, QWidget

from gradecut.app.actions import Action
from gradecut.app.header import Header
from gradecut.app.labels import line_across
from gradecut.app.menu import as_key, menu_of
from gradecut.app.page import Page
from gradecut.app.posting import Poster
from gradecut.app.said_line import SaidLine
from gradecut.app.start_page import StartPage
from gradecut.app.theme import DARK_THEME, LIGHT_THEME, Dress
from gradecut.app.window_actions import PAGES, window_actions
from gradecut.book import Book, open_book
from gradecut.desk import Desk, JobRunner
from gradecut.desk.remembered import Remembered, remember
from gradecut.errors import GradecutError

__all__ = ["MainWindow"]

_REFRESHED_BY = {
    "Board": frozenset(
        {"grades", "reps", "facts", "owed", "clips", "sessions", "players", "book", "line_ups"}
    ),
    "Scheme": frozenset({"book", "scheme_versions"}),
    "Teach": frozenset({"reels", "pieces", "grades", "flags", "reps", "marks", "moments"}),
}


class MainWindow(QMainWindow):
    """Shows the start page, or the four pages of an open book.

    Parameters
    ----------
    app : QApplication
    dress : Dress
        The theme worn.
    remembered : Remembered
        What this computer remembers between starts.
    memory : Path or None
        Where that is kept; None to keep nothing.
    """

    def __init__(
        self,
        app: QApplication,
        dress: Dress,
        *,
        remembered: Remembered,
        memory: Path | None = None,
    ) -> None:
        super().__init__()
        self.app = app
        self.dress = dress
        self.remembered = remembered
        self.desk: Desk | None = None
        self.pages: dict[str, Page] = {}
        self.page_name = ""
        self._memory = memory
        self._stale: set[str] = set()
        self._post = Poster()
        self.jobs = JobRunner(self._post, self.say)
        self._build()
        self._page_keys: list[QAction] = []
        self.actions_everywhere = window_actions(self)
        for action in self.actions_everywhere:
            self.addAction(as_key(action, self))
        self._show_start()

    def _build(self) -> None:
        self.setWindowTitle("gradecut")
        self.resize(1456, 819)
        self.header = Header([(name, key) for name, key in PAGES])
        self.header.page_asked.connect(self.show_page)
        self.header.menu_asked.connect(self.show_menu)
        self.header.keys_asked.connect(self.show_keys)
        self.stack = QStackedWidget()
        self.line = SaidLine()
        self.line.stop_asked.connect(self.stop_work)
        self.start = StartPage(self)
        self.stack.addWidget(self.start)
        whole = QWidget()
        column = QVBoxLayout(whole)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        for part in (self.header, line_across(), self.stack, line_across(), self.line):
            column.addWidget(part)
        column.setStretchFactor(self.stack, 1)
        self.setCentralWidget(whole)
        self._watch(self.jobs)

    def _watch(self, jobs: JobRunner) -> None:
        jobs.working.connect(self.line.show_progress)
        jobs.rested.connect(self.line.end_progress)

    # ------------------------------------------------------------------ books

    def open_path(self, path: str) -> None:
        """Open a book by its path; says why when it can't be opened."""
        try:
            book = open_book(path, author=self.remembered.grader)
        except GradecutError as error:
            self.say(str(error))
            self._forget(path)
            return
        self.open_desk(book)

    def open_desk(self, book: Book) -> None:
        """Show an open book; asks who grades when nobody has said."""
        self.close_book()
        if not book.author:
            book.author = self.remembered.grader
        try:
            desk = Desk(book, post=self._post)
            name = desk.name
        except GradecutError as error:
            book.close()
            self.say(str(error))
            return
        self.desk = desk
        desk.said.connect(self.say)
        desk.book_changed.connect(self._book_changed)
        self._watch(desk.jobs)
        self.remember(self.remembered.with_book(str(book.path)))
        self.header.show_book(name)
        self.setWindowTitle(f"{name} · gradecut")
        self.line.show_undo(desk.undo_hint())
        self.show_page("Film")
        if not book.author:
            self.ask_grader()

    def close_book(self) -> None:
        """Close the book; everything in it is stored already."""
        if self.desk is None:
            return
        self._leave_page()
        for page in self.pages.values():
            self.stack.removeWidget(page)
            page.deleteLater()
        self.pages.clear()
        self._stale.clear()
        self.desk.close()
        self.desk = None
        self._show_start()

    # ------------------------------------------------------------------ pages

    def show_page(self, name: str) -> None:
        """Show one of the four pages, making it where it was not shown yet."""
        if self.desk is None:
            return
        if name != self.page_name:
            self._leave_page()
        page = self.page(name)
        self.page_name = name
        self.stack.setCurrentWidget(page)
        self.header.show_page(name)
        if name in self._stale:
            self._stale.discard(name)
            self._refresh(name)
        self._take_keys(page)
        page.enter()
        self._show_told(page)

    def page(self, name: str) -> Page:
        """Return a page, made where it was not yet."""
        if name not in self.pages:
            if self.desk is None:
                raise GradecutError("Open a book first.")
            made = _page_class(name)(self.desk, self.dress)
            made.told.connect(lambda _: self._show_told(made))
            made.open_rep.connect(self.open_rep)
            self.pages[name] = made
            self.stack.addWidget(made)
        return self.pages[name]

    def open_rep(self, clip_id: str, rep_id: str) -> None:
        """Show a clip, and one man of it, on the Film page."""
        if self.desk is not None:
            self.show_page("Film")
            self.desk.film.open_rep(clip_id, rep_id)

    def all_actions(self) -> dict[str, Sequence[Action]]:
        """Return every action by page; "" for what can be done anywhere."""
        found: dict[str, Sequence[Action]] = {"": self.actions_everywhere}
        if self.desk is not None:
            names = [self.page_name, *(name for name, _ in PAGES if name != self.page_name)]
            found |= {name: self.page(name).actions_here() for name in names}
        return found

    def _leave_page(self) -> None:
        if self.page_name in self.pages:
            self.pages[self.page_name].leave()
        for key in self._page_keys:
            self.removeAction(key)
            key.deleteLater()
        self._page_keys = []
        self.page_name = ""

    def _take_keys(self, page: Page) -> None:
        if not self._page_keys:
            self._page_keys = [as_key(action, self) for action in page.actions_here()]
            self.addActions(self._page_keys)

    def _show_start(self) -> None:
        self.page_name = ""
        self.header.show_book("")
        self.header.show_told("")
        self.setWindowTitle("gradecut")
        self.line.show_undo("")
        self.start.show_recent(self.remembered.recent)
        self.stack.setCurrentWidget(self.start)
        self.start.setFocus()

    def _show_told(self, page: Page) -> None:
        if self.desk is not None and self.pages.get(self.page_name) is page:
            told = (page.header(), self.desk.author)
            self.header.show_told("    ·    ".join(part for part in told if part))

    # ------------------------------------------------------------------ what happens

    def say(self, sentence: str) -> None:
        """Show one sentence at the bottom."""
        self.line.say(sentence)

    def _book_changed(self, tables: frozenset[str]) -> None:
        if self.desk is None:
            return
        self.line.show_undo(self.desk.undo_hint())
        for name, by in _REFRESHED_BY.items():
            if name in self.pages and by.intersection(tables):
                if name == self.page_name:
                    self._refresh(name)
                else:
                    self._stale.add(name)

    def _refresh(self, name: str) -> None:
        if self.desk is None:
            return
        match name:
            case "Board":
                self.desk.board.count()
            case "Scheme":
                self.desk.scheme.refresh()
            case "Teach":
                self.desk.teach.refresh()

    def undo(self) -> None:
        """Take back the newest thing."""
        if self.desk is not None:
            self.desk.undo()

    def redo(self) -> None:
        """Do it again."""
        if self.desk is not None:
            self.desk.redo()

    def stop_work(self) -> None:
        """Stop work that goes on."""
        self.jobs.cancel()
        if self.desk is not None:
            self.desk.jobs.cancel()

    def remember(self, told: Remembered) -> None:
        """Remember something between starts."""
        self.remembered = told
        if self._memory is not None and (refused := remember(self._memory, told)):
            self.say(refused)

    def _forget(self, path: str) -> None:
        if not Path(path).exists():
            rest = tuple(one for one in self.remembered.recent if one != path)
            self.remember(replace(self.remembered, recent=rest))
            self.start.show_recent(rest)

    # ------------------------------------------------------------------ sheets and menu

    def show_keys(self) -> None:
        """Show every action with its keys."""
        from gradecut.app.cheat_sheet import CheatSheet

        CheatSheet(self.all_actions(), self).open()

    def show_cautions(self) -> None:
        """Show the cautions."""
        from gradecut.app.cautions_sheet import CautionsSheet

        sheet = CautionsSheet(self)
        sheet.finished.connect(
            lambda _: self.remember(replace(self.remembered, cautions_shown=True))
        )
        sheet.open()

    def show_first_start(self) -> None:
        """Show the cautions once on this computer."""
        if not self.remembered.cautions_shown:
            self.show_cautions()

    def ask_grader(self) -> None:
        """Ask who grades; the answer is kept."""
        from gradecut.app.forms import ask_grader

        ask_grader(self)

    def set_grader(self, name: str) -> None:
        """Grade under a name from now on."""
        self.remember(replace(self.remembered, grader=name))
        if self.desk is not None:
            self.desk.book.author = name
            self.line.show_undo(self.desk.undo_hint())
            if self.page_name in self.pages:
                self._show_told(self.pages[self.page_name])

    def change_theme(self) -> None:
        """Change between dark and light."""
        theme = LIGHT_THEME if self.dress.theme.name == "dark" else DARK_THEME
        self.dress.put_on(theme, self.app)
        self.remember(replace(self.remembered, theme=theme.name))

    def show_menu(self) -> None:
        """Open the menu below the book's name."""
        menu = self.menu()
        menu.aboutToHide.connect(menu.deleteLater)
        menu.popup(self.header.mapToGlobal(QPoint(8, self.header.height())))

    def menu(self) -> QMenu:
        """Return the menu: what can be done anywhere, then what this page can do."""
        here = self.pages[self.page_name].actions_here() if self.page_name else ()
        return menu_of((*self.actions_everywhere, *here), self)

    def closeEvent(self, event: QCloseEvent | None) -> None:
        """Close the book and end all work."""
        self.close_book()
        self.jobs.close()
        self.line.end_progress()
        if event is not None:
            event.accept()


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
