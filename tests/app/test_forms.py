from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np
from PyQt6.QtCore import Qt

from gradecut.app import forms
from gradecut.app.add_film_form import AddFilmForm
from gradecut.app.grader_form import GraderForm
from gradecut.app.new_book_form import NewBookForm
from gradecut.app.window import MainWindow
from gradecut.book import open_book
from gradecut.desk.remembered import recall
from gradecut.film import write_film
from gradecut.records import Angle, Player
from gradecut.samples import week_folder
from tests.desk.small_book import ROSTER
from tests.desk.test_scheme_desk import FAULTY

Until = Callable[[Callable[[], bool]], None]


def form_of(window: MainWindow, kind: type) -> Any:
    """Return the form that is open."""
    return next(one for one in window.findChildren(kind) if one.isVisible())


def test_a_new_book_is_made_and_opened(closed_window: MainWindow, tmp_path: Path) -> None:
    """Name, grader, scheme and roster make a book; the grader's name is kept."""
    roster = tmp_path / "roster.csv"
    roster.write_text(ROSTER)
    forms.ask_new_book(closed_window)
    form = form_of(closed_window, NewBookForm)
    form.submit()
    assert form.refusal.text() == "First name the book."
    form.name.setText("Herons 2026")
    form.grader.setText("J. Alder")
    form.file.path.setText(str(tmp_path / "herons"))
    form.scheme.path.setText(str(week_folder() / "harbor.toml"))
    form.roster.path.setText(str(roster))
    form.submit()
    assert closed_window.desk is not None
    assert closed_window.desk.name == "Herons 2026"
    assert closed_window.desk.author == "J. Alder"
    assert recall(tmp_path / "window.json").grader == "J. Alder"


def test_a_scheme_with_faults_makes_no_book(closed_window: MainWindow, tmp_path: Path) -> None:
    """The form says every fault and stays; no file is left behind."""
    faulty = tmp_path / "faulty.toml"
    faulty.write_text(FAULTY)
    forms.ask_new_book(closed_window)
    form = form_of(closed_window, NewBookForm)
    form.name.setText("Herons")
    form.grader.setText("J. Alder")
    form.file.path.setText(str(tmp_path / "herons.gradecut"))
    form.scheme.path.setText(str(faulty))
    form.submit()
    for line in ("line 12", "line 15", "line 17"):
        assert line in form.refusal.text()
    assert not (tmp_path / "herons.gradecut").exists()
    form.reject()


def test_film_is_added_beside_the_window(window: MainWindow, films: Path, until: Until) -> None:
    """A further angle of a session that is there is paired with its plays and said."""
    assert window.desk is not None
    forms.ask_film(window)
    form = form_of(window, AddFilmForm)
    form.submit()
    assert form.refusal.text() == "Choose a folder or films."
    form.places.setText(str(films / "play 1.mp4"))
    form.angle.setCurrentText("side")
    form.without.setText("one")
    form.submit()
    assert "write plays as 2-4,7" in form.refusal.text()
    form.without.setText("2-3, 1")
    form.submit()
    until(lambda: window.line.sentence.startswith("Monday:"))
    assert "already in the book" in window.line.sentence
    assert window.desk.book.count(Angle) == 3


def test_a_session_that_is_there_keeps_its_kind_and_day(window: MainWindow) -> None:
    """They are shown and can't be contradicted; a new session is asked for both."""
    forms.ask_film(window)
    form = form_of(window, AddFilmForm)
    assert (form.session.currentText(), form.day.text()) == ("Monday", "2026-10-05")
    assert not form.kind.isEnabled()
    assert not form.day.isEnabled()
    form.session.setCurrentText("Friday")
    assert form.kind.isEnabled()
    assert form.day.isEnabled()
    assert form.day.text() != "2026-10-05"
    form.reject()


def test_a_folder_without_film_is_a_sentence(
    window: MainWindow, tmp_path: Path, until: Until
) -> None:
    """An empty folder is refused: the form comes back, filled in, and says why."""
    empty = tmp_path / "empty"
    empty.mkdir()
    forms.ask_film(window)
    form = form_of(window, AddFilmForm)
    form.places.setText(str(empty))
    form.submit()
    until(lambda: "empty" in form.refusal.text())
    assert form.isVisible()
    assert form.places.text() == str(empty)
    form.reject()


def test_new_film_is_shown(window: MainWindow, tmp_path: Path, until: Until) -> None:
    """Film of a new session brings the Film page to that session."""
    other = tmp_path / "late.mp4"
    write_film(
        other,
        [np.full((90, 160, 3), 200 - frame, np.uint8) for frame in range(30)],
        rate=Fraction(30),
    )
    window.show_page("Board")
    forms.ask_film(window)
    form = form_of(window, AddFilmForm)
    form.places.setText(str(other))
    form.session.setCurrentText("Friday")
    form.submit()
    until(lambda: window.line.sentence.startswith("Friday:"))
    assert window.pages is not None
    assert window.pages.name == "Film"
    assert "Friday" in window.header.told.text()


