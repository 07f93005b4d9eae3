from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import QPoint, Qt
from PyQt6.QtGui import QImage
from PyQt6.QtWidgets import QApplication, QLabel, QLineEdit

from gradecut.app.actions import clashing_keys
from gradecut.app.scheme_cue_form import CueForm
from gradecut.app.scheme_page import FINDINGS, WHAT_IF, SchemePage
from gradecut.app.scheme_parts_sheet import PartsSheet
from gradecut.app.scheme_row_form import RowForm, SplitForm
from gradecut.app.window import MainWindow
from gradecut.desk.scheme_grid import ShownRow
from gradecut.desk.scheme_part_kinds import PART_KINDS
from gradecut.desk.scheme_part_lines import Saying
from gradecut.workflows.booking import new_book
from tests.app.seen_words import shown, word_faults
from tests.desk.test_scheme_desk import FAULTY

Until = Callable[[Callable[[], bool]], None]
POWER_TO_HIM = "concept power or counter · run to him"


@pytest.fixture
def press(qtbot: Any) -> Callable[..., None]:
    """Press keys where the focus is, as a coach does."""

    def pressing(*keys: Any, ctrl: bool = False) -> None:
        held = Qt.KeyboardModifier.ControlModifier if ctrl else Qt.KeyboardModifier.NoModifier
        for key in keys:
            focus = QApplication.focusWidget()
            assert focus is not None
            if isinstance(key, str):
                for letter in key:
                    qtbot.keyClicks(QApplication.focusWidget(), letter)
            else:
                qtbot.keyClick(focus, key, held)

    return pressing


def labels(page: SchemePage) -> list[str]:
    """Return the words on the page."""
    return [label.text() for label in page.findChildren(QLabel) if not label.isHidden()]


def take(page: SchemePage, words: str, man: str) -> None:
    """Take a cell in hand."""
    row = next(row for row in page.scheme.hand.rows if row.words == words)
    page.scheme.hand.take(row.key, man)


def has(row: ShownRow, man: str, rule: str) -> bool:
    """Tell whether a man's fit on a row is by a rule."""
    cell = row.cells.get(man)
    return cell is not None and cell.rule == rule


def form(kind: type[Any]) -> Any:
    """Return the form that is open."""
    return next(w for w in QApplication.topLevelWidgets() if isinstance(w, kind) and w.isVisible())


def test_the_arrows_go_from_cell_to_cell(page: SchemePage, press: Any) -> None:
    """Down is the next look, right the next man; the cell is told in words."""
    hand = page.scheme.hand
    press(Qt.Key.Key_Down, Qt.Key.Key_Right)
    assert (hand.place.row, hand.place.man) == (hand.rows[1].key, "Keel")  # type: ignore[union-attr]
    assert page.foot.told.text().startswith("Keel on concept outside zone")
    assert "scrape B" in page.grid.accessibleDescription()
    press(Qt.Key.Key_Left, Qt.Key.Key_Up)
    assert (hand.place.row, hand.place.man) == (hand.rows[0].key, "Bow")  # type: ignore[union-attr]


def test_letters_find_a_fit_and_enter_takes_it(page: SchemePage, press: Any) -> None:
    """Two letters and Enter fill a cell; the list then has what was used last on top."""
    take(page, POWER_TO_HIM, "Keel")
    press("ov")
    assert page.picker.isVisible()
    assert page.picker.typed.text() == "ov"
    press(Qt.Key.Key_Down, Qt.Key.Key_Return)
    row = page.scheme.hand.row()
    assert row is not None
    assert row.cells["Keel"].fit == "overlap D"
    assert QApplication.focusWidget() is page.grid
    press(Qt.Key.Key_Return)
    assert page.picker.list.item(0).text() == "overlap D"  # type: ignore[union-attr]
    press(Qt.Key.Key_Escape)
    assert not page.picker.isVisible()
    assert page.scheme.draft_words() == "1 edit not in force yet"


