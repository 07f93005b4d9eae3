"""Commands that look at one file: film, scheme check."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gradecut.cli.add_ways import STRETCH_COLUMNS, stretch_rows
from gradecut.cli.boundary import guarded, say, show_json, show_progress, show_table
from gradecut.cli.doors import AsJson
from gradecut.errors import FilmError
from gradecut.progress import Progress

__all__ = ["check", "film"]


@guarded
def film(
    file: Annotated[Path, typer.Argument(help="A film.")],
    thorough: Annotated[
        bool, typer.Option(help="Decode every frame and name those that are lost.")
    ] = False,
    plays: Annotated[
        bool,
        typer.Option("--plays", help="Propose the plays of a long recording: day.mp4 --plays."),
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Say what is in a film, and what is wrong with it (exit 1 where anything is).

    Example: gradecut film end/01.mp4 --thorough
    """
    from gradecut.film import describe_film

    with show_progress(quiet=as_json) as progress:
        facts = describe_film(file, thorough=thorough, progress=progress)
        rows = _play_rows(file, progress) if plays else []
    if as_json:
        told = [dict(zip(STRETCH_COLUMNS, row, strict=True)) for row in rows]
        show_json({**facts.as_json(), **({"plays": told} if plays else {})})
    else:
        say(*facts.lines())
        if plays:
            show_table(STRETCH_COLUMNS, rows)
    if facts.faults:
        raise FilmError(file, f"{'; '.join(facts.faults)}; copy it from the camera again.")


def _play_rows(file: Path, progress: Progress) -> list[list[object]]:
    from gradecut.workflows.cutting import propose_plays

    return stretch_rows(propose_plays(file, progress), file)


@guarded
def check(file: Annotated[Path, typer.Argument(help="A scheme file.")]) -> None:
    """Check a scheme file and tell every fault with its line.

    Example: gradecut scheme check harbor.toml
    """
    from gradecut.scheme import load_scheme

    scheme = load_scheme(file)
    men = [man.name for man in scheme.positions.values() if man.graded]
    say(
        f"{file}: no faults. {scheme.name or 'The scheme'} has {len(scheme.rules)} rules in "
        f"{len(scheme.tiers)} tiers for {len(scheme.positions)} men, of whom {len(men)} are "
        f"graded: {', '.join(men)}."
    )
