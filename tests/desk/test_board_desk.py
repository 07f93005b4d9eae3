from __future__ import annotations

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from gradecut.desk import Desk
from gradecut.grading import ALL_RUNS
from gradecut.records import Angle, Grade, Mark
from gradecut.timebase import Pts
from gradecut.workflows.marking import add_mark
from tests.desk.small_book import Posted


def counted(desk: Desk, posted: Posted) -> None:
    """Count the board and wait for it."""
    desk.board.view = None
    desk.board.count()
    posted.until(lambda: desk.board.view is not None)


def test_the_board_begins_with_the_graded_group_by_run(desk: Desk, posted: Posted) -> None:
    """A coach who opens the board first sees his linebackers against the runs."""
    counted(desk, posted)
    assert desk.board.choice.group == "linebackers"
    assert desk.board.view is not None
    assert desk.board.view.board.columns == ("inside zone", "power", ALL_RUNS)


def test_a_cell_lists_its_reps_what_went_wrong_first(desk: Desk, posted: Posted) -> None:
    """Each rep of a cell says play, owed, did and result, and can be found again."""
    counted(desk, posted)
    view = desk.board.view
    assert view is not None
    keel = next(key for key, name, _ in view.board.rows if name == "Amos Rudd")
    rows = desk.board.reps_of((keel, ALL_RUNS))
    assert [row.missed for row in rows] == [True, True, False]
    assert rows[0].owed == "fill A, right"
    assert rows[0].did == "ran past it"
    assert "wrong" in rows[0].result
    assert "eyes" in rows[0].beside


def test_a_cell_is_told_in_words(desk: Desk, posted: Posted) -> None:
    """Everything a cell draws stands in one sentence, those graded at speed apart."""
    counted(desk, posted)
    assert desk.board.view is not None
    keel = desk.board.view.board.rows[0][0]
    told = desk.board.cell_words((keel, "inside zone"))
    assert told.startswith("Rudd on inside zone: 0 right, 2 wrong")
    rate = "0 % of 2 (95 % between 0 % and 66 %); 2 looked at closely, 0 at speed"
    assert rate in told.replace("\N{NO-BREAK SPACE}", " ")
    assert desk.board.cell_words((keel, "no such run")) == "Rudd on no such run: no reps."


def test_what_cannot_be_graded_is_counted_with_its_reason(desk: Desk, posted: Posted) -> None:
    """The line below the board says how many reps have no grade; what is behind it says why."""
    counted(desk, posted)
    told = "6 reps: 2 looked at closely, 3 at speed, 1 can't be graded."
    assert desk.board.summary() == told
    assert desk.board.why_not().endswith("Can't be graded: 1 out of picture.")


def test_a_book_without_grades_has_not_begun(desk: Desk, posted: Posted) -> None:
    """A choice that holds no grade is one thing, a book that holds none another."""
    counted(desk, posted)
    desk.board.view = None
    desk.board.choose(group="front")
    posted.until(lambda: desk.board.view is not None)
    assert desk.board.view is not None
    assert (desk.board.view.graded, desk.board.view.begun) == (False, True)
    with desk.book.act("forget all grades") as act:
        act.drop_all(desk.book.find(Grade))
    counted(desk, posted)
    assert (desk.board.view.graded, desk.board.view.begun) == (False, False)


def test_a_man_is_shown_where_something_is_drawn_at_him(desk: Desk, posted: Posted) -> None:
    """His picture is asked for only where a mark says which man he is."""
    counted(desk, posted)
    assert desk.board.view is not None
    rep = desk.board.view.lines[0].rep
    came: list[NDArray[np.uint8]] = []
    assert not desk.board.ask_man_picture(rep.id, came.append)
    angle = desk.book.find(Angle, clip_id=rep.clip_id)[0]
    at = Pts(angle.start_pts)
    add_mark(
        desk.book,
        Mark(angle_id=angle.id, kind="bracket", points=((80.0, 45.0),), from_pts=at, to_pts=at,
             rep_id=rep.id),
    )  # fmt: skip
    assert desk.board.ask_man_picture(rep.id, came.append)
    posted.until(lambda: bool(came))
    assert came[0].shape == (180, 320, 3)


def test_other_columns_are_counted_anew(desk: Desk, posted: Posted) -> None:
    """Choosing what the columns show counts the board by it and closes an open cell."""
    counted(desk, posted)
    desk.board.open_cell((None, ALL_RUNS))
    desk.board.view = None
    desk.board.choose(by=("fit",))
    posted.until(lambda: desk.board.view is not None)
    assert desk.board.view is not None
    assert "fill A" in desk.board.view.board.columns
    assert desk.board.chosen is None


def test_a_group_leaves_the_others_out(desk: Desk, posted: Posted) -> None:
    """A group without reps shows no players rather than everybody."""
    counted(desk, posted)
    desk.board.view = None
    desk.board.choose(group="front")
    posted.until(lambda: desk.board.view is not None)
    assert desk.board.view is not None
    assert desk.board.view.board.rows == ()


def test_the_sheet_is_written_and_said(
    desk: Desk, posted: Posted, said: list[str], tmp_path: Path
) -> None:
    """Writing the sheet ends with where it lies."""
    goal = tmp_path / "sheet.xlsx"
    desk.board.write_sheet(str(goal))
    posted.until(lambda: bool(said))
    assert goal.exists()
    assert said == [f"Written: {goal}"]


def test_a_place_that_cannot_be_written_to_is_one_sentence(
    desk: Desk, posted: Posted, said: list[str], tmp_path: Path
) -> None:
    """An output folder that is a file is refused in a sentence, and nothing is left behind."""
    wall = tmp_path / "wall"
    wall.write_text("")
    desk.board.write_report(str(wall / "report.html"))
    posted.until(lambda: bool(said))
    assert "wall" in said[0]
    assert wall.read_text() == ""


def test_a_situation_to_him_is_said_whole(desk: Desk, posted: Posted) -> None:
    """Above its reps a cell reads as a sentence; the board says whose grades it counts."""
    desk.board.count()
    posted.until(lambda: desk.board.view is not None)
    before = desk.board.view
    desk.board.choose(by=("concept", "run side"))
    posted.until(lambda: desk.board.view is not before)
    view = desk.board.view
    assert view is not None
    man = view.board.rows[0][0]
    assert desk.board.cell_name((man, "power to")) == "Rudd on power to him"
    assert desk.board.cell_name((None, "power to")) == "The group on power to the man"
    assert desk.board.cell_name((man, "power away")) == "Rudd on power away"
    assert desk.board.why_not().startswith("The newest staff grade of each rep counts.")
