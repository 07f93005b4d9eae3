"""Players against situations, counted from the reps."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from gradecut.grading.rates import part_rates
from gradecut.grading.situations import situations_of
from gradecut.records import Board, BoardCell, PartRate, Player, RepLine
from gradecut.records.rubric import Rubric

if TYPE_CHECKING:
    import pandas as pd

__all__ = ["ALL_RUNS", "GROUP", "board", "board_frame", "film_order", "number_worn"]

ALL_RUNS = "all runs"
GROUP = "the group"


def film_order(line: RepLine) -> tuple[str, str, int, str, str]:
    """Return a key that sorts reps by day, session, play, position."""
    return (
        line.session.day,
        line.session.id,
        line.clip.order,
        line.rep.position,
        line.rep.id,
    )


def number_worn(player: Player, lines: Sequence[RepLine]) -> str:
    """Return the number he wears on these reps: the practice one unless a game is among them."""
    return player.worn(game=any(line.session.kind == "game" for line in lines))


def board(
    lines: Sequence[RepLine],
    *,
    rubric: Rubric,
    by: Sequence[str] = ("concept",),
    players: Sequence[Player] | None = None,
) -> Board:
    """Tabulate runs: each player against each situation, with n and interval in every cell.

    Parameters
    ----------
    lines : sequence of RepLine
        In any order; reps of plays other than runs are left out.
    rubric : Rubric
    by : sequence of str
        What the columns are cut by: facts of the look, or "run side", "position",
        "period", "session", "fit", "lined up"; several are joined ("power to").
    players : sequence of Player or None
        Their order; None for roster order. Men without a rep are left out.

    Returns
    -------
    Board
        Situations in order of first appearance in the film, those of one kind together with
        the run to him before the run away, "all runs" last. One that is
        not fully known ("power, side not known", as of a man without a side) has a column
        once a rep in it was judged; until then its reps are counted among all runs only.

    Raises
    ------
    LookError
        When no look says anything of a name in ``by``.
    """
    runs = sorted((line for line in lines if line.clip.kind == "run"), key=film_order)
    situations = situations_of(runs, by) if by else []
    shown = {
        told
        for (told, known), line in zip(situations, runs, strict=bool(by))
        if known or _is_judged(line)
    }
    named = _sides_together(dict.fromkeys(told for told, _ in situations), by)
    columns = [told for told in named if told in shown]
    cells: dict[tuple[str, str], list[RepLine]] = {}
    group: dict[str, list[RepLine]] = {column: [] for column in (*columns, ALL_RUNS)}
    for at, line in enumerate(runs):
        own = [told for told, _ in situations[at : at + 1] if told in shown]
        for column in (*own, ALL_RUNS):
            cells.setdefault((line.player.id, column), []).append(line)
            group[column].append(line)
    men = _in_order(runs, players)
    return Board(
        by=tuple(by),
        columns=(*columns, ALL_RUNS),
        rows=tuple((man.id, man.name, _worn(man, cells[man.id, ALL_RUNS])) for man in men),
        cells={place: _cell(held, rubric) for place, held in cells.items()},
        group={column: _cell(held, rubric) for column, held in group.items()},
        good=rubric.good,
    )


def _sides_together(situations: Iterable[str], by: Sequence[str]) -> list[str]:
    """Put situations that differ in the run's side beside each other, to him before away."""
    told = list(situations)
    if len(by) < 2 or by[-1] != "run side":
        return told
    kinds = [_without_side(one)[0] for one in told]
    return sorted(told, key=lambda one: (kinds.index(_without_side(one)[0]), _without_side(one)[1]))


def _without_side(situation: str) -> tuple[str, int]:
    """Return a situation without its last part, the run's side, and where that side comes."""
    for place, ending in enumerate((" to", " away")):
        if situation.endswith(ending):
            return situation.removesuffix(ending), place
    return situation.rpartition(",")[0], 2


def _is_judged(line: RepLine) -> bool:
    """Tell whether a rep has something to count: a fit, or that it can't be graded."""
    return line.grade is not None and line.grade.fit_result != "not graded"


def _in_order(lines: Sequence[RepLine], players: Sequence[Player] | None) -> list[Player]:
    """Return the men of some reps in the order asked for, the rest in roster order."""
    men = {line.player.id: line.player for line in lines}
    first = [man.id for man in players or () if man.id in men]
    return [men[key] for key in (*first, *sorted(men.keys() - set(first)))]


def _worn(man: Player, lines: Sequence[RepLine]) -> str:
    """Write a man's position and number, as far as they are known."""
    position = man.position or Counter(line.rep.position for line in lines).most_common(1)[0][0]
    return f"{position} {number_worn(man, lines)}".strip()


def _cell(lines: Sequence[RepLine], rubric: Rubric) -> BoardCell:
    """Count some reps."""
    results = Counter(line.grade.fit_result if line.grade else "open" for line in lines)
    how = Counter(line.grade.how for line in lines if line.grade and line.grade.fitted)
    rates = part_rates(lines, rubric)
    return BoardCell(
        right=results["right"],
        half=results["half"],
        wrong=results["wrong"],
        passed=how["passed"],
        examined=how["examined"],
        cannot=results["cannot grade"],
        open=results["open"],
        not_owed=results["not graded"],
        fit=rates["fit"],
        technique=rates["technique"],
        effort=rates["effort"],
        rep_ids=tuple(line.rep.id for line in lines),
        clip_ids=tuple(dict.fromkeys(line.clip.id for line in lines)),
    )


def board_frame(board: Board) -> pd.DataFrame:
    """Write a board as a long table, one row for each player and situation.

    Returns
    -------
    pandas.DataFrame
        Columns player, number, position, situation (text; the group's number and position
        are empty), n, right, half, wrong, passed, examined, cannot_grade, open, not_owed,
        technique_n, effort_n (whole numbers) and rate, low, high and the same for
        technique and effort (shares from 0 to 1; NaN where n is 0).
    """
    import pandas as pd

    rows = [
        _row(name, worn, column, board.cells[key, column])
        for key, name, worn in board.rows
        for column in board.columns
        if (key, column) in board.cells
    ]
    rows += [_row(GROUP, "", column, board.group[column]) for column in board.columns]
    return pd.DataFrame(rows)


def _row(name: str, worn: str, situation: str, cell: BoardCell) -> dict[str, str | float]:
    """Lay one cell out."""
    position, space, number = worn.rpartition(" ")
    if not (space and number.isdigit()):
        position, number = worn, ""
    return {
        "player": name,
        "number": number,
        "position": position,
        "situation": situation,
        "n": cell.n,
        "right": cell.right,
        "half": cell.half,
        "wrong": cell.wrong,
        **_rate_columns("", cell.fit),
        "passed": cell.passed,
        "examined": cell.examined,
        "cannot_grade": cell.cannot,
        "open": cell.open,
        "not_owed": cell.not_owed,
        **_rate_columns("technique_", cell.technique),
        "technique_n": cell.technique.n,
        "technique_cannot": cell.technique.cannot,
        **_rate_columns("effort_", cell.effort),
        "effort_n": cell.effort.n,
        "effort_cannot": cell.effort.cannot,
    }


def _rate_columns(prefix: str, part: PartRate) -> dict[str, float]:
    """Lay a rate and its interval out; NaN where there is none."""
    told = {"rate": part.rate, "low": part.low, "high": part.high}
    return {
        f"{prefix}{name}": float("nan") if value is None else value for name, value in told.items()
    }