def test_the_angle_a_session_lacks_is_offered(window: MainWindow) -> None:
    """Monday has its end film, so its side is asked for; a new session begins with the end."""
    forms.ask_film(window)
    form = form_of(window, AddFilmForm)
    assert form.angle.currentText() == "side"
    form.session.setCurrentText("Friday")
    assert form.angle.currentText() == "end"
    form.reject()


def test_what_is_typed_into_a_new_form_is_written(qtbot: Any, closed_window: MainWindow) -> None:
    """The cursor stands in the first field, and a space there presses no button."""
    forms.ask_new_book(closed_window)
    form = form_of(closed_window, NewBookForm)
    qtbot.waitUntil(lambda: form.focusWidget() is form.name)
    qtbot.keyClicks(form.focusWidget(), "Herons 2026")
    assert form.name.text() == "Herons 2026"
    assert form.refusal.text() == ""
    qtbot.keyClick(form.name, Qt.Key.Key_Return)
    assert form.refusal.text() != ""
    form.reject()


def test_a_name_that_stands_there_is_typed_over(qtbot: Any, window: MainWindow) -> None:
    """A click on the grader's name asks who grades, the old name selected; the page follows."""
    qtbot.mouseClick(window.header.grader, Qt.MouseButton.LeftButton)
    form = form_of(window, GraderForm)
    qtbot.waitUntil(lambda: form.focusWidget() is form.name)
    qtbot.keyClicks(form.focusWidget(), "B. Holt")
    qtbot.keyClick(form.name, Qt.Key.Key_Return)
    assert window.desk is not None
    assert window.desk.author == "B. Holt"
    assert window.header.grader.text() == "B. Holt"
    assert window.desk.film.plays.first_waiting() is not None
    assert window.desk.undo_hint() == ""
    assert window.line.undo.text() == ""


def test_the_grader_is_asked_once(closed_window: MainWindow, book_path: Path) -> None:
    """A book of two opened while nobody has said who grades asks, and the answer stays.

    The one who acted in it last is proposed.
    """
    with open_book(book_path, author="C. Drum") as book, book.act("add a man") as act:
        act.put(Player(name="Bo Lang"))
    closed_window.remembered = replace(closed_window.remembered, grader="")
    closed_window.open_path(str(book_path))
    form = form_of(closed_window, GraderForm)
    assert form.name.text() == "C. Drum"
    form.name.setText(" ")
    form.submit()
    assert "Write your name" in form.refusal.text()
    closed_window.say("What opening said.")
    form.name.setText("B. Holt")
    form.submit()
    assert closed_window.desk is not None
    assert closed_window.desk.author == "B. Holt"
    assert closed_window.line.sentence == "What opening said."
    closed_window.close_book()
    closed_window.open_path(str(book_path))
    assert not any(one.isVisible() for one in closed_window.findChildren(GraderForm))


def test_who_made_the_book_here_alone_is_not_asked(
    closed_window: MainWindow, book_path: Path
) -> None:
    """All there is in it was done on this computer under one name: he grades."""
    closed_window.remembered = replace(closed_window.remembered, grader="")
    closed_window.open_path(str(book_path))
    assert not any(one.isVisible() for one in closed_window.findChildren(GraderForm))
    assert closed_window.desk is not None
    assert closed_window.desk.author == "Coach Alder"


def test_a_player_of_the_roster_is_no_grader(
    closed_window: MainWindow, book_path: Path, tmp_path: Path
) -> None:
    """Under his name stand his own answers: opening, asking and a new book all say so."""
    with open_book(book_path) as book:
        name = book.find(Player)[0].name
    closed_window.remembered = replace(closed_window.remembered, grader=name)
    closed_window.open_path(str(book_path))
    assert f"“{name}” is on the roster" in closed_window.line.sentence
    form = form_of(closed_window, GraderForm)
    form.name.setText(name.upper())
    form.submit()
    assert "grade under another name" in form.refusal.text()
    form.name.setText("B. Holt")
    form.submit()
    assert closed_window.desk is not None
    assert closed_window.desk.author == "B. Holt"
    closed_window.close_book()

    roster = tmp_path / "roster.csv"
    roster.write_text(ROSTER)
    forms.ask_new_book(closed_window)
    new = form_of(closed_window, NewBookForm)
    new.name.setText("Herons")
    new.grader.setText(name)
    new.file.path.setText(str(tmp_path / "new.gradecut"))
    new.roster.path.setText(str(roster))
    new.submit()
    assert "is on the roster" in new.refusal.text()
    assert not (tmp_path / "new.gradecut").exists()
    new.reject()
