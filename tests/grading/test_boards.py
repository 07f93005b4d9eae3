from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gradecut.grading import ALL_RUNS, board, board_frame, number_worn, wilson_interval
from gradecut.records import BoardCell, RepLine
from tests.grading.invented_week import (
    LISOWAY,
    OKORIE,
    RUBRIC,
    THORNBURY,
    VANDERMOOR,
    line,
    pass_play,
    week,
)

MEN = (OKORIE, LISOWAY, VANDERMOOR)


def test_rows_and_columns() -> None:
    """Men in roster order, situations as the film showed them, all runs last."""
    table = board(list(reversed(week())), rubric=RUBRIC)
    assert table.columns == ("inside zone", "power", "counter", ALL_RUNS)
    assert table.rows == (
        ("p1", "Tavin Okorie", "Keel 44"),
        ("p2", "Brandt Lisoway", "Bow 9"),
        ("p6", "Joss Vandermoor", "Port 38"),
    )
    assert table.good == RUBRIC.good


def test_an_order_of_men_may_be_given() -> None:
    """The coach's order comes first, whom it leaves out behind; who had no rep is not shown."""
    table = board(week(), rubric=RUBRIC, players=(THORNBURY, VANDERMOOR))
    assert [key for key, _, _ in table.rows] == ["p6", "p1", "p2"]


def test_a_cell_by_hand() -> None:
    """Okorie on power (plays 2, 3, 6): half, wrong, wrong; two passed, one examined."""
    cell = board(week(), rubric=RUBRIC).cells["p1", "power"]
    assert (cell.n, cell.right, cell.half, cell.wrong) == (3, 0, 1, 2)
    assert (cell.passed, cell.examined) == (2, 1)
    assert cell.fit.rate == pytest.approx(1 / 6)
    assert (cell.fit.low, cell.fit.high) == wilson_interval(0.5, 3)
    assert cell.rep_ids == ("r2-p1", "r3-p1", "r6-p1")
    assert cell.clip_ids == ("c2", "c3", "c6")


def test_what_is_open_and_what_cannot_be_graded() -> None:
    """Vandermoor has one rep of each, and neither is in n."""
    cell = board(week(), rubric=RUBRIC).cells["p6", ALL_RUNS]
    assert (cell.n, cell.cannot, cell.open, cell.not_owed, len(cell.rep_ids)) == (4, 1, 1, 0, 6)


def test_only_runs_are_counted() -> None:
    """A pass play is on no board of runs."""
    table = board([*week(), pass_play(LISOWAY)], rubric=RUBRIC)
    assert table.cells == board(week(), rubric=RUBRIC).cells


def test_to_and_away_stand_together() -> None:
    """Each concept's run to him stands before its run away, whichever was shown first."""
    reps = [replace(line(LISOWAY, "+", at), run_side=side) for at, side in ((1, "away"), (4, "to"))]
    reps += [replace(line(OKORIE, "+", 2), run_side="to")]
    again = [replace(line(OKORIE, "+", 1), run_side="to")]
    table = board([*reps, *again], rubric=RUBRIC, by=("concept", "run side"))
    assert table.columns == (
        "inside zone to", "inside zone away", "power to", "counter to", ALL_RUNS,
    )  # fmt: skip


def test_what_is_not_known_has_a_column_once_it_holds_a_grade() -> None:
    """A man without a side is neither to nor away: his open reps make no empty columns."""
    reps = [replace(line(LISOWAY, sign, at), run_side=None) for sign, at in (("+", 1), (".", 2))]
    lines = [*reps, line(OKORIE, ".", 4)]
    table = board(lines, rubric=RUBRIC, by=("concept", "run side"))
    assert table.columns == ("inside zone, side not known", "counter to", ALL_RUNS)
    assert ("p2", "power, side not known") not in table.cells
    assert (table.group[ALL_RUNS].n, table.group[ALL_RUNS].open) == (1, 2)
    tried = [replace(line(LISOWAY, "?", 2), run_side=None)]
    assert (
        "power, side not known" in board(tried, rubric=RUBRIC, by=("concept", "run side")).columns
    )


