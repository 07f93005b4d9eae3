from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import QPoint, Qt
from PyQt6.QtWidgets import QApplication, QDialog, QLabel, QMenu

from gradecut.app.actions import clashing_keys, told_keys
from gradecut.app.cautions_sheet import CautionsSheet
from gradecut.app.cheat_sheet import CheatSheet, answers
from gradecut.app.opening import check_display, hook_for
from gradecut.app.sheets import menu_here, show_first_start
from gradecut.app.usual_words import USUAL_WORDS
from gradecut.app.window import MainWindow
from gradecut.app.window_actions import PAGES
from gradecut.desk.remembered import recall
from gradecut.errors import GradecutError
from gradecut.records import Clip

Until = Callable[[Callable[[], bool]], None]


def sheet_of(window: MainWindow, kind: type[QDialog]) -> Any:
    """Return the dialog of a kind that is open."""
    return next(one for one in window.findChildren(kind) if one.isVisible())


def test_the_header_names_book_pages_and_grader(window: MainWindow) -> None:
    """At a glance: which book, which page, who grades."""
    assert window.header.book.text().startswith("Small Herons")
    assert [name for name, _ in PAGES] == list(window.header.pages)
    assert window.header.pages["Film"].isChecked()
    assert window.header.grader.text() == "Coach Alder"


@pytest.mark.parametrize(("name", "key"), [*PAGES, ("Board", "Ctrl+3")])
def test_keys_switch_pages(qtbot: Any, window: MainWindow, name: str, key: str) -> None:
    """Each page has its keys; the header marks the page that is shown."""
    window.show_page("Teach" if name != "Teach" else "Board")
    if key.startswith("Ctrl"):
        qtbot.keyClick(window, Qt.Key.Key_3, Qt.KeyboardModifier.ControlModifier)
    else:
        qtbot.keyClick(window, getattr(Qt.Key, f"Key_{key}"))
    assert window.pages.name == name
    assert window.stack.currentWidget() is window.pages.pages[name]
    assert [n for n, made in window.header.pages.items() if made.isChecked()] == [name]


def test_no_two_actions_of_a_page_share_a_key(window: MainWindow) -> None:
    """On each page every key does one thing."""
    everywhere = window.all_actions()[""]
    for name, _ in PAGES:
        here = window.pages.page(name).actions_here()
        assert clashing_keys([*everywhere, *here]) == [], name


def test_the_cheat_sheet_lists_every_action(qtbot: Any, window: MainWindow) -> None:
    """The sheet behind ? comes from the same table as keys and menu, and leaves nothing out."""
    qtbot.keyClick(window, Qt.Key.Key_Question)
    sheet = sheet_of(window, CheatSheet)
    shown = [label.text() for label in sheet.findChildren(QLabel)]
    for actions in window.all_actions().values():
        for action in actions:
            assert action.name in shown
            if action.keys:
                assert told_keys(action)[0] in shown
    sheet.close()


def entries_of(menu: QMenu) -> list[str]:
    """Return what a menu and the menus below it offer, keys left out."""
    found: list[str] = []
    for entry in menu.actions():
        below = entry.menu()
        found += entries_of(below) if below is not None else [entry.text().partition("\t")[0]]
    return found


@pytest.mark.parametrize("page", ["Film", "Board"])
def test_the_menu_has_every_action_of_the_page(window: MainWindow, page: str) -> None:
    """What can be done by key can be found in the menu, below one of four headings."""
    window.show_page(page)
    menu = menu_here(window)
    wanted = [*window.actions_everywhere, *window.pages.pages[page].actions_here()]
    assert sorted(entries_of(menu)) == sorted(action.name for action in wanted)
    assert [entry.text() for entry in menu.actions()] == [
        "Book", "Hand out", "Window", "This page",
    ]  # fmt: skip