def test_enter_twice_changes_nothing(page: SchemePage, press: Any, qtbot: Any) -> None:
    """The list opens on the fit that is there, by Enter as by the mouse, and keeps it."""
    take(page, POWER_TO_HIM, "Port")
    press(Qt.Key.Key_Return)
    item = page.picker.list.currentItem()
    assert item is not None
    assert item.text() == "overlap C"
    told = item.data(Qt.ItemDataRole.AccessibleTextRole)
    assert told.startswith("overlap C, asked now: ")
    press(Qt.Key.Key_Return)
    assert not page.picker.isVisible()
    at = page.grid.rect_in_hand().center()
    qtbot.mouseClick(page.grid.viewport(), Qt.MouseButton.LeftButton, pos=at)
    assert page.picker.isVisible()
    press("o", Qt.Key.Key_Backspace, Qt.Key.Key_Return)
    assert not page.picker.isVisible()
    assert page.scheme.draft is None


def test_keys_of_the_grid_close_the_list_first(page: SchemePage, press: Any) -> None:
    """The grid never moves beneath an open list: Ctrl+Down closes it and goes to the next tier."""
    take(page, POWER_TO_HIM, "Port")
    press(Qt.Key.Key_Return)
    assert page.picker.isVisible()
    press(Qt.Key.Key_Down, ctrl=True)
    assert not page.picker.isVisible()
    assert QApplication.focusWidget() is page.grid
    assert not page.grid.choosing
    press(Qt.Key.Key_Return)
    page.scheme.hand.go(1, 0)
    assert not page.picker.isVisible()


def test_an_audit_that_fails_can_be_run_again(page: SchemePage) -> None:
    """A check that broke off is told in a sentence, with a button beside it."""
    assert not page.findings.again.isVisibleTo(page.findings)
    page.scheme.audit.refused, page.scheme.audit.broke_off = "The check broke off.", True
    page.scheme.audit.changed.emit()
    assert page.findings.verdict.text() == "The check broke off."
    assert page.findings.again.isVisibleTo(page.findings)
    page.findings.again.click()
    assert page.scheme.audit.running
    assert not page.findings.again.isVisibleTo(page.findings)


def test_a_number_takes_the_fit_beside_it(page: SchemePage, press: Any) -> None:
    """Digits choose in the open list."""
    take(page, POWER_TO_HIM, "Keel")
    press(Qt.Key.Key_Return)
    third = page.picker.list.item(2).text()  # type: ignore[union-attr]
    press("3")
    assert page.scheme.hand.row().cells["Keel"].fit == third  # type: ignore[union-attr]


def test_delete_clears_and_undo_brings_back(
    page: SchemePage, window: MainWindow, press: Any, until: Until
) -> None:
    """Delete asks nothing of him, the audit finds the hole at once, Ctrl+Z gives it back."""
    take(page, POWER_TO_HIM, "Bow")
    press(Qt.Key.Key_Delete)
    until(lambda: not page.scheme.audit.running)
    assert page.findings.verdict.text().startswith("1 hole in")
    assert page.findings.list.rows[0].position == "Bow"
    assert "Findings · 1" in [made.text() for made in page.side._buttons]
    assert window.line.undo.text() == "Ctrl+Z takes back: no fit for Bow"
    press(Qt.Key.Key_Z, ctrl=True)
    until(lambda: not page.scheme.audit.running)
    assert page.scheme.hand.row().cells["Bow"].fit == "spill D"  # type: ignore[union-attr]
    assert page.findings.verdict.text().startswith("Sound")


def test_a_hole_opens_a_row_for_its_look(page: SchemePage, press: Any, until: Until) -> None:
    """F8 goes to the finding: a row for the look, the man's cell in hand, the list open."""
    take(page, POWER_TO_HIM, "Bow")
    press(Qt.Key.Key_Delete)
    until(lambda: not page.scheme.audit.running)
    press(Qt.Key.Key_F8)
    row = page.scheme.hand.row()
    assert row is not None
    assert row.bare
    assert page.picker.isVisible()
    press("sp", Qt.Key.Key_Return)
    until(lambda: not page.scheme.audit.running)
    assert "spill" in page.scheme.hand.row().cells["Bow"].fit  # type: ignore[union-attr]


