"""The grade sheet: one workbook, to look through and to print."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from os import PathLike

from gradecut.grading import board, film_order
from gradecut.outfile import whole_file
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Player, RepLine
from gradecut.records.rubric import Rubric
from gradecut.reports._sheet_board import write_board
from gradecut.reports._sheet_players import write_counts, write_players
from gradecut.reports._sheet_reps import write_reps
from gradecut.reports._workbook import STYLES, Page
from gradecut.reports.cautions import CAUTIONS, staff_only
from gradecut.reports.men_standings import players_left_out, standings
from gradecut.reports.reading import reading_notes

__all__ = ["write_sheet"]


def write_sheet(
    path: str | PathLike[str],
    lines: Sequence[RepLine],
    *,
    rubric: Rubric,
    title: str,
    subtitle: str = "",
    by: Sequence[str] = ("concept",),
    scheme_name: str = "",
    scheme_names: Mapping[str, str] | None = None,
    players: Sequence[Player] | None = None,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> None:
    """Write the grade sheet as an XLSX workbook, whole or not at all.

    Its pages: players (fit, technique, effort, first step), counts (passed, examined, can't
    grade, events), board, reps (every rep with all it was judged by), how to read this. Every
    rate is a percent cell and every count a number; nothing is a formula. The numbers of
    players, counts and board are of runs; the list of reps holds every rep given.

    Parameters
    ----------
    path : path
        Ends in ``.xlsx``.
    lines : sequence of RepLine
        In any order.
    by : sequence of str
        What the board's columns are cut by, as in `gradecut.grading.board`.
    scheme_name : str
        Printed below the title; empty to leave it out.
    scheme_names : mapping of scheme version to name, or None
        How the versions that grades were given by are called in the list of reps; one that
        is not named is told by the end of its key.
    players : sequence of Player or None
        Their order; None for roster order.

    Raises
    ------
    LookError
        When no look says anything of a name in ``by``.
    OutputError
        When the file can't be written there.
    Cancelled
        When ``cancel`` asks for it; nothing is left behind.
    """
    import xlsxwriter

    ordered = sorted(lines, key=film_order)
    men = standings(ordered, rubric, players)
    table = board(ordered, rubric=rubric, by=by, players=players)
    under = tuple(
        text for text in (subtitle, f"Scheme: {scheme_name}" if scheme_name else "") if text
    )
    head = (title, *under)
    steps: list[tuple[str, Callable[[Page], None]]] = [
        ("Players", lambda page: write_players(page, head, men)),
        ("Counts", lambda page: write_counts(page, head, men, rubric)),
        ("Board", lambda page: write_board(page, _board_head(head, by), table)),
        ("Reps", lambda page: write_reps(page, head, ordered, rubric, scheme_names or {})),
        ("How to read this", lambda page: _write_guide(page, rubric, ordered)),
    ]
    with whole_file(path) as draft:
        book = xlsxwriter.Workbook(
            str(draft),
            {"strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False},
        )
        formats = {name: book.add_format(dict(style)) for name, style in STYLES.items()}
        for at, (name, write) in enumerate(steps):
            if cancel is not None:
                cancel.check("The grade sheet")
            progress(at / len(steps), f"grade sheet: {name.lower()}")
            write(Page(book, formats, name))
        book.close()
    progress(1.0, "grade sheet written")


def _board_head(head: tuple[str, ...], by: Sequence[str]) -> tuple[str, ...]:
    """Say on the board what it is cut by."""
    return (*head, f"Fits by {' and '.join(by) or 'player'}; how to read it: last page")


def _write_guide(page: Page, rubric: Rubric, lines: Sequence[RepLine]) -> None:
    """Write what the numbers mean and the cautions."""
    page.sheet.set_portrait()
    page.sheet.set_column(0, 0, 22)
    page.sheet.set_column(1, 1, 88)
    row = page.head("How to read this")
    for word, meaning in reading_notes(rubric):
        row = _entry(page, row, word, meaning)
    page.put(row + 1, 0, "Please keep to this", "lead")
    row += 2
    for caution in CAUTIONS:
        row = _entry(page, row, caution.title, f"{caution.text} ({caution.source}.)")
    for man in players_left_out(lines):
        row = _entry(page, row, man.name, staff_only(man))


def _entry(page: Page, row: int, word: str, meaning: str) -> int:
    """Write one entry of the guide, as tall as its text needs; return the next row."""
    page.put(row, 0, word, "wrapped")
    page.put(row, 1, meaning, "wrapped")
    page.sheet.set_row(row, 16.0 * max(1 + len(meaning) // 95, 1 + len(word) // 24))
    return row + 1
