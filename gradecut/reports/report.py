"""The staff's page: players, board, what to drill, what could not be graded."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from os import PathLike
from typing import Any

from gradecut.grading import GROUP, film_order
from gradecut.records import Board, BoardCell, Player, RepLine
from gradecut.records.drill import Drill
from gradecut.records.rubric import Rubric
from gradecut.reports._pages import REPORT, plays_of, write_page
from gradecut.reports.barred import barred_words
from gradecut.reports.men_standings import Standing, players_left_out, standings

__all__ = ["write_report"]

SITUATIONS_A_TABLE = 8
DRILLS_SHOWN = 8


def write_report(
    path: str | PathLike[str],
    lines: Sequence[RepLine],
    board: Board,
    drills: Sequence[Drill],
    *,
    rubric: Rubric,
    title: str,
    subtitle: str = "",
    scheme_name: str = "",
    files: Sequence[tuple[str, str]] = (),
    left_out: Sequence[Player] | None = None,
    players: Sequence[Player] | None = None,
) -> None:
    """Write the report as one HTML file that needs no network and prints on A4 or Letter.

    Parameters
    ----------
    lines : sequence of RepLine
    board, drills
        Made from the same lines; the first eight drills are told.
    files : sequence of (name, what it is)
        What lies beside the report; names are told, not linked.
    left_out : sequence of Player or None
        Whom shared film leaves out; None to tell it from ``lines`` (under 18, no consent).
    players : sequence of Player or None
        Their order; None for roster order.

    Raises
    ------
    OutputError
        When the file can't be written there.
    """
    ordered = sorted(lines, key=film_order)
    men = standings(ordered, rubric, players)
    out = players_left_out(ordered) if left_out is None else left_out
    said: dict[str, Any] = {
        "title": title,
        "subtitle": subtitle,
        "scheme_name": scheme_name,
        "paper": "landscape",
        "width": "84rem",
        "summary": _summary(men[-1]),
        "left_out": barred_words(
            out,
            "Under 18 without a guardian's consent on file, so left out of everything that is "
            "shared",
        ),
        "men": men,
        "weighed": rubric.weights is not None,
        "aligned": men[-1].lined_up.n > 0,
        "by": " and ".join(board.by) or "player",
        "blocks": _blocks(board),
        "drills": [_drill(drill, ordered) for drill in drills[:DRILLS_SHOWN]],
        "more_drills": max(len(drills) - DRILLS_SHOWN, 0),
        "reasons": [(*told, count) for told, count in sorted(men[-1].reasons.items())],
        "events": [name for name, count in men[-1].events.items() if count],
        "files": files,
    }
    write_page(path, REPORT, rubric, said)


def _summary(group: Standing) -> str:
    """Say in one sentence what the numbers rest on."""
    cell = group.cell
    told = [
        f"{len(cell.rep_ids)} reps on {len(cell.clip_ids)} runs",
        f"{cell.n} fits graded ({cell.passed} at speed, {cell.examined} looked at closely)",
        f"{cell.cannot} can't be graded",
        f"{cell.open} not graded yet",
    ]
    if cell.not_owed:
        told.append(f"{cell.not_owed} without a run job")
    if group.stale:
        told.append(f"{group.stale} whose look or rule has changed since")
    return f"{', '.join(told)}."


def _drill(drill: Drill, lines: Sequence[RepLine]) -> dict[str, str]:
    """Lay a drill out with its plays; the group's with the man who was in."""
    group = drill.player_id is None
    return {
        "who": drill.who,
        "situation": drill.situation,
        "says": drill.says,
        "plays": plays_of(drill.miss_rep_ids, lines, men=group),
        "right": plays_of(drill.right_rep_ids[:3], lines, men=group),
    }


def _blocks(board: Board) -> list[dict[str, Any]]:
    """Cut a board into tables that fit a page across."""
    columns = board.columns
    tables = ceil(len(columns) / SITUATIONS_A_TABLE)
    size = ceil(len(columns) / tables)
    parts = [columns[at : at + size] for at in range(0, len(columns), size)]
    return [{"columns": part, "rows": _rows(board, part)} for part in parts]


def _rows(board: Board, columns: Sequence[str]) -> list[dict[str, Any]]:
    """Lay out the rows of some columns, the group last."""
    men: list[dict[str, Any]] = [
        {
            "key": key,
            "name": name,
            "worn": worn,
            "cells": [board.cells.get((key, column)) for column in columns],
        }
        for key, name, worn in board.rows
    ]
    group: list[BoardCell] = [board.group[column] for column in columns]
    return [*men, {"key": None, "name": GROUP, "worn": "", "cells": group}]
