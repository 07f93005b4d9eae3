from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QApplication, QFileDialog

from gradecut.app.actions import clashing_keys
from gradecut.app.scheme_effects_sheet import EffectsSheet
from gradecut.app.scheme_page import LEARN, ON_FILM, SchemePage
from gradecut.app.scheme_start_form import StartForm
from gradecut.app.scheme_versions_sheet import VersionsSheet
from gradecut.app.window import MainWindow
from gradecut.book import open_book
from gradecut.records import Actual, Clip, Flag, Grade, Mark, Owed, Player, Rep
from gradecut.scheme.learning import Proposal
from gradecut.workflows.adding import add_film
from gradecut.workflows.booking import new_book, scheme_in_force
from gradecut.workflows.expecting import say_owed
from gradecut.workflows.line_ups import put_in
from gradecut.workflows.scheme_changes import keep_scheme
from tests.desk.small_book import ROSTER
from tests.desk.test_scheme_effects import INSIDE_TO_HIM
from tests.desk.test_scheme_learning import without_rules

Until = Callable[[Callable[[], bool]], None]


@pytest.fixture
def press(qtbot: Any, page: SchemePage) -> Callable[..., None]:
    """Press keys where the focus is; held: Ctrl, Alt or Shift."""
    window = page.window()
    assert window is not None

    def pressing(*keys: Any, held: Any = Qt.KeyboardModifier.NoModifier) -> None:
        for key in keys:
            qtbot.waitUntil(lambda: QApplication.focusWidget() is not None)
            qtbot.keyClick(QApplication.focusWidget(), key, held)

    return pressing


@pytest.fixture
def learning_page(closed_window: MainWindow, book_path: Any, until: Until) -> SchemePage:
    """Show a scheme without rules, after he said what Keel owed on two plays."""
    with open_book(book_path, author="Coach Alder") as book:
        before = scheme_in_force(book)
        assert before is not None
        keep_scheme(book, without_rules(before.text), "no rules")
        clips = {clip.id: clip.order for clip in book.find(Clip)}
        for rep in book.find(Rep, position="Keel"):
            say_owed(book, rep, "fill A" if clips[rep.clip_id] != 2 else "fill B")
    closed_window.open_path(str(book_path))
    closed_window.activateWindow()
    closed_window.show_page("Scheme")
    assert closed_window.pages is not None
    shown = closed_window.pages.pages["Scheme"]
    assert isinstance(shown, SchemePage)
    until(lambda: not shown.scheme.audit.running)
    return shown


def sheet(kind: type[Any]) -> Any:
    """Return the sheet that is open."""
    return next(w for w in QApplication.topLevelWidgets() if isinstance(w, kind) and w.isVisible())


def test_rules_are_learned_accepted_and_kept_by_keys(
    learning_page: SchemePage, qtbot: Any, until: Until
) -> None:
    """Alt+3 learns, Enter accepts one after another, Ctrl+Enter keeps them, Enter again."""
    page, learning = learning_page, learning_page.scheme.learning
    qtbot.keyClick(page.grid, Qt.Key.Key_3, Qt.KeyboardModifier.AltModifier)
    assert page.side.name == LEARN
    until(lambda: bool(learning.rows) and not learning.running)
    until(page.learning.list.hasFocus)
    assert page.learning.verdict.text().endswith("from 3 answers.")
    count = len(learning.rows)
    for _ in range(count):
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
        until(lambda: not learning.running)
    assert not learning.rows
    assert page.scheme.shown is not None
    assert len(page.scheme.shown.rules) >= 2
    qtbot.keyClick(
        QApplication.focusWidget(), Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier
    )
    until(lambda: page.scheme.keeping.effects is not None)
    told = sheet(EffectsSheet)
    assert "holes stay; " in told.rest.text()
    qtbot.keyClick(told, Qt.Key.Key_Return)
    until(lambda: page.scheme.draft is None)
    kept = scheme_in_force(page.desk.book)
    assert kept is not None
    assert kept.rules


def test_not_now_and_a_digit_for_the_look_asked(
    learning_page: SchemePage, qtbot: Any, until: Until
) -> None:
    """Delete puts a rule aside, a digit answers the look; neither edits the draft."""
    page, learning = learning_page, learning_page.scheme.learning
    page.side.show_view(LEARN)
    until(lambda: bool(learning.rows) and not learning.running)
    first = learning.rows[0]
    qtbot.keyClick(page.learning.list, Qt.Key.Key_Delete)
    assert first not in learning.rows
    assert learning.ask is not None
    assert page.learning.asked.isVisible()
    qtbot.keyClick(page.learning.list, Qt.Key.Key_1)
    until(lambda: learning.said == 4 and not learning.running)
    assert page.scheme.draft is None
    assert page.learning.back.isVisible()
    page.learning.back.click()
    until(lambda: not learning.running)
    assert learning.aside == 0


