"""What the window asks for: files, names, a new book, more film."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from PyQt6.QtWidgets import QFileDialog

from gradecut.counting_words import counted
from gradecut.desk.saying import Refusal

if TYPE_CHECKING:
    from gradecut.app.window import MainWindow
    from gradecut.workflows.adding import Added

__all__ = [
    "ask_film",
    "ask_grader",
    "ask_new_book",
    "choose_book",
    "choose_moved",
    "choose_roster",
    "open_sample_week",
    "told_of_films",
]

_NOTES_TOLD = 3
"""Of what there is to know of new film; the line has no room for more."""

_FAULTS_TOLD = 3
"""Of films that were passed over; the rest are told when the same is added again."""

BOOKS = "Books (*.gradecut);;All files (*)"


def choose_book(window: MainWindow) -> None:
    """Choose a book and open it."""
    path, _ = QFileDialog.getOpenFileName(window, "Open a book", _last_folder(window), BOOKS)
    if path:
        window.open_path(path)


def ask_new_book(window: MainWindow) -> None:
    """Ask what a new book needs, and start it."""
    from gradecut.app.new_book_form import NewBookForm

    NewBookForm(window).open()


def ask_film(window: MainWindow, places: Sequence[str] = ()) -> None:
    """Ask which film goes where, and add it; places that were dropped are filled in."""
    if window.desk is None:
        window.say(Refusal("Open a book first; film is added to it."))
        return
    from gradecut.app.add_film_form import AddFilmForm

    AddFilmForm(window, window.desk, places).open()


def ask_grader(window: MainWindow) -> None:
    """Ask who grades."""
    from gradecut.app.grader_form import GraderForm

    GraderForm(window).open()


def choose_roster(window: MainWindow) -> None:
    """Choose a roster sheet and bring it in."""
    desk = window.desk
    if desk is None:
        window.say(Refusal("Open a book first; the roster goes into it."))
        return
    path, _ = QFileDialog.getOpenFileName(window, "Bring in a roster", "", "Sheets (*.csv)")
    if path:
        desk.bring_in_roster(path)


def choose_moved(window: MainWindow) -> None:
    """Choose the folder where films lie now."""
    desk = window.desk
    if desk is None:
        window.say(Refusal("Open a book first."))
        return
    beside = str(desk.book.path.parent)
    folder = QFileDialog.getExistingDirectory(window, "Where do the films lie now?", beside)
    if folder:
        desk.find_moved(folder)


def open_sample_week(window: MainWindow) -> None:
    """Open the sample week, building its book beside the window the first time."""
    from gradecut.book import Book
    from gradecut.desk.remembered import sample_book_file
    from gradecut.progress import CancelToken, Progress

    path = sample_book_file()
    if path.exists():
        window.open_path(str(path))
        _lead_once(window)
        return

    def work(progress: Progress, cancel: CancelToken) -> Book:
        from gradecut.desk.sample_book import build_sample_book

        return build_sample_book(path, progress, cancel)

    def opened(book: Book) -> None:
        window.open_desk(book)
        _lead_once(window)

    window.jobs.start("Building the sample week", work, opened)


def _lead_once(window: MainWindow) -> None:
    """Show the tour where this computer has not shown it yet."""
    from gradecut.app.sheets import show_tour

    if not window.remembered.tour_seen:
        show_tour(window)


def add_film_in(window: MainWindow, added: Added) -> None:
    """Tell what adding film came to, and show the session its plays are in."""
    if window.desk is not None and added.clips:
        film = window.desk.film
        film.refresh()
        if film.plays.session is None or film.plays.session.id != added.session.id:
            film.open_session(added.session)
        window.show_page("Film")
    told = told_of_films(added)
    window.say(Refusal(told) if added.faults else told)


def told_of_films(added: Added) -> str:
    """Say in a few sentences what adding film came to, what was passed over first."""
    further = added.angles - added.clips
    parts = [
        counted(added.clips, "new play") if added.clips else "",
        f"a further angle of {counted(further, 'play')}" if further else "",
        "" if added.angles else "no new film",
        f"{added.scripted} matched to the script" if added.scripted else "",
    ]
    told = f"{added.session.name}: {', '.join(part for part in parts if part)}"
    more = len(added.notes) - _NOTES_TOLD
    rest = [f"And {more} more to know, told by the films themselves (Alt+F)"] if more > 0 else []
    notes = (note.rstrip(".") for note in added.notes[:_NOTES_TOLD])
    faults = [fault.rstrip(".") for fault in added.faults[:_FAULTS_TOLD]]
    left = len(added.faults) - _FAULTS_TOLD
    faults += [f"And {left} more were passed over"] if left > 0 else []
    return ". ".join([told, *faults, *notes, *rest]) + "."


def _last_folder(window: MainWindow) -> str:
    recent = window.remembered.recent
    return str(Path(recent[0]).parent) if recent else ""
