from __future__ import annotations

import pytest

from gradecut.book import Book
from gradecut.desk import grader
from gradecut.desk.grader import grader_for, others_graded, proposed_grader
from gradecut.desk.remembered import Remembered
from gradecut.records import Player


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


def test_who_is_alone_in_a_book_made_here_grades_in_it(
    book: Book, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A book made by command with a name is not asked about; the computer's name is no name."""
    assert grader_for(book, Remembered()) == "Coach Alder"
    assert proposed_grader(book) == "Coach Alder"
    monkeypatch.setattr(grader, "computer_user", lambda: "Coach Alder")
    book.author = ""
    assert (grader_for(book, Remembered()), proposed_grader(book)) == ("", "")
    book.close()


def test_where_two_worked_he_is_asked_with_a_name_proposed(book: Book) -> None:
    """Nor is it certain in a book that another computer wrote in."""
    book.computer = "office"
    with book.act("add a man") as act:
        act.put(Player(name="Bo Lang"))
    book.computer = "home"
    assert grader_for(book, Remembered()) == ""
    book.author = "C. Drum"
    with book.act("add a man") as act:
        act.put(Player(name="Al Lang"))
    book.author = ""
    assert grader_for(book, Remembered()) == ""
    assert proposed_grader(book) == "C. Drum"
    book.close()
