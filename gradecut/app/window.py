"""The main window: header, pages, the line at the bottom, and the keys."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path

from PyQt6.QtCore import QSize, QTimer
from PyQt6.QtGui import QCloseEvent, QShowEvent
from PyQt6.QtWidgets import QApplication, QMainWindow, QStackedWidget, QVBoxLayout, QWidget

from gradecut.app import forms, sheets
from gradecut.app.actions import Action
from gradecut.app.film_drop import FilmDrop
from gradecut.app.header import Header
from gradecut.app.idle_moments import KEYS_NEED, SOUNDS_NEED, IdleMoments, imports
from gradecut.app.labels import line_across
from gradecut.app.menu import as_key
from gradecut.app.opening_anew import HandingOver
from gradecut.app.page_stack import PageStack
from gradecut.app.parts_round import go_round
from gradecut.app.posting import Poster
from gradecut.app.said_line import SaidLine
from gradecut.app.screen_room import keep_on_screen
from gradecut.app.start_page import StartPage
from gradecut.app.text_size import start_anew
from gradecut.app.theme import DARK_THEME, LIGHT_THEME, Dress
from gradecut.app.window_actions import PAGES, window_actions
from gradecut.book import Book, open_book
from gradecut.desk import Desk, JobRunner
from gradecut.desk.grader import grader_for, others_graded
from gradecut.desk.grader_ways import GraderWays, take_up_ways, ways_of, with_ways
from gradecut.desk.remembered import Remembered, remember
from gradecut.desk.saying import Refusal
from gradecut.errors import GradecutError
from gradecut.records import Player

__all__ = ["MainWindow"]

_SIZE_PX = (1456, 819)
_LEAST_PX = (853, 480)
"""The usual least screen, 1280 x 720, with text at 150 %; what does not fit there is scrolled."""
_GLANCE_MS = 2000
"""So often it is seen whether another program has stored something in the book."""
_GONE = (
    "{path}: there is no book there any more; look for it with “Open a book”, or start one with "
    "“Make a new book”."
)


class MainWindow(QMainWindow):
    """Shows the start page, or the four pages of an open book.

    Attributes
    ----------
    desk : Desk or None
        Of the open book.
    pages : PageStack or None
        Its pages.

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
        self.pages: PageStack | None = None
        self._memory = memory
        self._glance = QTimer(self)
        self._idle = IdleMoments(self)
        self._post = Poster()
        self._handing_over: HandingOver | None = None
        self._leaving = ""
        self.jobs = JobRunner(self._post, self.say)
        self._build()
        self._watch(self.jobs)
        self.actions_everywhere = window_actions(self)
        for action in self.actions_everywhere:
            self.addAction(as_key(action, self))
        self._show_start()

    def _build(self) -> None:
        self.setMinimumSize(*_LEAST_PX)
        self.resize(self._room())
        self.header = Header(PAGES)
        self.header.page_asked.connect(self.show_page)
        self.header.menu_asked.connect(partial(sheets.show_menu, self))
        self.header.keys_asked.connect(partial(sheets.show_keys, self))
        self.header.left.connect(partial(go_round, self))
        self.header.grader_asked.connect(partial(forms.ask_grader, self))
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
        FilmDrop(self, partial(forms.ask_film, self))

    def _room(self) -> QSize:
        """Return the usual size, or what the screen has room for where that is less."""
        usual, screen = QSize(*_SIZE_PX), self.app.primaryScreen()
        return usual.boundedTo(screen.availableSize()) if screen is not None else usual

    def _watch(self, jobs: JobRunner) -> None:
        jobs.working.connect(self.line.show_progress)
        jobs.rested.connect(self.line.end_progress)

    # ------------------------------------------------------------------ books

    def open_path(self, path: str) -> None:
        """Open a book by its path; says why when it can't be opened."""
        try:
            book = open_book(path)
        except GradecutError as error:
            gone = not Path(path).exists()
            self.say(Refusal(_GONE.format(path=path) if gone else error))
            self._forget(path)
            return
        self.open_desk(book)

    def open_desk(self, book: Book, grader: str = "") -> None:
        """Show an open book; asks who grades when neither it nor this computer says."""
        self.close_book()
        book.author = grader or grader_for(book, self.remembered)
        take_up_ways(book, ways_of(self.remembered, book))
        desk = Desk(book, post=self._post)
        try:
            name = desk.name
        except GradecutError as error:
            desk.close()
            self.say(Refusal(error))
            return
        self.desk = desk
        desk.said.connect(self.say)
        desk.acted.connect(self.line.clear)
        desk.book_changed.connect(self._show_undo)
        desk.undo_changed.connect(self._show_undo)
        self._glance.timeout.connect(desk.look_around)
        self._glance.start(_GLANCE_MS)
        self._watch(desk.jobs)
        self.header.show_book(name)
        self.header.show_grader(book.author, blind=book.blind)
        self.setWindowTitle(f"{name} · gradecut")
        self.pages = PageStack(self, self.stack, desk, self.dress)
        self.pages.shown.connect(self.header.show_page)
        self.pages.left.connect(self.line.clear)
        self.pages.told.connect(self.header.show_told)
        self._show_undo()
        self.show_page("Film")
        desk.film.clip_changed.connect(self.line.clear)
        desk.film.running_on.on = self.remembered.plays_run
        desk.film.running_on.turned.connect(self._remember_running)
        remembered = self.remembered.with_book(str(book.path), name)
        if grader:
            remembered = remembered.with_grader(grader, str(book.path))
        self.remember(remembered)
        self._check_grader(book)
        needed = (*KEYS_NEED, *(SOUNDS_NEED if desk.film.playhead.found else ()))
        self._idle.begin((*imports(needed), desk.keep_indexes))

    def _check_grader(self, book: Book) -> None:
        """Ask who grades when nobody has said, or the one who has is a player of this book."""
        from gradecut.workflows.roster import why_no_grader

        refusal = why_no_grader(book.author, book.find(Player))
        if refusal:
            self.say(Refusal(refusal))
        if refusal or not book.author:
            forms.ask_grader(self)
        elif others := others_graded(book):
            self.say(others)

    def close_book(self) -> None:
        """Close the book; everything in it is stored already."""
        if self.desk is None or self.pages is None:
            return
        self._idle.end()
        self._glance.stop()
        self._glance.timeout.disconnect()
        self.pages.close()
        self.pages = None
        self.desk.close()
        self.desk = None
        self.line.end_progress()
        self._show_start()

    def _show_start(self) -> None:
        self.header.show_book("")
        self.header.show_told("")
        self.header.show_grader("")
        self.line.clear()
        self.setWindowTitle("gradecut")
        self.line.show_undo("")
        self.start.show_recent(self.remembered)
        self.stack.setCurrentWidget(self.start)
        self.start.setFocus()

    def _forget(self, path: str) -> None:
        """Drop a book that is gone from the recent ones."""
        if not Path(path).exists():
            rest = tuple(one for one in self.remembered.recent if one != path)
            self.remember(replace(self.remembered, recent=rest))
            self.start.show_recent(self.remembered)

    # ------------------------------------------------------------------ what can be done

    def show_page(self, name: str) -> None:
        """Show one of the four pages."""
        if self.pages is not None:
            self.pages.show(name)

    def all_actions(self) -> dict[str, Sequence[Action]]:
        """Return every action by page; "" for what can be done anywhere."""
        here = self.pages.all_actions() if self.pages else {}
        return {"": self.actions_everywhere, **here}

    def say(self, sentence: str) -> None:
        """Show one sentence at the bottom."""
        self.line.say(sentence)

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

    def set_grader(self, name: str, ways: GraderWays | None = None) -> None:
        """Grade under a name from now on; it is kept, in the open book as that book's grader.

        ``ways``: how he works in that book from now on; None: as he did. What was said while
        nobody graded yet, at its opening, is of the book and stands.
        """
        path = str(self.desk.book.path) if self.desk is not None else ""
        told = self.remembered.with_grader(name, path)
        self.remember(with_ways(told, path, name, ways) if path and ways is not None else told)
        if self.desk is not None:
            book = self.desk.book
            said = "" if book.author else self.line.sentence
            self.line.clear()
            self.desk.grade_as(name, ways_of(self.remembered, book, name))
            self.header.show_grader(name, blind=book.blind)
            self._show_undo()
            if said:
                self.say(said)

    def change_theme(self) -> None:
        """Change between dark and light."""
        theme = LIGHT_THEME if self.dress.theme.name == "dark" else DARK_THEME
        self.dress.put_on(theme, self.app)
        self.remember(replace(self.remembered, theme=theme.name))

    def open_anew(self) -> None:
        """Open in a process of its own, as it stands here, and close once that one is up."""
        from gradecut.app.as_it_was import AsItWas, as_it_is

        def stands() -> AsItWas:
            # From here to the end nothing may be done that the new window would not know of.
            self.setEnabled(False)
            return as_it_is(self)

        def failed() -> None:
            self._handing_over = None
            self.setEnabled(True)
            self.say(Refusal("The window could not be opened anew; leave gradecut and start it."))

        if self._handing_over is None:
            self.say("The window opens anew; go on here until it is there.")
            self._handing_over = HandingOver(self, start_anew, stands, self.close, failed)

    @property
    def handing_out(self) -> str:
        """What is being written to be handed out; empty for nothing."""
        return self.desk.walking_out.going_on if self.desk is not None else ""

    def remember(self, told: Remembered) -> None:
        """Remember something between starts."""
        self.remembered = told
        if self._memory is not None and (refused := remember(self._memory, told)):
            self.say(Refusal(refused))

    def _remember_running(self, on: bool) -> None:
        self.remember(replace(self.remembered, plays_run=on))

    def _show_undo(self, _tables: object = None) -> None:
        if self.desk is not None:
            self.line.show_undo(self.desk.undo_hint())

    def showEvent(self, event: QShowEvent | None) -> None:
        """Fit the screen, frame and all."""
        super().showEvent(event)
        keep_on_screen(self, QSize(*_LEAST_PX))

    def closeEvent(self, event: QCloseEvent | None) -> None:
        """Close the book and end all work; asked twice where something is being written."""
        written, self._leaving = self._leaving, self.handing_out
        if self._leaving and self._leaving != written and event is not None:
            self.say(Refusal(f"{self._leaving} is being written; leave again to go without it."))
            event.ignore()
            return
        self.close_book()
        self.jobs.close()
        self.line.end_progress()
        if event is not None:
            event.accept()