def test_no_situation_is_all_runs() -> None:
    """Cut by nothing, a board has the one column; without reps it has no rows."""
    assert board(week(), rubric=RUBRIC, by=()).columns == (ALL_RUNS,)
    empty = board([], rubric=RUBRIC)
    assert (empty.rows, empty.columns, empty.group[ALL_RUNS].n) == ((), (ALL_RUNS,), 0)


def test_the_number_he_wears() -> None:
    """Thornbury wears 16 in practice, as in a scrimmage, and 6 in a game."""
    rep = line(THORNBURY, "+", 1)
    game = replace(rep, session=replace(rep.session, kind="game"))
    scrimmage = replace(rep, session=replace(rep.session, kind="scrimmage"))
    assert number_worn(THORNBURY, [scrimmage]) == "16"
    assert number_worn(THORNBURY, [rep]) == "16"
    assert number_worn(THORNBURY, [rep, game]) == "6"


signs = st.lists(
    st.tuples(st.sampled_from(MEN), st.sampled_from("+h-f?."), st.integers(1, 12)),
    unique_by=lambda row: (row[0].id, row[2]),
    max_size=30,
)


def counted(cell: BoardCell) -> tuple[int, ...]:
    """Return every count of a cell."""
    return (
        cell.right, cell.half, cell.wrong, cell.cannot, cell.open, cell.not_owed,
        cell.passed, cell.examined, cell.technique.n, cell.effort.n, len(cell.rep_ids),
    )  # fmt: skip


def added(cells: list[BoardCell]) -> tuple[int, ...]:
    """Add the counts of cells up."""
    return tuple(sum(column) for column in zip(*(counted(cell) for cell in cells), strict=True))


@settings(deadline=None)
@given(signs)
def test_cells_add_up(rows: list[tuple[object, str, int]]) -> None:
    """Of each man the situations, and of each situation the men, add up to the whole."""
    lines: list[RepLine] = [line(man, sign, at) for man, sign, at in rows]  # type: ignore[arg-type]
    table = board(lines, rubric=RUBRIC)
    for key, _, _ in table.rows:
        own = [cell for (man, column), cell in table.cells.items() if man == key]
        whole = table.cells[key, ALL_RUNS]
        assert added([cell for cell in own if cell is not whole]) == counted(whole)
    for column, group in table.group.items():
        men = [cell for (_, place), cell in table.cells.items() if place == column]
        assert not men or added(men) == counted(group)
    for cell in table.group.values():
        assert cell.passed + cell.examined == cell.n == cell.fit.n
    assert counted(table.group[ALL_RUNS])[-1] == len(lines)


def test_clips_stand_in_film_order() -> None:
    """A cell opens its clips in the order they were filmed."""
    clips = board(list(reversed(week())), rubric=RUBRIC).group[ALL_RUNS].clip_ids
    orders = [int(clip[1:]) for clip in clips]
    assert all(one < other for one, other in pairwise(orders))


def test_the_long_table() -> None:
    """One row a man and situation, numbers as numbers, the group last, nothing made up."""
    frame = board_frame(board(week(), rubric=RUBRIC))
    row = frame[(frame.player == "Tavin Okorie") & (frame.situation == "power")].iloc[0]
    assert (row.number, row.position, row.n, row.half, row.examined) == ("44", "Keel", 3, 1, 1)
    assert row.rate == pytest.approx(1 / 6)
    assert frame.n.dtype.kind == "i"
    assert frame.rate.dtype.kind == "f"
    counter = frame[(frame.player == "Tavin Okorie") & (frame.situation == "counter")].iloc[0]
    assert counter.effort_n == 0
    assert counter.effort_rate != counter.effort_rate  # not a number
    assert list(frame.player[-4:]) == ["the group"] * 4
