from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QApplication

from gradecut.app.new_book_form import NewBookForm
from gradecut.app.scheme_effects_sheet import EffectsSheet
from gradecut.app.scheme_page import LEARN, SchemePage
from gradecut.app.scheme_start_form import StartForm
from gradecut.app.window import MainWindow
from gradecut.workflows.booking import new_book, scheme_in_force

Until = Callable[[Callable[[], bool]], None]


@pytest.fixture
def page(closed_window: MainWindow, tmp_path: Path) -> SchemePage:
    """Show the Scheme page of a book without a scheme."""
    path = tmp_path / "new.gradecut"
    new_book(path, name="New Herons", author="Coach Alder").close()
    closed_window.open_path(str(path))
    closed_window.activateWindow()
    closed_window.show_page("Scheme")
    assert closed_window.pages is not None
    shown = closed_window.pages.pages["Scheme"]
    assert isinstance(shown, SchemePage)
    return shown


@pytest.fixture
def press(qtbot: Any) -> Callable[..., None]:
    """Press keys where the focus is."""

    def pressing(*keys: Any, ctrl: bool = False) -> None:
        held = Qt.KeyboardModifier.ControlModifier if ctrl else Qt.KeyboardModifier.NoModifier
        for key in keys:
            focus = QApplication.focusWidget()
            assert focus is not None
            if isinstance(key, str):
                qtbot.keyClicks(focus, key)
            else:
                qtbot.keyClick(focus, key, held)

    return pressing


def form() -> StartForm:
    """Return the form that is open."""
    return next(
        w for w in QApplication.topLevelWidgets() if isinstance(w, StartForm) and w.isVisible()
    )


def test_from_nothing_to_a_kept_sound_scheme_by_keys(
    page: SchemePage, press: Any, until: Until
) -> None:
    """Space on the door, Enter through the questions, a number here and there, Ctrl+Enter."""
    assert QApplication.focusWidget() is page.doors.doors[0]
    press(Qt.Key.Key_Space)
    asked = form()
    until(asked.field.hasFocus)
    press("Dockside", Qt.Key.Key_Return, "1")
    assert asked.starting.answers["front"] == "three"
    assert asked.starting.question.key == "inside"
    while not asked.starting.last:
        press(Qt.Key.Key_Return)
    press(Qt.Key.Key_Return)
    until(lambda: not page.scheme.audit.running)
    assert not asked.isVisible()
    assert page.head.title.text() == "Dockside 1"
    assert page.findings.verdict.text().startswith("Sound")
    assert scheme_in_force(page.desk.book) is None
    page.window().activateWindow()  # type: ignore[union-attr]
    until(page.grid.hasFocus)
    press(Qt.Key.Key_Return, ctrl=True)
    until(lambda: page.scheme.scheme is not None)
    kept = scheme_in_force(page.desk.book)
    assert kept is not None
    assert kept.name == "Dockside"
    assert not page.scheme.draft_words()


def test_esc_leaves_everything_as_it_was(page: SchemePage, press: Any, until: Until) -> None:
    """Answers that were given are forgotten with the form."""
    press(Qt.Key.Key_Space)
    asked = form()
    until(asked.field.hasFocus)
    press("Dockside", Qt.Key.Key_Return, Qt.Key.Key_Escape)
    assert not asked.isVisible()
    assert page.scheme.shown is None
    assert page.scheme.draft is None


@pytest.mark.usefixtures("page")
def test_arrows_choose_page_up_and_the_list_go_back(press: Any, until: Until) -> None:
    """Up and Down choose without going on; every answer stays in sight in the list."""
    press(Qt.Key.Key_Space)
    asked = form()
    until(asked.field.hasFocus)
    press(Qt.Key.Key_Return, Qt.Key.Key_Up)
    assert asked.starting.question.key == "front"
    assert asked.answers[0].isChecked()
    assert asked.list.item(1).text() == "men down:  Three"  # type: ignore[union-attr]
    press(Qt.Key.Key_PageUp)
    assert asked.starting.at == 0
    asked.list.setCurrentRow(6)
    assert asked.starting.question.key == "kick_out"
    asked.answers[0].click()
    assert asked.starting.answers["kick_out"] == "box"
    assert asked.picture.accessibleDescription()
    press(Qt.Key.Key_Escape)


def test_names_that_do_not_fit_the_front_are_told(
    page: SchemePage, press: Any, until: Until
) -> None:
    """The form says so, keeps what was typed and stays."""
    press(Qt.Key.Key_Space)
    asked = form()
    until(asked.field.hasFocus)
    asked.starting.go_to(5)
    until(asked.field.hasFocus)
    press("Bow, Keel")
    assert "3 linebackers" in asked.refusal.text()
    press(Qt.Key.Key_Return, ctrl=True)
    assert asked.isVisible()
    press(", Port")
    assert not asked.refusal.text()
    press(Qt.Key.Key_Return, ctrl=True)
    assert not asked.isVisible()
    assert page.grid.isVisible()
    assert page.scheme.hand.men == ("Bow", "Keel", "Port")


def test_a_new_book_without_a_file_goes_on_to_the_questions(
    closed_window: MainWindow, tmp_path: Path
) -> None:
    """Chosen in the form of a new book, the questions stand over its Scheme page."""
    made = NewBookForm(closed_window)
    made.name.setText("New Herons")
    made.file.path.setText(str(tmp_path / "made.gradecut"))
    made.first.choose(1)
    made.submit()
    asked = form()
    assert closed_window.pages is not None
    assert closed_window.pages.name == "Scheme"
    assert asked.starting.rules
    asked.reject()


def test_learning_says_it_is_in_force_and_goes_on_to_learn(
    page: SchemePage, press: Any, until: Until
) -> None:
    """The form says so before it is done; then the view that proposes rules is shown."""
    page.asking.start_blank()
    asked = form()
    assert "in force at once" in asked.about.text()
    until(asked.field.hasFocus)
    press("Dockside", Qt.Key.Key_Return)
    asked.submit()
    until(lambda: page.scheme.scheme is not None)
    assert page.side.name == LEARN
    until(lambda: page.learning.verdict.text() == "You have not said yet what a man owed.")
    page.asking.start_blank()
    again = form()
    assert "nothing is in force until you keep it" in again.about.text()
    again.reject()


def test_the_door_counts_its_questions(page: SchemePage) -> None:
    """What the door promises is what the form asks."""
    assert page.doors.doors[0].accessibleName().startswith("Answer fourteen questions")
    page.asking.start()
    asked = form()
    assert asked.windowTitle() == "A scheme from fourteen questions"
    assert asked.count.text().endswith("of 14")
    asked.reject()


def test_holes_are_told_before_it_is_kept_though_no_grade_turns(
    page: SchemePage, until: Until
) -> None:
    """The button says "Keep all the same"; nothing is in force before it is pressed."""
    page.asking.start()
    form().submit()
    row = next(row for row in page.scheme.hand.rows if row.cells)
    page.scheme.hand.take(row.key, next(iter(row.cells)))
    assert page.scheme.hand.clear()
    page.keep()
    until(lambda: page.scheme.keeping.effects is not None)
    told = next(
        w for w in QApplication.topLevelWidgets() if isinstance(w, EffectsSheet) and w.isVisible()
    )
    assert " stay" in told.rest.text()
    assert told.judge.text() == "Keep all the same"
    assert scheme_in_force(page.desk.book) is None
    told.judge.click()
    until(lambda: page.scheme.scheme is not None)
