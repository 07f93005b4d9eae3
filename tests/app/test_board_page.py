from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from PyQt6.QtCore import QPoint, Qt
from PyQt6.QtWidgets import QPushButton

from gradecut.app.board_page import BoardPage
from gradecut.app.board_table import HEAD_PX, in_two_lines
from gradecut.app.play_picture import PlayPicture
from gradecut.app.window import MainWindow
from gradecut.grading import ALL_RUNS
from gradecut.records import Angle, Grade, Mark, Rep
from gradecut.timebase import Pts
from gradecut.workflows.marking import add_mark

Until = Callable[[Callable[[], bool]], None]


@pytest.fixture
def page(window: MainWindow, until: Until) -> BoardPage:
    """Show the Board page, counted."""
    window.show_page("Board")
    shown = window.pages.pages["Board"]
    assert isinstance(shown, BoardPage)
    until(lambda: shown.table.rows_seen == len(shown.table.row_ids) > 0)
    return shown


def test_the_title_is_a_sentence_with_parts_to_change(page: BoardPage) -> None:
    """Group, what the columns show and sessions can be read and changed in the title."""
    assert page.title.group.text() == "linebackers"
    assert page.title.way.text() == "concept"
    assert page.title.sessions.text() == "all sessions"
    assert page.header() == "2 looked at closely, 3 at speed"


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
    bars = page.table.rect_of((0, 0)).center().y() + 10
    colours = {image.pixelColor(x, bars).rgb() for x in range(0, image.width(), 2)}
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


def board_of(page: BoardPage, men: int, situations: int) -> None:
    """Show a board of so many men and situations, all runs the last."""
    view = page.board.view
    assert view is not None
    (key, _, worn), column = view.board.rows[0], view.board.columns[0]
    rows = tuple((f"man {number}", f"Man Number{number}", worn) for number in range(men))
    columns = (*(f"run {number}" for number in range(situations - 1)), ALL_RUNS)
    shown = view.board.cells[key, column]
    cells = {(who, what): shown for who, _, _ in rows for what in columns}
    counted = replace(
        view.board, rows=rows, columns=columns, cells=cells, group=dict.fromkeys(columns, shown)
    )
    page.board.view = replace(view, board=counted)
    page.table.renew()


def test_the_usual_board_is_whole_in_the_smallest_usual_window(
    window: MainWindow, page: BoardPage, until: Until
) -> None:
    """At 1280 x 720 seven situations and eight men stand there, none cut and none to scroll for."""
    window.resize(1280, 720)
    board_of(page, men=8, situations=7)
    until(lambda: page.table.columns_seen == 7 and page.table.rows_seen == 9)
    port = page.table.viewport().rect()
    places = [(row, column) for row in range(9) for column in range(7)]
    assert all(port.contains(page.table.rect_of(place)) for place in places)
    assert page.table.horizontalScrollBar().maximum() == 0
    assert page.table.verticalScrollBar().maximum() == 0


def test_what_has_no_room_goes_by_a_whole_one_at_a_time(
    window: MainWindow, page: BoardPage, until: Until
) -> None:
    """Of twenty situations and men those that are seen are whole, before and after scrolling."""
    window.resize(1280, 720)
    board_of(page, men=20, situations=20)
    table = page.table
    until(lambda: 2 < table.columns_seen < 20 and 2 < table.rows_seen < 21)
    for step in (0, 3):
        table.horizontalScrollBar().setValue(step)
        table.verticalScrollBar().setValue(step)
        port = table.viewport().rect()
        for column in (*range(step, step + table.columns_seen - 1), 19):
            for row in (*range(step, step + table.rows_seen - 1), 20):
                assert port.contains(table.rect_of((row, column)))
        assert table.rect_of((step, step)).topLeft() == QPoint(table.name_px, HEAD_PX)


