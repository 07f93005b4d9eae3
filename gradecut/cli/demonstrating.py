"""The command that does the main job on the sample clips: demo."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from gradecut.cli.boundary import guarded, say, show_json, show_progress, show_table
from gradecut.cli.doors import AsJson
from gradecut.records import PartRate, RepLine

if TYPE_CHECKING:
    from gradecut.workflows.demo import Demo

__all__ = ["demo"]


@guarded
def demo(
    out: Annotated[Path, typer.Option(help="Where its files go.")] = Path("exports/demo"),
    as_json: AsJson = False,
) -> None:
    """Do the whole job on the sample clips: book, fits, grades, sheet, board, reels, report.

    Example: gradecut demo --out exports/demo
    """
    from gradecut.workflows.demo import run_demo

    with show_progress(quiet=as_json) as progress:
        done = run_demo(out, progress=progress)
    if as_json:
        show_json(
            {
                "clips": done.clips,
                "reps": done.reps,
                "graded": done.graded,
                "right": done.right,
                "cannot_grade": done.cannot_grade,
                "reaction_median_ms": done.reaction_median_ms,
                "files": [str(path) for path, _ in done.files],
                "notes": list(done.notes),
            }
        )
        return
    say(_summary(done), "")
    _show_men(done.lines)
    say("")
    show_table(["file", "what it is"], [[str(path), what] for path, what in done.files])
    say(*done.notes)


def _summary(done: Demo) -> str:
    """Say in one sentence what the job came to."""
    told = (
        f"{done.clips} plays, {done.reps} reps: {done.graded} graded, {done.right} right, "
        f"{done.cannot_grade} can't be graded"
    )
    median_ms = done.reaction_median_ms
    return f"{told}; first step {median_ms:.0f} ms after the snap (median)." if median_ms else told


def _show_men(lines: Sequence[RepLine]) -> None:
    """Show each man's fits with reps and interval, and his reactions."""
    from gradecut.records import Rubric
    from gradecut.reports import standings

    rows = []
    for man in standings(lines, Rubric()):
        fit, reaction = man.cell.fit, man.reaction
        rows.append(
            [
                f"{man.name} {man.position} {man.number}".strip(),
                man.cell.n,
                man.cell.passed,
                man.cell.examined,
                man.cell.right,
                f"{100 * fit.rate:.0f} %" if fit.rate is not None else "–",
                _interval(fit),
                man.cell.cannot,
                f"{reaction.time_ms:.0f} ± {reaction.frame_ms:.0f} ms (n {reaction.n})"
                if reaction
                else "–",
            ]
        )
    show_table(
        ["player", "graded", "at speed", "closely", "right", "rate", "95 %", "can't grade",
         "first step, median"],
        rows,
    )  # fmt: skip


def _interval(part: PartRate) -> str:
    """Write a rate's interval; a dash where there is none."""
    if part.low is None or part.high is None or part.rate is None:
        return "–"
    return f"{100 * part.low:.0f}–{100 * part.high:.0f} %"
