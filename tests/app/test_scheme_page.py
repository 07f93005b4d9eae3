from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QLabel

from gradecut.app.scheme_page import SchemePage
from gradecut.app.window import MainWindow
from tests.desk.test_scheme_desk import FAULTY


@pytest.fixture
def page(window: MainWindow) -> SchemePage:
    """Show the Scheme page."""
    window.show_page("Scheme")
    shown = window.pages.pages["Scheme"]
    assert isinstance(shown, SchemePage)
    return shown


def labels(page: SchemePage) -> list[str]:
    """Return the words on the page."""
    return [label.text() for label in page.findChildren(QLabel) if not label.isHidden()]


def test_the_rules_stand_under_their_tiers(page: SchemePage) -> None:
    """The grid shows the group's rules in words: id, men, looks, fit, cue."""
    table = page.rules
    head = table.item(0, 0)
    assert head is not None
    assert head.text() == "tier base"
    first = [item.text() for column in range(4) if (item := table.item(1, column)) is not None]
    assert first[0] == "R01"
    assert first[1] == "Bow"


def test_three_faults_are_shown_with_their_lines(page: SchemePage, tmp_path: Path) -> None:
    """A faulty file shows every fault, its line marked in the text, and can't be put in force."""
    path = tmp_path / "week 3.toml"
    path.write_text(FAULTY)
    page.scheme.check_file(path)
    told = [page.file.faults.item(row).text() for row in range(page.file.faults.count())]
    assert [one.split(":")[0] for one in told] == ["✗ line 12", "✗ line 15", "✗ line 17"]
    assert 'runn = "to"' in page.file.text.toPlainText()
    assert len(page.file.text.extraSelections()) == 3
    assert not page.put.isEnabled()
    page.file.faults.setCurrentRow(2)
    assert page.file.text.textCursor().blockNumber() == 16
    page.scheme.put_away()
    assert page.stack.currentIndex() == 0


def test_what_if_answers_live(qtbot: Any, page: SchemePage) -> None:
    """Choosing answers changes what each man owes, with his rule, at once."""
    panel = page.what_if
    page.clear()
    assert panel.asks.text() == "First tell: What did they run?"
    for reference, answer in (("strength", 1), ("surface.right", 1), ("run", 1)):
        qtbot.mouseClick(panel.fields[reference].buttons[answer], Qt.MouseButton.LeftButton)
    concept = panel.fields["concept"].list
    assert concept is not None
    concept.setCurrentIndex(concept.findText("power"))
    concept.activated.emit(concept.currentIndex())
    assert "Keel owes overlap D, right" in labels(page)
    assert "overlap D" in panel.picture.accessibleDescription()
    qtbot.mouseClick(panel.fields["run"].buttons[1], Qt.MouseButton.LeftButton)
    assert "Keel: still open" in labels(page)


def test_the_look_of_the_play_is_taken_over(page: SchemePage) -> None:
    """The what-if begins with the play that is on the Film page."""
    page.clear()
    page.take_look()
    assert page.scheme.what_if is not None
    assert page.scheme.what_if.look["concept"] == "inside zone"
