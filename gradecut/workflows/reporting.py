"""Boards, sheets and reports of a book."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from os import PathLike
from pathlib import Path

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.grading import board, film_order, worst_situations
from gradecut.outfile import check_goal, make_folder
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Board, Drill, Player, RepLine, Rubric, SchemeVersion
from gradecut.reports import (
    players_left_out,
    write_board_table,
    write_player_sheet,
    write_report,
    write_sheet,
)
from gradecut.workflows.booking import book_info, scheme_in_force
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.player_files import file_names

__all__ = [
    "REPORT_ENDINGS",
    "SHEET_ENDINGS",
    "board_of",
    "book_rubric",
    "drills_of",
    "write_book_board",
    "write_book_report",
    "write_book_sheet",
    "write_player_sheets",
]

SHEET_ENDINGS = (".xlsx",)
REPORT_ENDINGS = (".html", ".htm")


def book_rubric(book: Book) -> Rubric:
    """Return how the staff grades: the rubric of the scheme in force, or the usual one."""
    scheme = scheme_in_force(book)
    return scheme.rubric if scheme else Rubric()


def board_of(
    book: Book,
    *,
    by: Sequence[str] = ("concept",),
    session_ids: Collection[str] | None = None,
    author: str | None = None,
) -> tuple[Board, list[RepLine]]:
    """Return the board of some sessions and the reps it counts."""
    lines = rep_lines(book, session_ids=session_ids, author=author)
    players = book.find(Player)
    return board(lines, rubric=book_rubric(book), by=by, players=players), lines


def drills_of(shown: Board, lines: Sequence[RepLine]) -> tuple[Drill, ...]:
    """Return what to drill tomorrow, most misses first."""
    return worst_situations(shown, lines)


def write_book_board(
    book: Book,
    path: str | PathLike[str],
    *,
    by: Sequence[str] = ("concept",),
    session_ids: Collection[str] | None = None,
) -> Board:
    """Write the board as a CSV table and return it."""
    check_goal(path, endings=(".csv",), what="the board's table")
    shown, _ = board_of(book, by=by, session_ids=session_ids)
    write_board_table(path, shown)
    return shown


def write_book_sheet(
    book: Book,
    path: str | PathLike[str],
    *,
    by: Sequence[str] = ("concept",),
    session_ids: Collection[str] | None = None,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> None:
    """Write the grade sheet as an XLSX workbook.

    Raises
    ------
    BookError
        When there is no rep to write of.
    OutputError
        When it can't be written there.
    """
    check_goal(path, endings=SHEET_ENDINGS, what="the grade sheet")
    lines = _some_lines(book, session_ids)
    write_sheet(
        path,
        lines,
        rubric=book_rubric(book),
        title=book_info(book).name,
        subtitle=_what(lines),
        by=by,
        scheme_name=_scheme_name(book),
        scheme_names={one.id: _named(one) for one in book.find(SchemeVersion)},
        players=book.find(Player),
        progress=progress,
        cancel=cancel,
    )


def write_book_report(
    book: Book,
    path: str | PathLike[str],
    *,
    by: Sequence[str] = ("concept",),
    session_ids: Collection[str] | None = None,
    files: Sequence[tuple[str, str]] = (),
) -> None:
    """Write the staff's report as one HTML file; ``files`` are (name, what it is) beside it."""
    check_goal(path, endings=REPORT_ENDINGS, what="the report")
    lines = _some_lines(book, session_ids)
    shown = board(lines, rubric=book_rubric(book), by=by, players=book.find(Player))
    write_report(
        path,
        lines,
        shown,
        worst_situations(shown, lines),
        rubric=book_rubric(book),
        title=book_info(book).name,
        subtitle=_what(lines),
        scheme_name=_scheme_name(book),
        files=files,
        left_out=players_left_out(lines),
        players=book.find(Player),
    )


def write_player_sheets(
    book: Book,
    folder: str | PathLike[str],
    *,
    names: Collection[str] = (),
    session_ids: Collection[str] | None = None,
) -> list[Path]:
    """Write each player's own sheet as HTML into a folder and return the files.

    Parameters
    ----------
    names : collection of str
        Full names; empty for everybody with a rep.
    """
    lines = _some_lines(book, session_ids)
    home = make_folder(folder)
    called = file_names(book.find(Player))
    written = []
    for player_id in dict.fromkeys(line.player.id for line in lines):
        mine = [line for line in lines if line.player.id == player_id]
        if names and mine[0].player.name not in names:
            continue
        path = home / f"{called[player_id]}.html"
        write_player_sheet(
            path,
            mine,
            rubric=book_rubric(book),
            title=book_info(book).name,
            subtitle=_what(mine),
        )
        written.append(path)
    return written


def _some_lines(book: Book, session_ids: Collection[str] | None) -> list[RepLine]:
    lines = rep_lines(book, session_ids=session_ids)
    if not lines:
        raise BookError(
            f"{book.path}: there are no reps to write of; add film with a script, or put players "
            "in on the clips."
        )
    return sorted(lines, key=film_order)


def _what(lines: Sequence[RepLine]) -> str:
    sessions = list(dict.fromkeys((line.session.day, line.session.name) for line in lines))
    first = " ".join(filter(None, (sessions[0][1], sessions[0][0])))
    return first if len(sessions) == 1 else f"{len(sessions)} sessions from {first}"


def _scheme_name(book: Book) -> str:
    scheme_id = book_info(book).scheme_id
    return _named(book.get(SchemeVersion, scheme_id)) if scheme_id else ""


def _named(version: SchemeVersion) -> str:
    return " ".join(filter(None, (version.name, version.version))) or version.sha256[:8]