def test_columns_and_rows_use_the_room_of_a_large_window(
    window: MainWindow, page: BoardPage, until: Until
) -> None:
    """At 2560 x 1440 the last situation ends where the room does, and reps are told in words."""
    window.resize(2560, 1440)
    board_of(page, men=8, situations=7)
    until(lambda: page.table.in_words and page.table.rows_seen == 9)
    end = page.table.rect_of((0, 6)).right()
    assert end > 0.95 * page.table.viewport().width()
    assert page.table.row_px > 65
    below = page.summary.mapTo(page, QPoint(0, 0)).y()
    table_end = page.table.mapTo(page, QPoint(0, page.table.height())).y()
    assert below - table_end < 70
    assert "4+2" not in page.reading.text()
    window.resize(1280, 720)
    until(lambda: "4+2" in page.reading.text())


def test_an_open_cell_is_told_once(qtbot: Any, page: BoardPage) -> None:
    """What an open cell holds stands above its reps and nowhere else; its list ends with them."""
    table = page.table
    qtbot.keyClick(table, Qt.Key.Key_Right)
    assert page.cell_told.text().startswith("Rudd on inside zone: 0 right, 2 wrong")
    qtbot.keyClick(table, Qt.Key.Key_Return)
    assert page.cell_words.text().startswith("0 right, 2 wrong; 0\N{NO-BREAK SPACE}% of 2")
    assert page.cell_told.text() == ""
    assert page.reps.maximumHeight() < 2 * 50


def test_a_book_without_grades_has_one_thing_to_do(
    qtbot: Any, page: BoardPage, window: MainWindow, until: Until
) -> None:
    """No table, no drills and no sheets of nothing: one button that leads to grading."""
    book = page.board.book
    with book.act("forget all grades") as act:
        act.drop_all(book.find(Grade))
    page.board.count()
    until(lambda: page.shown.currentWidget() is page.start)
    assert page.header() == ""
    hidden = (page.table, page.drills, page.sheet, page.report, page.summary)
    assert not any(part.isVisible() for part in hidden)
    qtbot.mouseClick(page.start.grade, Qt.MouseButton.LeftButton)
    assert window.pages is not None
    assert window.pages.name == "Film"


def test_a_choice_without_grades_can_be_changed(page: BoardPage, until: Until) -> None:
    """Where only this group has none, the title stays to choose another."""
    page.board.choose(group="front")
    until(lambda: "Nothing of this is graded yet" in page.reading.text())
    assert page.title.group.isVisible()
    assert not page.table.isVisible()
    page.board.choose(group="linebackers")
    until(page.table.isVisible)


def test_a_drill_without_marks_shows_no_picture(
    qtbot: Any, page: BoardPage, window: MainWindow
) -> None:
    """Where nothing tells which man it is, words alone lead to the play."""
    assert page.drills.findChildren(PlayPicture) == []
    shown = page.drills.findChildren(QPushButton)
    assert [one.text() for one in shown] == ["missed · play 1"]
    qtbot.mouseClick(shown[0], Qt.MouseButton.LeftButton)
    assert window.pages is not None
    assert window.pages.name == "Film"


def test_a_drill_shows_the_man(page: BoardPage, until: Until) -> None:
    """Once a bracket says who he is, the drill shows him."""
    book = page.board.book
    rep = book.find(Rep, position="Keel")[0]
    angle = book.find(Angle, clip_id=rep.clip_id)[0]
    add_mark(
        book,
        Mark(
            angle_id=angle.id, kind="bracket", points=((80.0, 45.0),), rep_id=rep.id,
            from_pts=Pts(angle.start_pts), to_pts=Pts(angle.start_pts),
        ),
    )  # fmt: skip
    page.board.count()
    until(lambda: bool(page.drills.findChildren(PlayPicture)))
    (picture,) = page.drills.findChildren(PlayPicture)
    assert picture.accessibleName() == "missed · play 1"
    until(lambda: picture.grab().toImage().pixelColor(20, 40).lightness() > 30)
