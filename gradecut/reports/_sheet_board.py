"""The sheet's board: each man against each situation, two lines and two columns a cell."""

from __future__ import annotations

from math import ceil

from gradecut.grading import GROUP, lies_below
from gradecut.records import Board, BoardCell
from gradecut.reports._workbook import Page

__all__ = ["write_board"]

SITUATIONS_A_PAGE = 8


def write_board(page: Page, head: tuple[str, ...], board: Board) -> None:
    """Write rate, n and interval of every cell as numbers; ▼ where all of it lies below good."""
    top = page.head(*head)
    page.sheet.set_column(0, 0, 20)
    page.put(top, 0, "Player", "head")
    for at, column in enumerate(board.columns):
        first = 1 + 2 * at
        page.sheet.set_column(first, first + 1, 9.5)
        page.put_over_two(top, first, column, "head middle")
    rows = [(name, worn, key) for key, name, worn in board.rows]
    for down, (name, worn, key) in enumerate([*rows, (GROUP, "", None)]):
        row = top + 1 + 2 * down
        page.put(row, 0, name, "open name")
        page.put(row + 1, 0, worn, "text")
        for at, column in enumerate(board.columns):
            cell = board.cells.get((key, column)) if key else board.group[column]
            _write_cell(page, row, 1 + 2 * at, cell, board.good)
    _write_how(page, top + 1 + 2 * (len(rows) + 1), board)
    page.sheet.freeze_panes(top + 1, 1)
    page.sheet.repeat_rows(top)
    page.sheet.repeat_columns(0)
    page.sheet.fit_to_pages(ceil(len(board.columns) / SITUATIONS_A_PAGE), 0)


def _write_how(page: Page, row: int, board: Board) -> None:
    """Count below each situation how many of its fits were judged in which way."""
    for down, (way, name) in enumerate((("at speed", "passed"), ("looked at closely", "examined"))):
        page.put(row + down, 0, f"of these {way}", "text")
        for at, column in enumerate(board.columns):
            cell = board.group[column]
            page.put(row + down, 1 + 2 * at, None, "edge")
            page.put(row + down, 2 + 2 * at, getattr(cell, name), "count")


def _write_cell(page: Page, row: int, column: int, cell: BoardCell | None, good: float) -> None:
    """Write one cell of the board, left blank where he has no rep there."""
    fit = cell.fit if cell else None
    below = fit is not None and lies_below(fit, good)
    page.put(row, column, fit.rate if fit else None, "rate below" if below else "rate")
    page.put(row, column + 1, fit.n if fit else None, "reps")
    page.put(row + 1, column, fit.low if fit else None, "from")
    page.put(row + 1, column + 1, fit.high if fit else None, "to")
