"""Who grades in a book on this computer, and whose grades stand in it already."""

from __future__ import annotations

from gradecut.book import Book
from gradecut.counting_words import counted
from gradecut.desk.remembered import Remembered, sample_book_file
from gradecut.records import Grade
from gradecut.workflows.roster import computer_user, newest_of_staff

__all__ = ["grader_for", "others_graded", "proposed_grader"]

_ALL_ACTS = 20_000
"""More than a season's, and still read within a blink."""


def grader_for(book: Book, remembered: Remembered) -> str:
    """Return who grades in a book: who did so here last, else who acted last in a known book.

    In a book the window has not opened yet it is whoever graded last on this computer, else
    who made the book here and is alone in it; empty when nobody has said his name.
    """
    path = str(book.path)
    if here := remembered.graders.get(path):
        return here
    if path in remembered.recent or path == str(sample_book_file()):
        return newest_of_staff(book) or remembered.grader
    return remembered.grader or _alone_here(book)


def _alone_here(book: Book) -> str:
    """Return who did all there is in a book, on this computer and under a name he gave."""
    acts = book.history(_ALL_ACTS)
    if len({act.author for act in acts}) != 1 or acts[0].author == computer_user():
        return ""
    return newest_of_staff(book) if all(act.computer == book.computer for act in acts) else ""


def proposed_grader(book: Book) -> str:
    """Return the name to propose to who is asked whether he grades in a book."""
    name = book.author or newest_of_staff(book)
    return "" if name == computer_user() else name


def others_graded(book: Book) -> str:
    """Say whose grades a book holds where the one who grades now has none; else nothing.

    It counts and never reads the grades: a whole season's would keep the window waiting.
    """
    if book.count(Grade, author=book.author):
        return ""
    name = newest_of_staff(book)
    count = book.count(Grade, author=name) if name else 0
    if not count:
        return ""
    return (
        f"{name} has given {counted(count, 'grade')} here, you none; "
        "change who grades by your name at the top right."
    )
