"""Two coaches through the window: handing over, taking, grading blind, settling a fact."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QDialog

from gradecut.app import coach_doors, forms
from gradecut.app.beside_sheet import BesideSheet
from gradecut.app.differences_sheet import DifferencesSheet
from gradecut.app.film_page import FilmPage
from gradecut.app.grader_form import GraderForm
from gradecut.app.hand_off_form import HandOffForm
from gradecut.app.window import MainWindow
from gradecut.book import open_book
from gradecut.desk.grader_ways import GraderWays
from gradecut.desk.remembered import recall
from gradecut.records import FactValue, Grade
from gradecut.workflows.handing_off import write_hand_off
from gradecut.workflows.judging import judge
from gradecut.workflows.taking import read_hand_off
from tests.workflows.two_books import OUTSIDE, copy_of, rep_of, tell

Until = Callable[[Callable[[], bool]], None]


@pytest.fixture
def hand_off(tmp_path: Path, book_path: Path) -> Path:
    """Write what another coach hands over: one fact and two men otherwise, one fact new."""
    with open_book(book_path) as book, copy_of(book, tmp_path / "other.gradecut", OUTSIDE) as other:
        tell(other, 1, back="behind")
        judge(other, rep_of(other, 1, "Keel"))
        judge(other, rep_of(other, 2, "Keel"), did="cannot grade", name="hidden")
        return write_hand_off(other, tmp_path / "boone.hand").path


@pytest.fixture
def page(window: MainWindow) -> FilmPage:
    """Show the Film page of the small book."""
    window.activateWindow()
    assert window.pages is not None
    shown = window.pages.pages["Film"]
    assert isinstance(shown, FilmPage)
    return shown


def opened(window: MainWindow, kind: type) -> Any:
    """Return the form or sheet that is open."""
    found: list[Any] = window.findChildren(kind)
    return next(one for one in found if one.isVisible())


def active(window: Any, qtbot: Any) -> None:
    """Let a window or a sheet have the keys."""
    window.activateWindow()
    qtbot.waitUntil(window.isActiveWindow)


def shown_words(sheet: Any) -> list[str]:
    """Return what the rows of a sheet say."""
    return [row.words for row in sheet.list.rows]


def held(window: MainWindow, path: Path, qtbot: Any) -> Any:
    """Read a hand-off and return the sheet of what differs."""
    coach_doors.hold_hand_off(window, str(path))
    found: list[Any] = []

    def there() -> bool:
        sheets: list[Any] = window.findChildren(DifferencesSheet)
        found[:] = [one for one in sheets if one.isVisible()]
        return bool(found)

    qtbot.waitUntil(there, timeout=30_000)
    return found[0]


def rested(window: MainWindow, qtbot: Any) -> None:
    """Let what goes on beside the window end."""
    desk = window.desk
    assert desk is not None
    qtbot.waitUntil(lambda: not desk.jobs.busy, timeout=30_000)


def taken(window: MainWindow, path: Path, qtbot: Any) -> None:
    """Take a hand-off through its sheet."""
    held(window, path, qtbot).take()
    rested(window, qtbot)
    active(window, qtbot)


def test_my_grades_are_written_for_a_colleague(
    window: MainWindow, tmp_path: Path, qtbot: Any
) -> None:
    """The form says what is in it and who is under age; the file is written and told."""
    coach_doors.ask_hand_off(window)
    form = opened(window, HandOffForm)
    assert form.holds.text() == "counting …"
    rested(window, qtbot)
    assert form.holds.text().startswith("6 grades, 2 flags")
    assert "Under 18: Cal Teague" in form.heed.text()
    form.file.path.setText("")
    form.submit()
    assert "Name the file" in form.refusal.text()
    form.file.path.setText(str(tmp_path / "mine.txt"))
    form.submit()
    assert "ends in .hand" in form.refusal.text()
    form.which.choose(1)
    form.file.path.setText(str(tmp_path / "mine"))
    form.submit()
    rested(window, qtbot)
    assert len(read_hand_off(tmp_path / "mine.hand").of(Grade)) == 6
    assert "Written for your colleague" in window.line.said.text()


def test_who_has_nothing_can_hand_nothing_over(window: MainWindow, qtbot: Any) -> None:
    """The form says so and its button is off."""
    window.set_grader("N. Body")
    coach_doors.ask_hand_off(window)
    form = opened(window, HandOffForm)
    rested(window, qtbot)
    assert not form.do.isEnabled()
    assert "recorded nothing there yet" in form.refusal.text()
    form.reject()


def test_differences_are_shown_before_anything_is_stored(
    window: MainWindow, hand_off: Path, qtbot: Any
) -> None:
    """Left, nothing is stored; taken, one undo brings everything back."""
    assert window.desk is not None
    book = window.desk.book
    sheet = held(window, hand_off, qtbot)
    told = shown_words(sheet)
    assert "Play 1, back: he says behind; Coach Alder says left" in told
    assert any("Play 1, Keel Rudd: he says ✓ right" in words for words in told)
    sheet.reject()
    assert book.count(Grade, author=OUTSIDE) == 0
    taken(window, hand_off, qtbot)
    assert book.count(Grade, author=OUTSIDE) == 2
    assert "2 grades and 1 fact taken" in window.line.said.text()
    window.undo()
    assert book.count(Grade, author=OUTSIDE) == 0


def test_a_file_that_is_none_is_told_on_the_line(
    window: MainWindow, tmp_path: Path, qtbot: Any
) -> None:
    """No sheet opens; one sentence says why."""
    bad = tmp_path / "bad.hand"
    bad.write_text("{}", encoding="utf-8")
    coach_doors.hold_hand_off(window, str(bad))
    rested(window, qtbot)
    assert "no hand-off of a coach's grades" in window.line.said.text()
    assert not [one for one in window.findChildren(QDialog) if one.isVisible()]


def test_his_row_changed_here_is_chosen_by_space(
    window: MainWindow, hand_off: Path, qtbot: Any
) -> None:
    """What was settled here stays out until Space says his word counts; Enter takes it."""
    assert window.desk is not None
    book = window.desk.book
    taken(window, hand_off, qtbot)
    with book.act("settle it") as act:
        act.drop_all(book.find(FactValue, author=OUTSIDE))
    sheet = held(window, hand_off, qtbot)
    active(sheet, qtbot)
    qtbot.keyClick(sheet.list, Qt.Key.Key_Space)
    assert any(words.endswith("; his is taken") for words in shown_words(sheet))
    qtbot.keyClick(sheet.list, Qt.Key.Key_Return)
    rested(window, qtbot)
    assert book.count(FactValue, author=OUTSIDE) == 1


def test_the_other_coach_beside_and_a_fact_settled_by_keys(
    page: FilmPage, window: MainWindow, hand_off: Path, qtbot: Any
) -> None:
    """Alt+B shows both words; H lets his stand; the dispute is gone, and comes back by undo."""
    book = page.film.book
    taken(window, hand_off, qtbot)
    page.film.open_clip(page.film.plays.line.boxes[0].clip_id)
    assert page.situation.text().startswith("≠ back")
    assert "R. Boone says behind" in page.situation.accessibleName()
    qtbot.keyClick(page, Qt.Key.Key_B, Qt.KeyboardModifier.AltModifier)
    sheet = opened(window, BesideSheet)
    assert shown_words(sheet)[0] == "back, otherwise: Coach Alder left; R. Boone behind"
    assert any(words.startswith("Keel Rudd, otherwise") for words in shown_words(sheet))
    assert "n = " in sheet.agreement.text()
    active(sheet, qtbot)
    qtbot.keyClick(sheet.list, Qt.Key.Key_H)
    assert not any(words.startswith("back") for words in shown_words(sheet))
    assert page.film.state is not None
    assert page.film.state.look["back"] == "behind"
    assert "≠" not in page.situation.text()
    sheet.reject()
    window.undo()
    assert {fact.value for fact in book.find(FactValue, reference="back")} >= {"left", "behind"}


def test_alt_u_goes_from_difference_to_difference(
    page: FilmPage, window: MainWindow, hand_off: Path, qtbot: Any
) -> None:
    """Each play on which he differs is shown in turn, and said; plays that do not are passed."""
    taken(window, hand_off, qtbot)
    page.film.open_clip(page.film.plays.line.boxes[2].clip_id)
    orders = []
    for _ in range(3):
        qtbot.keyClick(page, Qt.Key.Key_U, Qt.KeyboardModifier.AltModifier)
        assert page.film.clip is not None
        orders.append(page.film.clip.order)
    assert orders == [1, 2, 1]
    assert "plays that differ" in window.line.said.text()


def test_nobody_else_is_told_as_such(page: FilmPage, window: MainWindow, qtbot: Any) -> None:
    """With one grader in the book both keys say what to do."""
    for key in (Qt.Key.Key_B, Qt.Key.Key_U):
        qtbot.keyClick(page, key, Qt.KeyboardModifier.AltModifier)
        assert "Nobody else has graded" in window.line.said.text()


def test_a_second_grader_grades_blind_until_he_lifts_it(
    page: FilmPage, window: MainWindow, tmp_path: Path, qtbot: Any
) -> None:
    """Others' work is hidden, after a restart too; lifting is kept with where he was."""
    film = page.film
    forms.ask_grader(window)
    form = opened(window, GraderForm)
    form.name.setText(OUTSIDE)
    form.sight.choose(1)
    form.submit()
    assert window.header.grader.text() == f"{OUTSIDE} · blind"
    assert film.book.blind
    window.show_page("Board")
    qtbot.keyClick(page, Qt.Key.Key_B, Qt.KeyboardModifier.AltModifier)
    path = str(film.book.path)
    window.open_path(path)
    assert window.desk is not None
    assert (window.desk.author, window.desk.book.blind) == (OUTSIDE, True)
    forms.ask_grader(window)
    form = opened(window, GraderForm)
    assert form.sight.place == 1
    form.sight.choose(0)
    form.submit()
    assert not window.desk.book.blind
    kept = recall(tmp_path / "window.json").ways[path][OUTSIDE]
    assert kept.lifted_at > kept.blind_since
    assert kept.lifted_where.startswith("Monday, play ")


