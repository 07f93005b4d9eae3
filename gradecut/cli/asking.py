"""Commands that answer questions: expect, board."""

from __future__ import annotations

from collections.abc import Hashable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from gradecut.cli.boundary import guarded, say, show_json, show_table
from gradecut.cli.doors import (
    AsJson,
    BookPath,
    By,
    SessionName,
    choose_plays,
    opened,
    read_facts,
    session_ids,
)
from gradecut.records import Board, BoardCell, Expectation, RepLine

if TYPE_CHECKING:
    from gradecut.workflows.rep_asked import RepAsked

__all__ = ["board", "expect"]


@guarded
def expect(
    book: Annotated[Path, typer.Argument(metavar="BOOK", help="A book, or a scheme file.")],
    told: Annotated[
        list[str] | None,
        typer.Argument(metavar="[FACT=VALUE ...]", help="With a scheme file: the look."),
    ] = None,
    session: SessionName = "",
    play: Annotated[int, typer.Option(help="One play; all when left out.")] = 0,
    as_json: AsJson = False,
) -> None:
    """Say what each man owes on each play, and why; or on a look, by a scheme file.

    Example: gradecut expect harbor.toml strength=right surface.right=3 concept=power run=right
    """
    if book.suffix.lower() == ".toml":
        _expect_by_file(book, told or [], as_json=as_json)
        return
    if told:
        raise typer.BadParameter("Facts go with a scheme file; of a book, tell them with look.")
    from gradecut.workflows.lines import rep_lines
    from gradecut.workflows.rep_asked import ask_rep

    with opened(book) as opened_book:
        clips = choose_plays(opened_book, session, play)
        lines = rep_lines(opened_book, clip_ids=[clip.id for clip in clips])
        found = [_owed(line, ask_rep(opened_book, line.rep)) for line in lines]
    if as_json:
        show_json(found)
        return
    if not found:
        which = f"play {play}" if play else "any play"
        say(f"Nobody is in on {which} yet; match a script, or put players in on the clips.")
        return
    show_table(
        ["play", "man", "player", "owes", "side", "rule", "why"],
        [
            [
                one["play"],
                one["position"],
                one["player"],
                one["fit"] or "open",
                one["side"] or "–",
                one["rule"] or "–",
                one["cue"] or one["reason"],
            ]
            for one in found
        ],
    )


@guarded
def board(
    book: BookPath,
    by: By = None,
    session: SessionName = "",
    csv: Annotated[Path | None, typer.Option("--csv", help="Write it as a CSV table.")] = None,
    as_json: AsJson = False,
) -> None:
    """Show players against situations: rate, reps and 95 % interval in every cell.

    Example: gradecut board herons.gradecut --by concept --by "run side" --csv board.csv
    """
    from gradecut.workflows.reporting import board_of, write_book_board

    cuts = tuple(by or ("concept",))
    with opened(book) as opened_book:
        wanted = session_ids(opened_book, session)
        shown, _ = board_of(opened_book, by=cuts, session_ids=wanted)
        if csv is not None:
            write_book_board(opened_book, csv, by=cuts, session_ids=wanted)
    if as_json:
        show_json(_as_json(shown))
        return
    columns = list(shown.columns)
    men: list[tuple[str, list[BoardCell | None]]] = [
        (f"{name} ({worn})", [shown.cells.get((key, column)) for column in columns])
        for key, name, worn in shown.rows
    ]
    men.append(("the group", [shown.group.get(column) for column in columns]))
    rows = [[who, *(_cell(cell) for cell in cells)] for who, cells in men]
    show_table(["right fits", *columns], rows)
    say(
        "",
        "Each cell: share of the points, n graded reps (looked at closely + at speed), 95 % "
        "interval (Wilson).",
    )
    if csv is not None:
        say(f"Written: {csv}")


def _expect_by_file(path: Path, told: list[str], *, as_json: bool) -> None:
    from gradecut.scheme import load_scheme
    from gradecut.workflows.looks import read_value

    facts = read_facts(told)
    scheme = load_scheme(path)
    look = {key: read_value(scheme.fact_of(key), text) for key, text in facts.items()}
    expected = scheme.expect_all(look)
    if as_json:
        show_json({name: _expectation(one) for name, one in expected.items()})
        return
    show_table(
        ["man", "owes", "side", "rule", "why"],
        [
            [name, one.fit or "open", one.side or "–", one.rule or "–", one.cue or one.reason]
            for name, one in expected.items()
        ],
    )


def _owed(line: RepLine, asked: RepAsked) -> dict[str, Any]:
    """Say what one man owes, by whom and why."""
    said = asked.owed
    return {
        "play": line.clip.order,
        "position": line.rep.position,
        "player": line.player.name,
        "fit": line.expected_fit,
        "side": line.expected_side,
        "rule": line.expected_rule,
        "by": "coach" if said else "scheme",
        "needs": [] if said else list(asked.expectation.needs),
        "cue": None if said else asked.expectation.cue,
        "reason": (said.reason or "The coach's word.") if said else asked.expectation.reason,
    }


def _expectation(one: Expectation) -> dict[str, Any]:
    return {
        "fit": one.fit,
        "gap": one.gap,
        "side": one.side,
        "also": list(one.also),
        "rule": one.rule,
        "tier": one.tier,
        "overrode": list(one.overrode),
        "needs": list(one.needs),
        "cue": one.cue,
        "options": [list(option) for option in one.options],
        "reason": one.reason,
    }


def _cell(cell: BoardCell | None) -> str:
    if cell is None or cell.fit.rate is None or cell.fit.low is None or cell.fit.high is None:
        return "–"
    interval = f"{100 * cell.fit.low:.0f}–{100 * cell.fit.high:.0f}"
    reps = f"{cell.examined} + {cell.passed}" if cell.passed else f"{cell.fit.n}"
    return f"{100 * cell.fit.rate:.0f} % n {reps} ({interval})"


def _as_json(shown: Board) -> list[dict[Hashable, Any]]:
    """Lay the board out as its table, with null where there is no rate."""
    from gradecut.grading import board_frame

    frame = board_frame(shown).astype(object)
    return frame.where(frame.notna(), None).to_dict(orient="records")