def test_usual_words_find_keys(window: MainWindow) -> None:
    """What other programs call it finds the key; every name that is listed is an action's."""
    every = [action for actions in window.all_actions().values() for action in actions]
    by_name = {action.name: action for action in every}
    for words, names in USUAL_WORDS.items():
        for name in names:
            assert name in by_name, f"nothing is called “{name}”"
            for word in words.split():
                assert answers(by_name[name], word), (word, name)
    for word in ("undo", "redo", "loop", "mute", "speed", "delete", "zoom", "pause", "fullscreen",
                 "export", "trigger", "crop", "magnify", "help", "quit", "import"):  # fmt: skip
        assert any(answers(action, word) for action in every), word
    zooms = [action.name for action in every if answers(action, "zoom")]
    assert {"zoom in at the pointer", "zoom out", "fit film to window"} <= set(zooms)


def test_names_of_actions_without_a_key_begin_below_the_others(
    qtbot: Any, window: MainWindow
) -> None:
    """Every name stands at the same place in its column, with a key before it or without."""
    qtbot.keyClick(window, Qt.Key.Key_Question)
    sheet = sheet_of(window, CheatSheet)
    qtbot.waitExposed(sheet)
    QApplication.processEvents()
    for block in sheet.blocks:
        names = {action.name for action in block.kept()}
        starts = {
            label.mapTo(block, QPoint(0, 0)).x()
            for label in block.findChildren(QLabel)
            if label.text() in names
        }
        assert len(starts) == 1, block.heading
    first = sheet.blocks[0].mapTo(sheet, QPoint(0, 0)), sheet.blocks[0].width()
    sheet.sought.setText("next")
    QApplication.processEvents()
    assert (sheet.blocks[0].mapTo(sheet, QPoint(0, 0)), sheet.blocks[0].width()) == first
    sheet.close()


def test_what_is_said_never_takes_the_focus(qtbot: Any, window: MainWindow) -> None:
    """A sentence at the bottom leaves the keys where they are."""
    window.show_page("Teach")
    page = window.pages.pages["Teach"]
    question = page.question  # type: ignore[attr-defined]
    question.setFocus()
    window.say("Something was refused. " * 40)
    assert question.hasFocus() or not window.isActiveWindow()
    assert window.line.sentence.startswith("Something was refused.")
    assert window.width() <= 1456
    qtbot.keyClicks(question, "Keel k?")
    assert question.text() == "Keel k?"


