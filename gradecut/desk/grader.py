"""Who grades in a book on this computer, and whose grades stand in it already."""

from __future__ import annotations

from collections import Counter

from gradecut.book import Book
from gradecut.desk.remembered import Remembered, sample_book_file
from gradecut.records import Clip, Grade, Player, Rep
from gradecut.workflows.roster import by_staff, newest_of_staff

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
    """Say whose grades a book holds where the one who grades now has none; else nothing."""
    if book.count(Grade, author=book.author):
        return ""
    grades = by_staff(book.find(Grade), book.find(Player))
    clip_of = {rep.id: rep.clip_id for rep in book.find(Rep)} if grades else {}
    plays = {(one.author, clip_of[one.rep_id]) for one in grades if one.rep_id in clip_of}
    most = Counter(author for author, _ in plays if author).most_common(1)
    if not most:
        return ""
    name, count = most[0]
    return (
        f"{name} has graded {count} of {book.count(Clip)} plays here, you none; change who grades "
        "by your name at the top right."
    )
