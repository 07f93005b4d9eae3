"""The command that prints a scheme for the meeting room: scheme sheet."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gradecut.cli.boundary import guarded, say
from gradecut.errors import GradecutError

__all__ = ["sheet"]


@guarded
def sheet(
    file: Annotated[Path, typer.Argument(help="A scheme file.")],
    out: Annotated[Path, typer.Option("--out", help="The folder for the sheets.")],
    man: Annotated[
        list[str] | None, typer.Option("--man", help="Whose sheet; more than once for several.")
    ] = None,
) -> None:
    """Write a fit sheet for each graded man: one page to print, his looks drawn.

    Example: gradecut scheme sheet harbor.toml --man Keel --out sheets
    """
    from gradecut.scheme import load_scheme
    from gradecut.workflows.fit_sheets import write_fit_sheets

    scheme = load_scheme(file)
    men = man or [one.name for one in scheme.positions.values() if one.graded]
    if not men:
        raise GradecutError(f"{file}: no man is graded, so there is none to write a sheet for.")
    say(*(str(path) for path in write_fit_sheets(scheme, men, out)))