def test_a_broken_duty_stays_in_view(page: SchemePage, press: Any, until: Until) -> None:
    """F8 on a duty keeps the findings, its look drawn; Enter is promised no row; Alt+2 has it."""
    duty = {"name": "two men force on every play", "owned": "force", "at_least": "9"}
    scheme = page.scheme.shown
    assert scheme is not None
    kind = PART_KINDS["duties"]
    page.scheme.edit("duty added", lambda text: kind.add(text, scheme, Saying(duty)))
    until(lambda: not page.scheme.audit.running)
    page.side.show_view(WHAT_IF)
    press(Qt.Key.Key_F8)
    assert page.side.name == FINDINGS
    row = page.findings.list.row_in_hand()
    assert row is not None
    assert "two men force on every play" in row.name
    assert "the row" not in page.findings.beside.text()
    press(Qt.Key.Key_Return)
    assert page.side.name == FINDINGS


def test_a_row_is_added_by_keys(page: SchemePage, press: Any, until: Until) -> None:
    """Plus asks for the looks; one line says them, Enter takes them, the row is in hand."""
    press("+")
    asked = form(RowForm)
    until(asked.line.hasFocus)
    press("concept trap; run to")
    assert asked.chips.buttons["run", "to"].isChecked()
    press(Qt.Key.Key_Return)
    row = page.scheme.hand.row()
    assert row is not None
    assert row.words == "concept trap · run to him"
    assert row.bare


def test_a_row_is_built_by_pressing_values(page: SchemePage, qtbot: Any) -> None:
    """Values pressed are written in the line; a fault of the line is told and nothing taken."""
    page.asking.add_row("week")
    asked = form(RowForm)
    for key in (("concept", "power"), ("concept", "trap"), ("run", "away")):
        qtbot.mouseClick(asked.chips.buttons[key], Qt.MouseButton.LeftButton)
    assert asked.line.text() == "concept power | trap; run away"
    asked.line.setText("concpt power")
    asked.submit()
    assert asked.isVisible()
    assert "concept" in asked.refusal.text()
    asked.line.setText("concept power")
    asked.submit()
    row = page.scheme.hand.row()
    assert row is not None
    assert (row.tier, row.words) == ("week", "concept power")


def test_a_row_is_split_by_keys(page: SchemePage, press: Any, qtbot: Any) -> None:
    """The slash asks by which fact; the values pressed stay, the others get a row."""
    take(page, POWER_TO_HIM, "Bow")
    press("/")
    asked = form(SplitForm)
    names = [fact.reference for fact, _ in asked.facts]
    asked.fact.setCurrentIndex(names.index("concept"))
    qtbot.mouseClick(asked.chips.buttons["concept", "power"], Qt.MouseButton.LeftButton)
    asked.submit()
    words = [row.words for row in page.scheme.hand.rows]
    at = words.index("concept power · run to him")
    assert words[at + 1] == "concept counter · run to him"


def test_a_cue_is_written(page: SchemePage, press: Any) -> None:
    """Ctrl+U asks for what is said to him, and what is right too."""
    take(page, POWER_TO_HIM, "Bow")
    press(Qt.Key.Key_U, ctrl=True)
    asked = form(CueForm)
    asked.cue.setText("Wrong-arm it")
    asked.fits["box D"].setChecked(True)
    asked.submit()
    cell = page.scheme.hand.row().cells["Bow"]  # type: ignore[union-attr]
    assert (cell.cue, cell.also) == ("Wrong-arm it", ("box D",))


def test_from_an_empty_column_to_a_full_one_by_keys(page: SchemePage, press: Any) -> None:
    """A new man is added, and every row of his column filled without the mouse."""
    page.asking.show_parts("men")
    sheet = form(PartsSheet)
    sheet.begin()
    for key, told in (("name", "Sloop"), ("group", "linebackers"), ("side", "same as strength")):
        field = sheet.fields[key]
        (field.setText if isinstance(field, QLineEdit) else field.setEditText)(told)
    sheet.write_entry()
    sheet.accept()
    page.back_to_grid()
    hand = page.scheme.hand
    assert hand.men == ("Bow", "Keel", "Port", "Sloop")
    hand.take(hand.rows[0].key, "Sloop")
    count = len(hand.rows)
    for _ in range(count):
        press("fa", Qt.Key.Key_Return, Qt.Key.Key_Down)
    assert [row.cells["Sloop"].fit for row in hand.rows] == ["fill A"] * count


