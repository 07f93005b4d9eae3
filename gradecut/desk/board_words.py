"""The board in sentences: the same facts its picture shows."""

from __future__ import annotations

from collections.abc import Mapping

from gradecut.grading import lies_below
from gradecut.records import BoardCell
from gradecut.reports.wording import how_many

__all__ = [
    "cannot_sentence",
    "cell_sentence",
    "percent",
    "situation_words",
    "summary_sentence",
    "way_words",
]

_WAYS = {
    "run side": "run to him or away",
    "fit": "fit owed",
    "period": "period",
    "position": "position",
    "session": "session",
}


def percent(share: float | None) -> str:
    """Write a share in whole per cent; a dash where there is none."""
    return "–" if share is None else f"{100 * share:.0f}\N{NO-BREAK SPACE}%"


def way_words(by: tuple[str, ...]) -> str:
    """Say what the columns are cut by: "concept, run to him or away"."""
    return ", ".join(_WAYS.get(name, name) for name in by) or "all runs"


def situation_words(situation: str, by: tuple[str, ...], *, of_group: bool = False) -> str:
    """Say a situation in a sentence: "inside zone to him", where its column has "to"."""
    if by[-1:] == ("run side",) and situation.split()[-1:] == ["to"]:
        return f"{situation} {'the man' if of_group else 'him'}"
    return situation


def cell_sentence(name: str, cell: BoardCell | None, good: float) -> str:
    """Say all that a cell holds."""
    if cell is None:
        return f"{name}: no reps."
    said = [f"{cell.right} right"]
    if cell.half:
        said.append(f"{cell.half} half")
    said.append(f"{cell.wrong} wrong")
    told = f"{name}: {', '.join(said)}"
    if cell.fit.rate is not None:
        told += f"; {percent(cell.fit.rate)} of {cell.n}"
        if cell.fit.low is not None and cell.fit.high is not None:
            told += f" (95\N{NO-BREAK SPACE}% between {percent(cell.fit.low)}"
            told += f" and {percent(cell.fit.high)})"
        told += f"; {how_many(cell)}"
    told += "".join(f"; {count} {what}" for count, what in _rest(cell) if count)
    if lies_below(cell.fit, good):
        told += f"; ▼ below the goal of {percent(good)}"
    return f"{told}."


def summary_sentence(cell: BoardCell, stale: int) -> str:
    """Say what a board rests on."""
    reps = len(cell.rep_ids)
    told = f"{reps} {'rep' if reps == 1 else 'reps'}: {how_many(cell)}"
    if cell.open:
        told += f", {cell.open} not graded yet"
    if cell.not_owed:
        told += f", {cell.not_owed} without a run job"
    if cell.cannot:
        told += f", {cell.cannot} can't be graded"
    if stale:
        grades = "grade is" if stale == 1 else "grades are"
        told += f". {stale} {grades} stale: the look or a rule has changed since"
    return f"{told}."


def cannot_sentence(reasons: Mapping[str, int]) -> str:
    """Say why reps can't be graded, and whose grade counts."""
    told = "The newest staff grade of each rep counts."
    if reasons:
        why = "; ".join(
            f"{count} {reason[:1].lower()}{reason[1:].rstrip('.')}"
            for reason, count in sorted(reasons.items())
        )
        told += f" Can't be graded: {why}."
    return told


def _rest(cell: BoardCell) -> tuple[tuple[int, str], ...]:
    return (
        (cell.cannot, "can't be graded"),
        (cell.open, "not graded yet"),
        (cell.not_owed, "without a run job"),
    )