def test_the_plays_behind_a_rule_are_shown_on_film(
    learning_page: SchemePage, window_of: Callable[[SchemePage], MainWindow], qtbot: Any,
    until: Until,
) -> None:  # fmt: skip
    """Alt+F goes to the first play, the man in hand; once more to the next."""
    page, learning = learning_page, learning_page.scheme.learning
    window = window_of(page)
    page.side.show_view(LEARN)
    until(lambda: bool(learning.rows) and not learning.running)
    at = next(at for at, row in enumerate(learning.rows) if len(row.clips) > 1)
    page.learning.list.setCurrentRow(at)
    clips = learning.rows[at].clips
    for clip in clips[:2]:
        qtbot.keyClick(page.learning.list, Qt.Key.Key_F, Qt.KeyboardModifier.AltModifier)
        assert window.pages is not None
        assert window.pages.name == "Film"
        assert page.desk.film.state is not None
        assert page.desk.film.state.clip.id == clip
        assert page.desk.film.hand.position == "Keel"
        window.show_page("Scheme")
    assert isinstance(learning.rows[at].key, Proposal)


@pytest.fixture
def window_of() -> Callable[[SchemePage], MainWindow]:
    """Return a page's window."""

    def found(page: SchemePage) -> MainWindow:
        window = page.window()
        assert isinstance(window, MainWindow)
        return window

    return found


def test_what_turns_is_told_and_esc_leaves_it(page: SchemePage, press: Any, until: Until) -> None:
    """Ctrl+Enter shows the grades that turn by man; Esc keeps nothing; Enter keeps and judges."""
    row = next(row for row in page.scheme.hand.rows if row.words == INSIDE_TO_HIM)
    page.scheme.hand.take(row.key, "Keel")
    page.scheme.hand.set_fit("box A")
    press(Qt.Key.Key_Return, held=Qt.KeyboardModifier.ControlModifier)
    until(lambda: page.scheme.keeping.effects is not None)
    told = sheet(EffectsSheet)
    assert told.summary.text().startswith("2 of ")
    press(Qt.Key.Key_Escape)
    assert not told.isVisible()
    assert page.scheme.draft_words() == "1 edit not in force yet"
    page.window().activateWindow()  # type: ignore[union-attr]
    until(page.grid.hasFocus)
    press(Qt.Key.Key_Return, held=Qt.KeyboardModifier.ControlModifier)
    until(lambda: page.scheme.keeping.effects is not None)
    press(Qt.Key.Key_Return)
    until(lambda: page.scheme.draft is None)
    assert page.head.title.text() == "Harbor 2"


def test_versions_are_listed_and_one_is_put_back(
    page: SchemePage, press: Any, until: Until
) -> None:
    """Ctrl+Shift+V lists them, the one in force named; the one before, Enter: in force again."""
    row = next(row for row in page.scheme.hand.rows if row.words == INSIDE_TO_HIM)
    page.scheme.hand.take(row.key, "Keel")
    page.scheme.hand.say_more("Hit it downhill", ())
    page.keep()
    until(lambda: page.scheme.draft is None)
    held = Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.ShiftModifier
    press(Qt.Key.Key_V, held=held)
    listed = sheet(VersionsSheet)
    assert [row.cells[-1].words for row in listed.list.rows] == ["in force", ""]
    until(listed.list.hasFocus)
    assert not listed.put.isVisible()
    press(Qt.Key.Key_Down)
    assert listed.put.isVisible()
    press(Qt.Key.Key_Return)
    until(lambda: page.scheme.scheme is not None and page.scheme.scheme.version == "1")
    assert not listed.isVisible()


def test_a_look_met_on_film_opens_a_row(page: SchemePage, press: Any, until: Until) -> None:
    """Alt+4 holds the film against the draft; Enter opens a row for the look, the list of fits."""
    power = "concept power or counter · run to him"
    row = next(row for row in page.scheme.hand.rows if row.words == power)
    page.scheme.hand.take(row.key, "Bow")
    page.scheme.hand.clear()
    press(Qt.Key.Key_4, held=Qt.KeyboardModifier.AltModifier)
    assert page.side.name == ON_FILM
    until(lambda: not page.scheme.met.running and bool(page.scheme.met.rows))
    until(page.met.list.hasFocus)
    press(Qt.Key.Key_Return)
    assert page.picker.isVisible()
    made = page.scheme.hand.row()
    assert made is not None
    assert made.bare
    press(Qt.Key.Key_Escape)


def test_no_two_actions_share_a_key(page: SchemePage, window: MainWindow) -> None:
    """What was added beside the grid has keys of its own."""
    assert clashing_keys([*window.actions_everywhere, *page.actions_here()]) == []


