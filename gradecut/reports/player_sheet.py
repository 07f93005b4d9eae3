"""What a player is handed: his own reps in order, what he owed, what he did."""

from __future__ import annotations

from collections.abc import Sequence
from os import PathLike
from typing import Any

from gradecut.grading import (
    ALL_RUNS,
    board,
    film_order,
    number_worn,
    reaction_note,
    worst_situations,
)
from gradecut.records import RepLine
from gradecut.records.rubric import Rubric
from gradecut.reports import wording
from gradecut.reports._pages import PLAYER, plays_of, write_page
from gradecut.reports.cautions import staff_only
from gradecut.reports.men_standings import Standing, standings

__all__ = ["write_player_sheet"]

DRILLS_SHOWN = 3
"""More than three things at once is none."""


def write_player_sheet(
    path: str | PathLike[str],
    lines: Sequence[RepLine],
    *,
    rubric: Rubric,
    title: str,
    subtitle: str = "",
    by: Sequence[str] = ("concept",),
    show_notes: bool = True,
) -> None:
    """Write one man's sheet as one HTML file that needs no network and prints on A4 or Letter.

    A man under 18 without consent gets a banner that the sheet must not leave the staff.
    No other player is named, and nothing of his health.

    Parameters
    ----------
    lines : sequence of RepLine
        All of one player; at least one.
    title, subtitle : str
        The session or week; his name stands first.
    by : sequence of str
        What his situations are cut by, as in `gradecut.grading.board`.
    show_notes : bool
        Print the coach's notes.

    Raises
    ------
    ValueError
        When the lines are of no player or of several.
    LookError
        When no look says anything of a name in ``by``.
    OutputError
        When the file can't be written there.
    """
    if len({line.player.id for line in lines}) != 1:
        raise ValueError("A player's sheet is made from the reps of one player.")
    ordered = sorted(lines, key=film_order)
    player = ordered[0].player
    man = standings(ordered, rubric)[0] if any(_is_run(line) for line in ordered) else None
    whole = board(ordered, rubric=rubric, by=by)
    worn = f"{player.position or ordered[0].rep.position} {number_worn(player, ordered)}"
    said: dict[str, Any] = {
        "title": player.name,
        "subtitle": " · ".join(text for text in (worn.strip(), title, subtitle) if text),
        "paper": "landscape",
        "width": "74rem",
        "staff_only": "" if player.may_be_shared else staff_only(player),
        "man": man,
        "rates": _rates(man),
        "lined_up": man.lined_up if man else None,
        "drills": [
            {
                "situation": drill.situation,
                "says": drill.says,
                "plays": plays_of(drill.miss_rep_ids, ordered),
                "right": plays_of(drill.right_rep_ids[-1:], ordered),
            }
            for drill in worst_situations(whole, ordered)[:DRILLS_SHOWN]
        ],
        "items": _items(ordered, rubric),
        "reps": [_rep(line, _items(ordered, rubric), show_notes) for line in ordered],
        "by": " and ".join(by),
        "situations": [
            (column, cell.fit, wording.how_many(cell))
            for column in whole.columns
            if column != ALL_RUNS and (cell := whole.group[column])
        ],
    }
    write_page(path, PLAYER, rubric, said)


def _is_run(line: RepLine) -> bool:
    """Tell whether a rep counts among the runs."""
    return line.clip.kind == "run"


def _rates(man: Standing | None) -> list[tuple[str, Any, str, str]]:
    """Lay his rates out: name, rate, what n counts, how those were judged."""
    if man is None:
        return []
    rates = [
        ("fit", man.cell.fit, "fit", wording.how_many(man.cell)),
        ("technique", man.cell.technique, "item", ""),
        ("effort", man.cell.effort, "rep", ""),
    ]
    return [*rates, ("overall", man.overall, "rep", "")] if man.overall else rates


def _items(lines: Sequence[RepLine], rubric: Rubric) -> list[str]:
    """Return the technique items graded on any of his reps, in the rubric's order."""
    graded = {item for line in lines if line.grade for item in line.grade.technique}
    return [*(item for item in rubric.technique if item in graded), *_others(graded, rubric)]


def _others(graded: set[str], rubric: Rubric) -> list[str]:
    """Return items of an older rubric."""
    return sorted(graded - set(rubric.technique))


def _rep(line: RepLine, items: Sequence[str], show_notes: bool) -> dict[str, Any]:
    """Lay one rep out."""
    grade = line.grade
    technique = grade.technique if grade else {}
    others = {part: why for part, why in (grade.cannot if grade else {}).items() if part != "fit"}
    return {
        "play": wording.play_words(line),
        "run": wording.run_words(line.look) or line.clip.kind,
        "where": line.clip.period,
        "look": wording.look_words(line.look),
        "owed": wording.owed_words(line),
        "result": grade.fit_result if grade else None,
        "result_words": wording.result_words(grade),
        "did": wording.did_words(grade) if grade else "",
        "fault": wording.fault_sentence(line),
        "lined_up": wording.lined_up_words(line.lined_up),
        "note": grade.note if grade and show_notes else "",
        "events": ", ".join(line.events),
        "cannot": "; ".join(f"{part} can't be graded: {why}" for part, why in others.items()),
        "marks": [f"{technique[item]:g}" if item in technique else "" for item in items],
        "effort": "" if grade is None or grade.effort is None else f"{grade.effort:g}",
        "step": line.reaction,
        "step_note": (line.reaction and reaction_note(line.reaction)) or "",
    }
