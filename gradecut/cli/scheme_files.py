"""Commands that hand a scheme's grid out as a sheet and take one in: scheme grid, scheme take."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from gradecut.cli.boundary import guarded, say
from gradecut.counting_words import counted

if TYPE_CHECKING:
    from gradecut.scheme import Scheme

__all__ = ["grid", "take"]


@guarded
def grid(
    file: Annotated[Path, typer.Argument(help="A scheme file.")],
    out: Annotated[Path, typer.Option("--out", help="The sheet: a .csv or .xlsx.")],
) -> None:
    """Write a scheme's grid as a sheet: a line for each look, a column for each man.

    Example: gradecut scheme grid harbor.toml --out grid.xlsx
    """
    from gradecut.scheme import load_scheme
    from gradecut.scheme.grid import grid_of
    from gradecut.workflows.grid_sheets import write_grid

    scheme = load_scheme(file)
    write_grid(scheme, out)
    laid_out = grid_of(scheme)
    say(f"{out}: {counted(len(laid_out.rows), 'row')} for {', '.join(laid_out.men) or 'nobody'}.")


@guarded
def take(
    file: Annotated[Path, typer.Argument(help="The scheme file the sheet was written from.")],
    sheet: Annotated[Path, typer.Option("--from", help="The sheet: a .csv or .xlsx.")],
    out: Annotated[Path, typer.Option("--out", help="The new scheme file.")],
) -> None:
    """Take a changed grid back into the scheme; comments and order of the file stay.

    Example: gradecut scheme take harbor.toml --from grid.xlsx --out harbor-2.toml
    """
    from gradecut.outfile import check_goal, whole_file
    from gradecut.scheme import load_scheme, parse_scheme
    from gradecut.workflows.grid_sheets import read_grid

    scheme = load_scheme(file)
    goal = check_goal(out, endings=(".toml",), what="a scheme")
    text = read_grid(scheme, sheet)
    with whole_file(goal) as draft:
        draft.write_bytes(text.encode("utf-8"))
    said, before = _said(parse_scheme(text, str(out))), _said(scheme)
    changed = sum(said[name] != before[name] for name in said.keys() & before.keys())
    say(
        f"{out}: {counted(changed, 'rule')} changed, "
        f"{counted(len(said.keys() - before.keys()), 'rule')} added, "
        f"{counted(len(before.keys() - said.keys()), 'rule')} dropped."
    )


def _said(scheme: Scheme) -> dict[str, tuple[object, ...]]:
    return {
        rule.id: (frozenset(rule.men), rule.tier, rule.when, rule.fit, rule.also, rule.cue)
        for rule in scheme.rules
    }