def test_parts_are_changed_and_refused_in_their_sheet(page: SchemePage) -> None:
    """A fit is renamed in every rule; one still asked for is not dropped, with the reason."""
    page.asking.show_parts("fits")
    sheet = form(PartsSheet)
    sheet.list.setCurrentRow(0)
    sheet.fields["name"].setText("fill A gap")
    sheet.write_entry()
    assert sheet.refusal.text() == ""
    assert page.scheme.shown is not None
    assert "fill A gap" in page.scheme.shown.fits
    assert "fill A gap" in {rule.fit for rule in page.scheme.shown.rules}
    sheet.list.setCurrentRow(0)
    sheet.drop_entry()
    assert "fill A gap" in sheet.refusal.text()
    sheet.accept()


def test_a_duty_is_told_in_the_words_of_its_switch(page: SchemePage) -> None:
    """The example fits the switch; words of the other are refused with what to turn on."""
    page.asking.show_parts("duties")
    sheet = form(PartsSheet)
    sheet.begin()
    sheet.fields["each_side"].choose(1)
    assert "run left" in sheet.hints["when"].text()
    sheet.fields["name"].setText("force away")
    sheet.fields["when"].setText("run to him")
    owned = sheet.fields["owned"]
    assert "force" in [owned.itemText(at) for at in range(owned.count())]
    assert "force" in sheet.hints["owned"].text()
    owned.setEditText("force")
    sheet.write_entry()
    assert "turn on “on each side”" in sheet.refusal.text()
    sheet.fields["each_side"].choose(0)
    assert "run to him" in sheet.hints["when"].text()
    sheet.write_entry()
    assert sheet.refusal.text() == ""
    assert page.scheme.shown is not None
    assert "force away" in [duty.name for duty in page.scheme.shown.duties]
    sheet.accept()


@pytest.mark.parametrize("size", [(853, 480), (1280, 720), (2560, 1440)], ids=str)
def test_every_key_below_the_grid_is_told_whole(page: SchemePage, size: tuple[int, int]) -> None:
    """Looks and cue have their keys there in a narrow window too, and no word is cut."""
    window = page.window()
    assert isinstance(window, MainWindow)
    shown(window, size)
    assert all(hint.isVisible() for hint in page.foot.hints)
    assert [one.words for one in word_faults(window)] == []
    ends = [hint.mapTo(page, hint.rect().topRight()).x() for hint in page.foot.hints]
    assert ends == sorted(ends)
    assert ends[-1] <= page.side.x()


@pytest.mark.parametrize("size", [(1920, 1080), (2560, 1440)], ids=str)
def test_the_men_share_a_wide_window(page: SchemePage, size: tuple[int, int]) -> None:
    """The last of the three columns ends near the right edge of the grid, not half way."""
    window, port = page.window(), page.grid.viewport()
    assert isinstance(window, MainWindow)
    assert port is not None
    assert page.scheme.hand.men == ("Bow", "Keel", "Port")
    shown(window, size)
    take(page, POWER_TO_HIM, "Port")
    assert port.width() - page.grid.rect_in_hand().right() < 120


def test_a_row_with_short_cues_is_lower_where_there_is_room(page: SchemePage) -> None:
    """More rows are seen at once in a large window than the same height held in a narrow one."""
    window = page.window()
    assert isinstance(window, MainWindow)
    shown(window, (1280, 720))
    take(page, "concept split zone · run away from him", "Bow")
    narrow = page.grid.rect_in_hand().height()
    shown(window, (1920, 1080))
    assert page.grid.rect_in_hand().height() < narrow