def test_each_coach_has_his_own_men(page: FilmPage, window: MainWindow) -> None:
    """The men chosen by one grader are his alone; the book stays as it was for the other."""
    assert page.film.state is not None
    everybody = {man.position for man in page.film.state.men}
    forms.ask_grader(window)
    form = opened(window, GraderForm)
    form.name.setText(OUTSIDE)
    groups = [form.men.itemText(at) for at in range(form.men.count())]
    form.men.setCurrentIndex(next(n for n, one in enumerate(groups) if one.startswith("lineb")))
    form.submit()
    assert {man.position for man in page.film.state.men} == {"Keel", "Bow", "Port"}
    window.set_grader("Coach Alder")
    assert {man.position for man in page.film.state.men} == everybody


def test_what_is_taken_while_blind_stays_hidden(
    page: FilmPage, window: MainWindow, hand_off: Path, qtbot: Any
) -> None:
    """The sheet counts and tells nothing; Alt+B and Alt+U say why; what came is in the book."""
    window.set_grader("N. Third", GraderWays().begin_blind())
    sheet = held(window, hand_off, qtbot)
    assert not any("right" in words or "behind" in words for words in shown_words(sheet))
    sheet.take()
    rested(window, qtbot)
    active(window, qtbot)
    assert page.film.book.count(Grade, author=OUTSIDE) == 2
    for key in (Qt.Key.Key_B, Qt.Key.Key_U):
        qtbot.keyClick(page, key, Qt.KeyboardModifier.AltModifier)
        assert "You grade blind" in window.line.said.text()
    assert page.film.state is not None
    assert not any(man.grade for man in page.film.state.men)
