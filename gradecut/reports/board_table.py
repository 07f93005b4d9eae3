"""The board as a table for other programs."""

from __future__ import annotations

import csv
from os import PathLike

from gradecut.grading import board_frame
from gradecut.outfile import whole_file
from gradecut.records import Board
from gradecut.reports.cells import guarded

__all__ = ["write_board_table"]

_TEXTS = ["player", "number", "position", "situation"]


def write_board_table(path: str | PathLike[str], board: Board) -> None:
    """Write a board as CSV (RFC 4180, UTF-8), one line for each player and situation.

    Every text stands in quotes and none can start a formula (OWASP); shares are numbers
    from 0 to 1 to four decimals, and empty where nothing was graded.

    Raises
    ------
    OutputError
        When the file can't be written there.
    """
    frame = board_frame(board).round(4)
    for name in _TEXTS:
        frame[name] = frame[name].map(guarded)
    with whole_file(path) as draft:
        frame.to_csv(
            draft,
            index=False,
            quoting=csv.QUOTE_NONNUMERIC,
            lineterminator="\r\n",
            encoding="utf-8",
        )
