"""Who grades in a book on this computer, and whose grades stand in it already."""

from __future__ import annotations

from gradecut.book import Book
from gradecut.counting_words import counted
from gradecut.desk.remembered import Remembered, sample_book_file
from gradecut.records import Grade
from gradecut.workflows.roster import newest_of_staff

__all__ = ["grader_for", "others_graded"]


def grader_for(book: Book, remembered: Remembered) -> str:
    """Return who grades in a book: who did so here last, else who acted last in a known book.

    In a book this computer has not opened yet it is whoever graded last on it; empty when
    nobody has said his name.
    """
    path = str(book.path)
    if here := remembered.graders.get(path):
        return here
    if path in remembered.recent or path == str(sample_book_file()):
        return newest_of_staff(book) or remembered.grader
    return remembered.grader


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