def test_going_down_stops_at_a_whole_row(page: SchemePage) -> None:
    """However far down the cell in hand is, no row is cut by the heads of the men."""
    window, port = page.window(), page.grid.viewport()
    assert isinstance(window, MainWindow)
    assert port is not None
    shown(window, (1280, 720))
    rows = page.scheme.hand.rows
    for row in rows[:-4]:
        page.scheme.hand.take(row.key, "Keel")
        area = page.grid.rect_in_hand()
        assert area.bottom() < port.height()
        page.grid.grab()
    image = port.grab().toImage()
    lines = [y for y in range(image.height() // 3) if _is_hairline(image, y)]
    assert all(below - above > 6 for above, below in pairwise(lines))


def _is_hairline(image: QImage, y: int) -> bool:
    """Tell whether one colour that is not the ground's runs across a line of pixels."""
    seen = {image.pixel(x, y) for x in range(30, image.width() - 40, 7)}
    return len(seen) == 1 and seen != {image.pixel(2, 2)}


def test_long_names_stand_whole_in_a_sheet(page: SchemePage) -> None:
    """Duties that differ at the end can be told apart: they wrap, nothing lies to the side."""
    page.asking.show_parts("duties")
    sheet = form(PartsSheet)
    bar = sheet.list.horizontalScrollBar()
    assert bar is not None
    assert not bar.isVisible()
    metrics, port = sheet.list.fontMetrics(), sheet.list.viewport()
    assert port is not None
    for at in range(sheet.list.count()):
        item = sheet.list.item(at)
        assert item is not None
        room = sheet.list.visualItemRect(item)
        lines = metrics.horizontalAdvance(item.text()) // port.width() + 1
        assert room.width() <= port.width()
        assert room.height() >= lines * metrics.height()
    sheet.accept()


def test_keeping_puts_a_version_in_force(page: SchemePage, press: Any, until: Until) -> None:
    """Ctrl+Enter asks; kept, the title tells the next version and no draft is left."""
    take(page, POWER_TO_HIM, "Keel")
    press("ov", Qt.Key.Key_Return)
    assert page.head.put.isVisibleTo(page)
    press(Qt.Key.Key_Return, ctrl=True)
    until(lambda: page.scheme.draft is None or page.scheme.keeping.effects is not None)
    page.scheme.keeping.keep()
    until(lambda: page.scheme.draft is None)
    assert page.head.title.text() == "Harbor 2"
    assert not page.head.put.isVisibleTo(page)


def test_a_keep_taken_back_shows_the_draft_again(
    page: SchemePage, window: MainWindow, press: Any, until: Until
) -> None:
    """Ctrl+Z on Keep: the edits, the Keep button and the line below tell that none is in force."""
    take(page, POWER_TO_HIM, "Keel")
    press("ov", Qt.Key.Key_Return)
    page.scheme.keep()
    until(lambda: page.scheme.draft is None or page.scheme.keeping.effects is not None)
    page.scheme.keeping.keep()
    until(lambda: page.scheme.draft is None and "is in force" in window.line.sentence)
    assert window.desk is not None
    window.desk.undo()
    until(lambda: page.scheme.draft is not None)
    assert page.head.edits.text() == "1 edit not in force yet"
    assert page.head.put.isVisibleTo(page)
    assert "1 version kept" in page.head.subtitle.text()
    assert "not in force any more" in window.line.sentence
    window.desk.redo()
    until(lambda: page.scheme.draft is None)
    assert not page.head.put.isVisibleTo(page)
    assert "2 versions kept" in page.head.subtitle.text()
    until(lambda: not page.scheme.audit.running)


def test_the_buttons_of_the_head_do_what_they_say(
    page: SchemePage, press: Any, qtbot: Any, tmp_path: Path
) -> None:
    """Leave the edits goes back to what is in force; a sound file is worked on, or put away."""
    take(page, POWER_TO_HIM, "Keel")
    press("ov", Qt.Key.Key_Return)
    qtbot.mouseClick(page.head.drop, Qt.MouseButton.LeftButton)
    assert page.scheme.draft_words() == ""
    assert not page.head.drop.isVisibleTo(page)
    assert page.scheme.shown is not None
    path = tmp_path / "week 3.toml"
    path.write_text(page.scheme.shown.text.replace('version = "1"', 'version = "7"', 1))
    page.scheme.check_file(path)
    qtbot.mouseClick(page.head.away, Qt.MouseButton.LeftButton)
    assert page.stack.currentWidget() is page.grid
    page.scheme.check_file(path)
    qtbot.mouseClick(page.head.work, Qt.MouseButton.LeftButton)
    assert page.head.title.text() == "Harbor 7"


def test_the_draft_survives_a_restart(
    page: SchemePage, window: MainWindow, press: Any, book_path: Path
) -> None:
    """A window that went away with edits shows them again, and says so."""
    take(page, POWER_TO_HIM, "Keel")
    press("ov", Qt.Key.Key_Return)
    window.close_book()
    window.open_path(str(book_path))
    window.show_page("Scheme")
    assert window.line.sentence == "Your draft is as you left it: 1 edit not in force yet."
    assert window.desk is not None
    assert window.desk.scheme.draft_words() == "1 edit not in force yet"


def test_an_empty_cell_says_who_answers_there(page: SchemePage, until: Until) -> None:
    """Quietly in the cell, once it is known, and in words below; an edit is followed at once."""
    hand = page.scheme.hand
    take(page, "concept split zone · run away from him", "Keel")
    assert page.foot.told.text().endswith("no fit asked in tier base; answered by R15: hang A.")
    row = hand.row()
    assert row is not None
    hand.go(0, -1)
    area = page.grid.rect_in_hand().translated(page.grid.rect_in_hand().width(), 0)
    port = page.grid.viewport()
    assert port is not None
    ground = port.grab(area).toImage().pixel(1, 1)

    def written() -> bool:
        image = port.grab(area).toImage()
        return any(image.pixel(x, 16) != ground for x in range(8, 80))

    until(written)
    take(page, next(one.words for one in hand.rows if has(one, "Keel", "R15")), "Keel")
    hand.clear()
    take(page, row.words, "Keel")
    assert page.foot.told.text().endswith("no fit asked in tier base.")


def test_the_mouse_takes_and_opens_cells(page: SchemePage, qtbot: Any) -> None:
    """A touch takes a cell in hand, a second one opens its list; + row asks for a row."""
    take(page, POWER_TO_HIM, "Bow")
    page.scheme.hand.go(1, 0)
    area = page.grid.rect_in_hand()
    page.scheme.hand.go(-1, 0)
    port = page.grid.viewport()
    at = QPoint(area.center().x(), area.center().y())
    qtbot.mouseClick(port, Qt.MouseButton.LeftButton, pos=at)
    assert page.grid.rect_in_hand() == area
    assert not page.picker.isVisible()
    qtbot.mouseClick(port, Qt.MouseButton.LeftButton, pos=at)
    assert page.picker.isVisible()
    page.picker.close_it()


def test_a_book_without_a_scheme_shows_the_ways_to_one(
    closed_window: MainWindow, tmp_path: Path
) -> None:
    """No empty grid: doors, and more of them can be added."""
    path = tmp_path / "bare.gradecut"
    new_book(path, name="Bare", author="Coach Alder").close()
    closed_window.open_path(str(path))
    closed_window.show_page("Scheme")
    assert closed_window.pages is not None
    page = closed_window.pages.pages["Scheme"]
    assert isinstance(page, SchemePage)
    assert page.stack.currentWidget() is page.doors
    assert not page.side.isVisibleTo(page)
    assert not page.head.isVisibleTo(page)
    done: list[str] = []
    page.doors.add_door(
        "A dozen questions", "About your front.", "Begin", lambda: done.append("asked")
    )
    page.doors.doors[-1].click()
    assert done == ["asked"]


def test_more_views_can_stand_beside_the_grid(page: SchemePage) -> None:
    """A view added has its button and its key."""
    seen: list[str] = []
    page.side.add_view("Counted", "Alt+9", QLabel("nothing yet"), lambda: seen.append("shown"))
    action = next(one for one in page.actions_here() if one.keys == ("Alt+9",))
    action.run()
    assert page.side.name == "Counted"
    assert seen == ["shown"]
    page.side.show_view(FINDINGS)


def test_no_two_actions_want_one_key(page: SchemePage, window: MainWindow) -> None:
    """The table of the page goes with that of the window."""
    assert clashing_keys([*page.actions_here(), *window.actions_everywhere]) == []


def test_three_faults_are_shown_with_their_lines(page: SchemePage, tmp_path: Path) -> None:
    """A faulty file shows every fault, its line marked in the text, and can't be put in force."""
    path = tmp_path / "week 3.toml"
    path.write_text(FAULTY)
    page.scheme.check_file(path)
    told = [page.file.faults.item(row).text() for row in range(page.file.faults.count())]  # type: ignore[union-attr]
    assert [one.split(":")[0] for one in told] == ["✗ line 12", "✗ line 15", "✗ line 17"]
    assert 'runn = "to"' in page.file.text.toPlainText()
    assert len(page.file.text.extraSelections()) == 3
    assert not page.head.put.isEnabled()
    page.file.faults.setCurrentRow(2)
    assert page.file.text.textCursor().blockNumber() == 16
    page.scheme.put_away()
    assert page.stack.currentWidget() is page.grid


def test_what_if_answers_live(qtbot: Any, page: SchemePage) -> None:
    """Choosing answers changes what each man owes, with his rule, at once."""
    page.side.show_view(WHAT_IF)
    panel = page.what_if
    page.clear()
    assert panel.asks.text().startswith("First answer: ")
    for reference, answer in (("strength", 1), ("surface.right", 1), ("run", 1)):
        qtbot.mouseClick(panel.fields[reference].buttons[answer], Qt.MouseButton.LeftButton)
    concept = panel.fields["concept"].list
    assert concept is not None
    concept.setCurrentIndex(concept.findText("power"))
    concept.activated.emit(concept.currentIndex())
    assert "Keel owes overlap D, right" in labels(page)
    assert "overlap D" in panel.picture.accessibleDescription()
    page.row_of_look()
    row = page.scheme.hand.row()
    assert row is not None
    assert row.words == "surface 3 to him · concept power · run to him"


def test_the_look_of_the_play_is_taken_over(page: SchemePage) -> None:
    """The what-if begins with the play that is on the Film page."""
    page.clear()
    page.take_look()
    assert page.scheme.what_if is not None
    assert page.scheme.what_if.look["concept"] == "inside zone"


@pytest.mark.parametrize("size", [(853, 480), (1280, 720), (2560, 1440)], ids=str)
def test_a_long_cell_is_seen_whole_and_said_whole(page: SchemePage, size: tuple[int, int]) -> None:
    """Its row grows; the sentence below the grid says all of it, whichever way the keys came."""
    window, hand = page.window(), page.scheme.hand
    assert isinstance(window, MainWindow)
    take(page, POWER_TO_HIM, "Bow")
    usual = page.grid.rect_in_hand().height()
    also = [name for name in page.scheme.shown.fits if name != "squeeze D"][:4]  # type: ignore[union-attr]
    cue = "Hands first, inside foot down, and the tackle never crosses your face; then look back."
    hand.say_more(cue, also)
    shown(window, size)
    assert [one.words for one in word_faults(window)] == []
    assert page.grid.rect_in_hand().height() > usual
    assert cue in page.foot.told.text()
    assert all(name in page.foot.told.text() for name in also)
    assert page.foot.told.text() == page.grid.accessibleDescription()


def test_a_page_of_rows_is_as_many_as_are_seen(page: SchemePage, press: Any) -> None:
    """Page down goes on by the rows that are whole on the screen, high ones or low."""
    take(page, POWER_TO_HIM, "Bow")
    page.scheme.hand.go(-100, 0)
    seen = page.grid.rows_seen()
    rows = [row.key for row in page.scheme.hand.rows]
    press(Qt.Key.Key_PageDown)
    assert page.scheme.hand.place is not None
    assert rows.index(page.scheme.hand.place.row) == min(seen, len(rows) - 1)


def test_a_form_is_no_higher_than_what_it_asks(page: SchemePage) -> None:
    """In a large window the form of a row ends below its last fact."""
    page.window().resize(1800, 1300)
    page.asking.add_row()
    form = next(one for one in page.window().findChildren(RowForm) if one.isVisible())
    layout = form.layout()
    assert layout is not None
    assert form.height() == layout.totalHeightForWidth(form.width())
    form.reject()
