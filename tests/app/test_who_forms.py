"""Who is in, what the play was and the script beside it: in the real window, by keys alone."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QDialog, QLineEdit, QListWidget, QPushButton, QWidget

from gradecut.app.film_page import FilmPage
from gradecut.app.line_up_form import LineUpForm
from gradecut.app.name_man_form import NameManForm
from gradecut.app.play_facts_form import PlayFactsForm
from gradecut.app.script_sheet import ScriptSheet
from gradecut.app.window import MainWindow
from gradecut.book import Book
from gradecut.records import Clip, Player, Rep, Session
from gradecut.workflows.naming_men import put_in_unknown
from tests.desk.conftest import film_book_file, numbered_films
from tests.workflows.test_script_drift import TRUTH, practice, see

__all__ = ["film_book_file", "numbered_films"]

D = TypeVar("D", bound=QDialog)
Key = Qt.Key
CLICK: Any = QTest.keyClick
TYPE: Any = QTest.keyClicks
CTRL = Qt.KeyboardModifier.ControlModifier
ALT = Qt.KeyboardModifier.AltModifier


@pytest.fixture
def page(closed_window: MainWindow, film_book_file: Path, tmp_path: Path) -> FilmPage:
    """Show the Film page of a book with three plays, a script and a roster."""
    path = tmp_path / "film.gradecut"
    shutil.copy(film_book_file, path)
    return shown(closed_window, path)


@pytest.fixture
def drifted(closed_window: MainWindow, tmp_path: Path) -> FilmPage:
    """Show a practice whose fourth play of eleven is not on its script, as was seen on film."""
    with practice(tmp_path, 11) as book:
        book.author = "Coach Alder"
        see(book, TRUTH, [1, 2, 3, 5, 6, 7])
    return shown(closed_window, tmp_path / "herons.gradecut")


def shown(window: MainWindow, path: Path) -> FilmPage:
    """Open a book at its Film page."""
    window.open_path(str(path))
    window.show_page("Film")
    window.activateWindow()
    assert window.pages is not None
    page = window.pages.pages["Film"]
    assert isinstance(page, FilmPage)
    page.setFocus()
    return page


@pytest.fixture
def opened(qtbot: Any) -> Callable[[FilmPage, type[D]], D]:
    """Wait for a form that a key opened."""

    def wait(page: FilmPage, kind: type[D]) -> D:
        qtbot.waitUntil(lambda: any(one.isVisible() for one in page.findChildren(kind)))
        found = next(one for one in page.findChildren(kind) if one.isVisible())
        found.activateWindow()
        return found

    return wait


def focus(of: QWidget) -> QWidget:
    """Return what the keys go to."""
    return of.focusWidget() or of


def at(book: Book, position: str) -> list[str]:
    """Return who is in at a position on each play."""
    men = {man.id: man.short_name for man in book.find(Player)}
    return [
        next((men[rep.player_id] for rep in book.find(Rep, clip_id=one.id, position=position)), "")
        for one in book.find(Clip)
    ]


def test_a_period_is_lined_up_by_number_keys(
    page: FilmPage, opened: Callable[[FilmPage, type[LineUpForm]], LineUpForm]
) -> None:
    """Ctrl I, down to the position, his number, Enter; said in one sentence, undone at once."""
    CLICK(page, Key.Key_I, CTRL)
    form = opened(page, LineUpForm)
    names = [row.position for row in form.rows.rows]
    for _ in range(names.index("Keel")):
        CLICK(focus(form), Key.Key_Down)
    men = [row.words for row in form.men.rows]
    assert men[0] == "1: Tavin Okorie 44, there now"
    assert men[1] == "2: Quill Hanrattan 52"
    CLICK(focus(form), Key.Key_2)
    assert "Keel: Quill Hanrattan 52, chosen now" in [row.words for row in form.positions.rows]
    assert at(page.film.book, "Keel") == ["Okorie"] * 3
    CLICK(focus(form), Key.Key_Return)
    assert not form.isVisible()
    assert at(page.film.book, "Keel") == ["Hanrattan"] * 3
    page.film.book.undo()
    assert at(page.film.book, "Keel") == ["Okorie"] * 3


def test_escape_leaves_the_line_up_as_it_was(
    page: FilmPage, opened: Callable[[FilmPage, type[LineUpForm]], LineUpForm]
) -> None:
    """What was chosen is not kept."""
    CLICK(page, Key.Key_I, CTRL)
    form = opened(page, LineUpForm)
    CLICK(focus(form), Key.Key_2)
    CLICK(focus(form), Key.Key_Escape)
    assert not form.isVisible()
    assert at(page.film.book, "Keel") == ["Okorie"] * 3


def test_an_unknown_man_is_named_by_typing(
    page: FilmPage, opened: Callable[[FilmPage, type[NameManForm]], NameManForm]
) -> None:
    """Enter before anything was typed names nobody; a number finds the man."""
    film = page.film
    assert film.clip is not None
    put_in_unknown(film.book, film.clip, "Bow")
    CLICK(page, Key.Key_N, ALT)
    form = opened(page, NameManForm)
    CLICK(focus(form), Key.Key_Return)
    assert form.isVisible()
    assert form.refusal.text() == "Type his name or number, or choose him with the arrow keys."
    TYPE(focus(form), "57")
    assert [row.words for row in form.men.rows] == ["Anders Pell, 57, Bow"]
    CLICK(focus(form), Key.Key_Return)
    assert not form.isVisible()
    assert at(film.book, "Bow") == ["Pell"] * 3
    assert film.book.count(Player, unknown=True) == 0


def test_a_man_who_is_in_already_is_refused_in_the_form(
    page: FilmPage, opened: Callable[[FilmPage, type[NameManForm]], NameManForm]
) -> None:
    """The sentence stands in the form, which stays."""
    film = page.film
    assert film.clip is not None
    put_in_unknown(film.book, film.clip, "Bow")
    CLICK(page, Key.Key_N, ALT)
    form = opened(page, NameManForm)
    TYPE(focus(form), "oko")
    CLICK(focus(form), Key.Key_Return)
    assert form.isVisible()
    assert form.refusal.text().startswith("Tavin Okorie is already in at Keel on plays 1 to 3")


def test_a_name_nobody_has_makes_a_new_man(
    page: FilmPage, opened: Callable[[FilmPage, type[NameManForm]], NameManForm]
) -> None:
    """The list says so before Enter does it."""
    film = page.film
    assert film.clip is not None
    put_in_unknown(film.book, film.clip, "Bow")
    CLICK(page, Key.Key_N, ALT)
    form = opened(page, NameManForm)
    TYPE(focus(form), "Silas Wren")
    assert form.men.rows[0].words == "Enter puts “Silas Wren” on the roster as a new man"
    CLICK(focus(form), Key.Key_Return)
    assert at(film.book, "Bow") == ["Wren"] * 3


def test_what_a_play_was_is_typed_and_kept(
    page: FilmPage, opened: Callable[[FilmPage, type[PlayFactsForm]], PlayFactsForm]
) -> None:
    """The cursor stands in the yards; a number that is none is refused and the form stays."""
    CLICK(page, Key.Key_C, ALT)
    form = opened(page, PlayFactsForm)
    TYPE(focus(form), "two")
    CLICK(focus(form), Key.Key_Return)
    assert form.refusal.text().startswith("“two” in yards gained is no whole number")
    field = focus(form)
    assert field.accessibleName() == "yards gained"
    CLICK(field, Key.Key_A, CTRL)
    TYPE(field, "-2")
    CLICK(field, Key.Key_Return)
    assert not form.isVisible()
    assert page.film.book.find(Clip)[0].yards_gained == -2


def test_it_is_kept_for_the_rest_of_the_period_by_ctrl_enter(
    page: FilmPage, opened: Callable[[FilmPage, type[PlayFactsForm]], PlayFactsForm]
) -> None:
    """Tempo live from here on: Tab to it, an arrow, Ctrl Enter."""
    CLICK(page, Key.Key_C, ALT)
    form = opened(page, PlayFactsForm)
    while focus(form).accessibleName() != "thud":
        CLICK(focus(form), Key.Key_Tab)
    CLICK(focus(form), Key.Key_Right)
    CLICK(focus(form), Key.Key_Return, CTRL)
    assert not form.isVisible()
    assert [one.tempo for one in page.film.book.find(Clip)] == ["live"] * 3


def test_the_script_is_moved_in_its_sheet_by_one_key(
    drifted: FilmPage, opened: Callable[[FilmPage, type[ScriptSheet]], ScriptSheet]
) -> None:
    """Alt X shows what was found and why; Ctrl Enter moves it; what is shown follows."""
    film = drifted.film
    CLICK(drifted, Key.Key_X, ALT)
    sheet = opened(drifted, ScriptSheet)
    assert "From play 4 on the script seems one line ahead" in sheet.drift.text()
    assert "Play 6: " in sheet.evidence.text()
    assert sheet.move_it.text() == "From play 4 on, move it one play later"
    CLICK(focus(sheet), Key.Key_Return, CTRL)
    assert [one.script_number for one in film.book.find(Clip)] == TRUTH
    assert not sheet.found.isVisible()
    assert sheet.list.rows[3].words == "Play 4: no line: not on the script."
    film.book.undo()
    assert film.book.find(Clip)[10].script_number is None


def test_the_proposed_move_is_made_by_enter_on_its_button(
    drifted: FilmPage, opened: Callable[[FilmPage, type[ScriptSheet]], ScriptSheet]
) -> None:
    """With the keys on the button Enter presses it; the sheet stays and shows what came of it."""
    CLICK(drifted, Key.Key_X, ALT)
    sheet = opened(drifted, ScriptSheet)
    sheet.move_it.setFocus()
    CLICK(focus(sheet), Key.Key_Return)
    assert sheet.isVisible()
    assert not sheet.move_it.isVisible()
    undone = drifted.film.book.can_undo()
    assert undone is not None
    assert "script" in undone.verb


def test_a_coach_moves_the_script_where_he_knows_better(
    drifted: FilmPage, opened: Callable[[FilmPage, type[ScriptSheet]], ScriptSheet]
) -> None:
    """From the play chosen on, either way; Enter goes to the play."""
    film = drifted.film
    CLICK(drifted, Key.Key_X, ALT)
    sheet = opened(drifted, ScriptSheet)
    sheet.list.setCurrentRow(1)
    CLICK(focus(sheet), Key.Key_Down, CTRL)
    assert [one.script_number for one in film.book.find(Clip)][:4] == [1, None, 2, 3]
    sheet.list.setCurrentRow(4)
    CLICK(focus(sheet), Key.Key_Up, CTRL)
    assert [one.script_number for one in film.book.find(Clip)][3:6] == [3, 5, 6]
    sheet.list.setCurrentRow(2)
    CLICK(focus(sheet), Key.Key_Return)
    assert not sheet.isVisible()
    assert film.clip is not None
    assert film.clip.order == 3


def test_every_control_of_the_forms_has_a_name(page: FilmPage) -> None:
    """For whoever can't see them: fields, lists, choices and buttons."""
    film = page.film
    assert film.clip is not None
    put_in_unknown(film.book, film.clip, "Bow")
    for door in ("line_up", "name_man", "tell_play", "show_script"):
        getattr(page.doors, door)()
        form = next(one for one in page.findChildren(QDialog) if one.isVisible())
        for kind in (QLineEdit, QPushButton, QListWidget):
            for part in form.findChildren(kind):
                assert part.accessibleName() or getattr(part, "text", str)(), (door, kind)
        form.close()
    assert film.book.count(Session) == 1