def test_from_a_new_book_to_learned_rules_by_keys(
    closed_window: MainWindow, tmp_path: Path, films: Path, qtbot: Any, until: Until
) -> None:
    """Film and a roster: men from six answers, looks and words by digits, rules learned, kept."""
    path = tmp_path / "new.gradecut"
    roster = tmp_path / "roster.csv"
    roster.write_text(ROSTER)
    with new_book(path, name="New Herons", author="Coach Alder", roster=roster) as book:
        add_film(book, [films], session="Monday", day="2026-10-05", angle="end")
        man = book.find(Player)[0]
        for clip in book.find(Clip):
            put_in(book, clip, "Mike", man)
    closed_window.open_path(str(path))
    closed_window.activateWindow()
    closed_window.show_page("Scheme")
    assert closed_window.pages is not None
    page = closed_window.pages.pages["Scheme"]
    assert isinstance(page, SchemePage)
    page.doors.doors[1].click()
    asked = sheet(StartForm)
    qtbot.keyClick(asked, Qt.Key.Key_Return, Qt.KeyboardModifier.ControlModifier)
    until(lambda: page.scheme.scheme is not None)
    closed_window.show_page("Film")
    closed_window.activateWindow()
    until(closed_window.isActiveWindow)
    closed_window.pages.page("Film").setFocus()
    film = page.desk.film
    for fit in ("3", "1"):
        for _ in range(9):
            if film.state is not None and film.state.question is not None:
                qtbot.keyClick(QApplication.focusWidget(), film.hand.ask.shown()[0].key)  # type: ignore[union-attr]
        assert film.state is not None
        assert film.state.question is None
        qtbot.keyClick(QApplication.focusWidget(), "2")
        until(lambda: film.hand.position == "Mike")
        qtbot.keyClick(QApplication.focusWidget(), fit)
        assert film.hand.man is not None
        assert film.hand.man.owes
        qtbot.keyClick(QApplication.focusWidget(), "r")
        qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_PageDown)
    closed_window.show_page("Scheme")
    qtbot.keyClick(page.grid, Qt.Key.Key_3, Qt.KeyboardModifier.AltModifier)
    learning = page.scheme.learning
    until(lambda: bool(learning.rows) and not learning.running)
    qtbot.keyClick(page.learning.list, Qt.Key.Key_Return, Qt.KeyboardModifier.ShiftModifier)
    until(lambda: not learning.running)
    assert page.scheme.draft is not None
    page.keep()
    until(lambda: page.scheme.draft is None or page.scheme.keeping.effects is not None)
    page.scheme.keeping.keep()
    until(lambda: page.scheme.draft is None)
    kept = scheme_in_force(page.desk.book)
    assert kept is not None
    assert [rule.men for rule in kept.rules] == [("Mike",)] * len(kept.rules)
    assert kept.rules


def test_fit_sheets_are_written_from_the_page(
    page: SchemePage, window: MainWindow, tmp_path: Path, monkeypatch: Any, press: Any
) -> None:
    """Ctrl+P asks where, and writes a page for each man that is shown."""
    path = tmp_path / "sheets"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_: (str(path), ""))
    press(Qt.Key.Key_P, held=Qt.KeyboardModifier.ControlModifier)
    written = path.with_suffix(".html").read_text()
    assert all(man in written for man in page.scheme.hand.men)
    assert window.line.sentence == "The fit sheets of Bow, Keel, Port are written to sheets.html."


def test_what_he_said_meanwhile_is_there_when_he_comes_back(
    learning_page: SchemePage, until: Until
) -> None:
    """A man's duty said on the Film page, or by another hand meanwhile: Learn counts it."""
    page, learning = learning_page, learning_page.scheme.learning
    window = page.window()
    assert isinstance(window, MainWindow)
    page.side.show_view(LEARN)
    until(lambda: page.learning.verdict.text().endswith("from 3 answers."))
    until(lambda: not learning.running)
    window.show_page("Film")
    other, again = [rep for rep in page.desk.book.find(Rep) if rep.position != "Keel"][:2]
    say_owed(page.desk.book, other, "fill A")
    window.show_page("Scheme")
    until(lambda: page.learning.verdict.text().endswith("from 4 answers."))
    say_owed(page.desk.book, again, "fill A")
    until(lambda: page.learning.verdict.text().endswith("from 5 answers."))


def test_looks_met_meanwhile_are_there_when_he_comes_back(
    learning_page: SchemePage, until: Until
) -> None:
    """On film is looked through again on coming back, and the grid keeps the keys."""
    page, met = learning_page, learning_page.scheme.met
    window = page.window()
    assert isinstance(window, MainWindow)
    page.side.show_view(ON_FILM)
    until(lambda: bool(met.rows) and not met.running)
    before = met.verdict()
    window.show_page("Film")
    with page.desk.book.act("drop the reps") as act:
        for kind in (Flag, Grade, Actual, Owed, Mark, Rep):
            act.drop_all(page.desk.book.find(kind))
    window.show_page("Scheme")
    until(lambda: not met.running)
    assert met.verdict() != before
    until(page.grid.hasFocus)
