from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from PyQt6.QtCore import Qt

from gradecut.app.board_page import BoardPage
from gradecut.app.board_table import in_two_lines
from gradecut.app.window import MainWindow
from gradecut.grading import ALL_RUNS

Until = Callable[[Callable[[], bool]], None]


@pytest.fixture
def page(window: MainWindow, until: Until) -> BoardPage:
    """Show the Board page, counted."""
    window.show_page("Board")
    shown = window.pages.pages["Board"]
    assert isinstance(shown, BoardPage)
    until(lambda: shown.board.view is not None)
    return shown


def test_the_title_is_a_sentence_with_parts_to_change(page: BoardPage) -> None:
    """Group, what the columns show and sessions can be read and changed in the title."""
    assert page.group.text() == "linebackers"
    assert page.way.text() == "concept"
    assert page.sessions.text() == "all sessions"
    assert page.header() == "2 reps examined, 3 passed"


def test_a_cell_opens_its_reps_and_a_rep_opens_on_film(
    qtbot: Any, page: BoardPage, window: MainWindow
) -> None:
    """A click on Keel's inside zone lists his two misses; a click on one shows it on film."""
    where = page.table.rect_of((0, 0)).center()
    qtbot.mouseClick(page.table.viewport(), Qt.MouseButton.LeftButton, pos=where)
    assert page.board.chosen == (page.table.row_ids[0], "inside zone")
    assert page.cell_name.text() == "Rudd on inside zone"
    assert page.reps.count() == 2
    asked: list[tuple[str, str]] = []
    page.open_rep.connect(lambda clip, rep: asked.append((clip, rep)))
    page.reps.setCurrentRow(0)
    page.reps.open_here()
    assert window.pages.name == "Film"
    assert window.desk is not None
    assert window.desk.film.state is not None
    assert asked[0][0] == window.desk.film.state.clip.id


def test_the_board_is_used_by_keys_alone(qtbot: Any, page: BoardPage) -> None:
    """Arrows choose a cell, Enter opens it, Esc goes back to what to drill."""
    table = page.table
    qtbot.keyClick(table, Qt.Key.Key_Right)
    qtbot.keyClick(table, Qt.Key.Key_Down)
    qtbot.keyClick(table, Qt.Key.Key_Down)
    qtbot.keyClick(table, Qt.Key.Key_Right)
    assert table.at == (2, 1)
    assert page.cell_told.text()
    qtbot.keyClick(table, Qt.Key.Key_Return)
    assert page.board.chosen == table.cell_at((2, 1))
    assert page.side.currentIndex() == 1
    qtbot.keyClick(page, Qt.Key.Key_Escape)
    assert page.board.chosen is None
    assert page.side.currentIndex() == 0


def test_the_group_is_the_last_row(page: BoardPage) -> None:
    """All men together stand below the players."""
    assert page.table.row_ids[-1] is None
    assert page.table.columns[-1] == ALL_RUNS


def test_a_new_grade_counts_the_board_anew(
    page: BoardPage, window: MainWindow, until: Until
) -> None:
    """What is graded or taken back elsewhere is on the board without asking."""
    before = page.board.view
    window.undo()
    until(lambda: page.board.view is not before)


def test_the_drill_names_man_and_situation(page: BoardPage) -> None:
    """Keel missed inside zone twice: it is what to drill, told with its doubt."""
    view = page.board.view
    assert view is not None
    assert [(drill.who, drill.situation) for drill in view.drills] == [("Amos Rudd", "inside zone")]


def test_the_board_paints_without_a_board_and_with_one(window: MainWindow, page: BoardPage) -> None:
    """The picture is painted in both themes and is not empty."""
    image = page.table.grab().toImage()
    colours = {image.pixelColor(x, 60).rgb() for x in range(0, image.width(), 2)}
    assert len(colours) > 3
    window.change_theme()
    light = page.table.grab().toImage().pixelColor(2, 2)
    window.change_theme()
    assert light.lightness() > 200


def test_group_and_all_runs_stay_in_sight(qtbot: Any, page: BoardPage, until: Until) -> None:
    """On a board larger than its room the last row and column stand at the edge and can be used."""
    page.table.setFixedSize(330, 190)
    until(lambda: page.table.width() == 330)
    port = page.table.viewport()
    last = (len(page.table.row_ids) - 1, len(page.table.columns) - 1)
    assert port.rect().contains(page.table.rect_of(last))
    assert page.table.rect_of((0, last[1])).right() <= port.width()
    qtbot.mouseClick(port, Qt.MouseButton.LeftButton, pos=page.table.rect_of(last).center())
    assert page.board.chosen == (None, ALL_RUNS)
    page.table.go(-len(page.table.row_ids), -len(page.table.columns))
    assert page.table.at == (0, 0)
    page.table.go(0, 1)
    hidden = page.table.rect_of((0, last[1]))
    assert not hidden.intersects(page.table.rect_of((0, 1)))


def test_a_long_situation_is_broken_before_its_last_word() -> None:
    """A heading too long for its column stands on two lines."""
    assert in_two_lines("outside zone away") == ["outside zone", "away"]