def test_undo_by_key_says_what_was_taken_back(qtbot: Any, window: MainWindow, until: Until) -> None:
    """Ctrl+Z takes back the newest act, and the hint moves on to the one before."""
    assert window.desk is not None
    hint = window.line.undo.text()
    assert hint.startswith("Ctrl+Z takes back: ")
    qtbot.keyClick(window, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert window.line.sentence.startswith("Done: take back")
    until(lambda: window.line.undo.text() != hint)


def test_what_was_said_goes_with_what_it_was_about(window: MainWindow) -> None:
    """A sentence stands until the page, the book, or what is in the book changes."""
    assert window.desk is not None
    clip = window.desk.book.find(Clip)[0]

    def act() -> None:
        with window.desk.book.act("drop a play's note") as draft:  # type: ignore[union-attr]
            draft.put(replace(clip, note="again"))

    for change in (lambda: window.show_page("Board"), act, window.close_book):
        window.say("Something was refused.")
        change()
        assert window.line.sentence == ""


def test_a_refusal_is_told_apart(window: MainWindow) -> None:
    """Why something was not done has a sign and another colour; what was done has neither."""
    assert window.desk is not None
    window.desk.undo()
    assert not window.line.refused
    window.open_path("/there is no such folder/herons.gradecut")
    assert window.line.refused
    assert "“Make a new book”" in window.line.sentence
    assert window.line.said.text().startswith("⚠")
    assert window.line.said.property("look") == "warn"


def test_another_graders_work_is_named(closed_window: MainWindow, book_path: Path) -> None:
    """Who has no grade in a book of a colleague's is told whose grades stand there."""
    closed_window.remembered = replace(closed_window.remembered, grader="B. Holt")
    closed_window.open_path(str(book_path))
    assert closed_window.line.sentence.startswith("Coach Alder has given ")


def test_each_book_keeps_its_grader(closed_window: MainWindow, book_path: Path) -> None:
    """A name given in one book is not forced on the next one opened again."""
    closed_window.open_path(str(book_path))
    closed_window.set_grader("B. Holt")
    closed_window.close_book()
    closed_window.set_grader("C. Drum")
    closed_window.open_path(str(book_path))
    assert closed_window.header.grader.text() == "B. Holt"


def test_the_window_fits_a_small_screen(window: MainWindow) -> None:
    """Every page can be shown on 1280 by 720."""
    for name, _ in PAGES:
        window.show_page(name)
        window.resize(1280, 720)
        assert (window.width(), window.height()) == (1280, 720), name
        assert window.pages is not None
        assert window.pages.pages[name].minimumSizeHint().width() <= 1280, name


def test_a_file_that_is_no_book_is_a_sentence(closed_window: MainWindow, tmp_path: Path) -> None:
    """Opening something else says so and stays on the start page."""
    path = tmp_path / "notes.gradecut"
    path.write_text("not a book")
    closed_window.open_path(str(path))
    assert "notes.gradecut" in closed_window.line.sentence
    assert closed_window.stack.currentWidget() is closed_window.start


def test_an_opened_book_is_remembered(window: MainWindow, book_path: Path, tmp_path: Path) -> None:
    """The book stands first among the recent ones after a restart, and closing shows it."""
    assert recall(tmp_path / "window.json").recent == (str(book_path),)
    window.close_book()
    assert window.stack.currentWidget() is window.start
    shown = [label.text() for label in window.start.findChildren(QLabel)]
    assert "Small Herons" in shown
    assert any(label.endswith("small.gradecut") for label in shown)


def test_the_theme_is_changed_and_kept(qtbot: Any, window: MainWindow, tmp_path: Path) -> None:
    """Ctrl+D changes dark and light, and the choice is there after a restart."""
    for told in ("light", "dark"):
        qtbot.keyClick(window, Qt.Key.Key_D, Qt.KeyboardModifier.ControlModifier)
        assert window.dress.theme.name == told
        assert recall(tmp_path / "window.json").theme == told


def test_cautions_are_shown_once(closed_window: MainWindow, tmp_path: Path) -> None:
    """On the first start the cautions stand before everything; read once, not again."""
    closed_window.remembered = replace(closed_window.remembered, cautions_shown=False)
    show_first_start(closed_window)
    sheet = sheet_of(closed_window, CautionsSheet)
    assert any("head" in label.text() for label in sheet.findChildren(QLabel))
    sheet.accept()
    assert recall(tmp_path / "window.json").cautions_shown
    show_first_start(closed_window)
    assert not any(one.isVisible() for one in closed_window.findChildren(CautionsSheet))


def test_no_display_is_one_sentence() -> None:
    """Without a display gradecut says so instead of letting Qt abort; named platforms may start."""
    with pytest.raises(GradecutError, match="no display"):
        check_display("linux", {"QT_QPA_PLATFORM": "xcb"})
    check_display("linux", {"DISPLAY": ":0"})
    check_display("linux", {"WAYLAND_DISPLAY": "wayland-0"})
    check_display("linux", {"QT_QPA_PLATFORM": "offscreen"})
    check_display("darwin", {})


def test_an_unexpected_error_is_a_sentence_and_is_written_down(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An error nobody foresaw is said once and written to a file; the window goes on."""
    log = tmp_path / "logs" / "errors.log"
    monkeypatch.setattr("gradecut.app.opening.log_file", lambda: log)
    said: list[str] = []
    hook = hook_for(said.append)
    try:
        raise ZeroDivisionError("a slip")
    except ZeroDivisionError:
        hook(*sys.exc_info())  # type: ignore[arg-type]
    assert said[0].startswith("Something unexpected went wrong")
    assert "a slip" in log.read_text()
    hook(GradecutError, GradecutError("A plain sentence."), None)
    assert said[1] == "A plain sentence."
