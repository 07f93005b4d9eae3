from __future__ import annotations

from gradecut.book import Book
from gradecut.desk.grader import grader_for, others_graded
from gradecut.desk.remembered import Remembered


def test_who_grades_in_a_book(book: Book) -> None:
    """First who graded in it here, then who acted last in a known book, then who graded last."""
    path = str(book.path)
    told = Remembered(grader="C. Drum")
    assert grader_for(book, told) == "C. Drum"
    assert grader_for(book, told.with_book(path)) == "Coach Alder"
    assert grader_for(book, told.with_book(path).with_grader("B. Holt", path)) == "B. Holt"
    book.close()


def test_whose_grades_stand_there_is_told_to_who_has_none(book: Book) -> None:
    """Grades of a colleague are not thought lost; who has grades of his own is told nothing."""
    assert others_graded(book) == ""
    book.author = "B. Holt"
    assert others_graded(book).startswith("Coach Alder has given ")
    assert "you none" in others_graded(book)
    book.close()
