"""What to drill: where it went wrong more than once, and how sure that is."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from gradecut.grading.boards import ALL_RUNS, GROUP
from gradecut.grading.rates import lies_below
from gradecut.records import Board, BoardCell, RepLine
from gradecut.records.drill import Drill

__all__ = ["worst_situations"]

_TWICE = 2


def worst_situations(board: Board, lines: Sequence[RepLine]) -> tuple[Drill, ...]:
    """List the situations to work on, most misses first.

    A man's situation is listed when he missed it twice or more: once is no pattern,
    whatever an interval says of a single rep. Where no man is listed for a situation but
    two or more missed it once each, the group is; so no miss is told twice. A half fit
    is a miss here: it is as much to be worked on. Each entry says how many of its reps were
    graded at speed, and whether they are enough to call the rate below the line. Of the reps done
    right those that were examined come first.

    Parameters
    ----------
    board : Board
    lines : sequence of RepLine
        The reps the board was made from.
    """
    by_rep = {line.rep.id: line for line in lines}
    found = []
    for column in board.columns:
        if column == ALL_RUNS and len(board.columns) > 1:
            continue
        listed = [
            _drill(board, (key, name), column, by_rep)
            for key, name, _ in board.rows
            if (cell := board.cells.get((key, column))) and _misses(cell) >= _TWICE
        ]
        if not listed and _misses(board.group[column]) >= _TWICE:
            listed = [_drill(board, (None, GROUP), column, by_rep)]
        found += listed
    return tuple(sorted(found, key=lambda drill: (-drill.misses, not drill.sure)))


def _misses(cell: BoardCell) -> int:
    """Count fits that came out half or wrong."""
    return cell.half + cell.wrong


def _drill(
    board: Board, man: tuple[str | None, str], situation: str, by_rep: dict[str, RepLine]
) -> Drill:
    """Write one entry."""
    player_id, who = man
    cell = board.cells[player_id, situation] if player_id else board.group[situation]
    graded = [(key, by_rep[key].grade) for key in cell.rep_ids]
    missed = [(key, grade) for key, grade in graded if grade and grade.missed]
    done = [(key, grade) for key, grade in graded if grade and grade.fit_result == "right"]
    right = tuple(key for key, _ in sorted(done, key=lambda one: one[1].how == "passed"))
    causes = Counter(grade.cause for _, grade in missed if grade.cause).most_common(1)
    cause, count = causes[0] if causes else ("", 0)
    return Drill(
        player_id=player_id,
        who=who,
        situation=situation,
        n=cell.n,
        misses=len(missed),
        high=cell.fit.high,
        sure=lies_below(cell.fit, board.good),
        cause=cause,
        cause_count=count,
        miss_rep_ids=tuple(key for key, _ in missed),
        right_rep_ids=right,
        says=_counted(len(missed), cell, cause, count) + _doubt(cell, board.good),
    )


def _counted(misses: int, cell: BoardCell, cause: str, count: int) -> str:
    """Say how often it went wrong, of how many, why, and how many were graded at speed."""
    told = f"{misses} of {cell.n} missed"
    told += f", {count} put down to “{cause}”" if cause else ""
    return f"{told}; {cell.passed} of the {cell.n} graded at speed" if cell.passed else told


def _doubt(cell: BoardCell, good: float) -> str:
    """Say how sure that is, to end the sentence with."""
    if cell.fit.high is None:
        return "."
    line, high, sure = (
        f"{100 * share:.0f}\N{NO-BREAK SPACE}%" for share in (good, cell.fit.high, 0.95)
    )
    if lies_below(cell.fit, good):
        return f". Below {line} even at best: the {sure} interval ends at {high}."
    return f". Too few reps to call it below {line}: up to {high} is possible."
