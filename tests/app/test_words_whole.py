"""On no page is a word cut, outside or over another, and everything has a name.

Looked at in the least window (1280 x 720 with text at 150 %) and at three usual sizes.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QPainter, QPaintEvent
from PyQt6.QtWidgets import QApplication, QWidget

from gradecut.app.cheat_sheet import CheatSheet
from gradecut.app.drop_down import DropDown
from gradecut.app.labels import words
from gradecut.app.theme import DARK_THEME, LIGHT_THEME, Dress, Theme
from gradecut.app.touch_area import set_words
from gradecut.app.tour import STEPS
from gradecut.app.tour import show_tour as lead
from gradecut.app.window import MainWindow
from gradecut.app.window_actions import PAGES
from gradecut.drawing import contrast
from gradecut.workflows.booking import new_book
from tests.app.long_words import BOOK, GRADER
from tests.app.page_states import page_states
from tests.app.seen_words import shown, unnamed, word_faults

SIZES = ((853, 480), (1280, 720), (1920, 1080), (2560, 1440))
THEMES = (DARK_THEME, LIGHT_THEME)


@pytest.mark.parametrize("theme", THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize("name", [name for name, _ in PAGES])
def test_no_word_of_a_page_is_cut(
    long_window: MainWindow, qapp: QApplication, dress: Dress, name: str, theme: Theme
) -> None:
    """Each page fits: what has no room is scrolled, or said shorter, and never cut."""
    window = long_window
    dress.put_on(theme, qapp)
    found: list[str] = []
    for state in page_states(window, name):
        for size in SIZES:
            shown(window, size)
            at = f"{size[0]} {state}"
            found += [f"{at}: {one}" for one in word_faults(window)]
            found += [f"{at}: no name: {one}" for one in unnamed(window)]
    dress.put_on(DARK_THEME, qapp)
    assert not found, "\n".join(found)


def test_the_watch_sees_what_is_wrong(qapp: QApplication, dress: Dress) -> None:
    """Words that are cut, outside, or over others are found; words with room are not."""
    assert dress
    assert qapp

    class Painted(QWidget):
        def paintEvent(self, _event: QPaintEvent | None) -> None:  # noqa: N802 - Qt's name
            painter = QPainter(self)
            ink = DARK_THEME.ink
            set_words(painter, QRectF(0, 0, 40, 20), "far too long for this", ink)
            set_words(painter, QRectF(0, 30, 150, 20), "lies here", ink)
            set_words(painter, QRectF(20, 30, 150, 20), "and here", ink)
            painter.drawText(QPointF(180, 70), "beyond the edge")
            set_words(painter, QRectF(0, 80, 150, 20), "whole", ink)
            painter.end()

    widget = Painted()
    widget.resize(200, 110)
    label = words("squeezed together")
    label.setParent(widget)
    label.setGeometry(0, 100, 30, 10)
    widget.show()
    told = " ".join(str(one) for one in word_faults(widget))
    for found in ("far too long", "lies here | and here", "beyond the edge", "squeezed"):
        assert found in told
    assert "whole" not in told
    widget.close()


# ---------------------------------------------------------------------- keys


def keys_sheet(window: MainWindow) -> CheatSheet:
    """Open the cheat sheet."""
    window.all_actions()
    sheet = CheatSheet(window.all_actions(), window)
    sheet.open()
    return sheet


def told_of(sheet: CheatSheet) -> list[str]:
    """Return the actions that are shown."""
    from gradecut.app.actions import Action

    rows: list[Action] = []
    for block in sheet.blocks:
        rows += block.kept()
    return [one.name for one in rows]


def test_keys_are_found_by_typing(qtbot: Any, window: MainWindow) -> None:
    """A word finds what does it, one letter what that key does; Esc forgets it, then closes."""
    sheet = keys_sheet(window)
    everything = told_of(sheet)
    qtbot.keyClicks(sheet.sought, "snap")
    found = told_of(sheet)
    assert "to the snap" in found
    assert len(found) < len(everything) / 10
    sheet.sought.setText("f")
    assert "flag to show tomorrow" in told_of(sheet)
    assert "to the snap" not in told_of(sheet)
    qtbot.keyClick(sheet.sought, Qt.Key.Key_Escape)
    assert told_of(sheet) == everything
    assert sheet.isVisible()
    qtbot.keyClick(sheet.sought, Qt.Key.Key_Escape)
    assert not sheet.isVisible()


def test_what_no_key_does_is_said(window: MainWindow) -> None:
    """Where nothing is found the sheet says so, and what to try."""
    sheet = keys_sheet(window)
    sheet.sought.setText("zzz")
    assert told_of(sheet) == []
    assert "Try a shorter word" in sheet.nothing.text()
    assert sheet.nothing.isVisible()
    sheet.close()


def test_the_letters_of_facts_are_told(window: MainWindow) -> None:
    """The sheet tells the key of each fact of the scheme in force."""
    sheet = keys_sheet(window)
    sheet.sought.setText("change the look")
    assert window.desk is not None
    state = window.desk.film.state
    assert state is not None
    assert len(told_of(sheet)) == len(state.fact_letters)
    sheet.close()


# ---------------------------------------------------------------------- looks


@pytest.mark.parametrize("theme", [DARK_THEME, LIGHT_THEME], ids=lambda theme: theme.name)
def test_a_drop_down_list_shows_its_arrow(qapp: QApplication, dress: Dress, theme: Theme) -> None:
    """In either theme something is painted at the right end of the field, 3:1 or more."""
    dress.put_on(theme, qapp)
    field = DropDown()
    field.resize(200, 30)
    field.show()
    seen = field.grab().toImage()
    ground = seen.pixelColor(150, 15)
    best = max(
        contrast(
            (seen.pixelColor(x, y).red(), seen.pixelColor(x, y).green(),
             seen.pixelColor(x, y).blue(), 255),
            (ground.red(), ground.green(), ground.blue(), 255),
        )
        for x in range(176, 196) for y in range(8, 24)
    )  # fmt: skip
    assert best >= 3
    field.close()
    dress.put_on(DARK_THEME, qapp)


# ---------------------------------------------------------------------- states


@pytest.mark.parametrize("size", SIZES[:2], ids=lambda size: str(size[0]))
def test_what_is_shown_before_there_is_anything_is_whole(
    closed_window: MainWindow, tmp_path: Path, size: tuple[int, int]
) -> None:
    """The start without a book, and each page of an empty one."""
    path = tmp_path / "empty.gradecut"
    new_book(path, name=BOOK, author=GRADER).close()
    window, found = closed_window, []
    shown(window, size)
    found += [f"start: {one}" for one in (*word_faults(window), *unnamed(window))]
    window.open_path(str(path))
    for name, _ in PAGES:
        window.show_page(name)
        found += [f"{name}: {one}" for one in (*word_faults(window), *unnamed(window))]
    assert not found, "\n".join(found)


@pytest.mark.parametrize("size", SIZES[:2], ids=lambda size: str(size[0]))
def test_the_tour_is_whole(long_window: MainWindow, size: tuple[int, int]) -> None:
    """Each of its steps."""
    shown(long_window, size)
    tour, found = lead(long_window), []
    assert tour is not None
    for step in range(len(STEPS)):
        found += [f"{step}: {one}" for one in (*word_faults(tour), *unnamed(tour))]
        assert tour.isVisible()
        tour.go_on()
    assert not found, "\n".join(found)


def test_an_empty_book_says_what_it_needs(closed_window: MainWindow, tmp_path: Path) -> None:
    """Film, rules and roster, each with what it is good for and its key; named for a reader."""
    path = tmp_path / "empty.gradecut"
    new_book(path, name="Empty", author="Coach Alder").close()
    closed_window.open_path(str(path))
    shown(closed_window, (853, 480))
    assert closed_window.pages is not None
    card = closed_window.pages.page("Film").first  # type: ignore[attr-defined]
    assert [step.key for step in card.steps] == ["Ctrl+Shift+A", "F2", "Ctrl+R"]
    assert "to do" in card.accessibleDescription()
    assert [str(one) for one in word_faults(closed_window)] == []
    card.asked.emit("rules")
    assert closed_window.pages.name == "Scheme"
