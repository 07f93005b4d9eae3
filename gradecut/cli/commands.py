"""All commands, gathered."""

from __future__ import annotations

import typer

from gradecut.cli import (
    adding,
    asking,
    bringing,
    checking,
    demonstrating,
    handing,
    handing_off,
    scheme_changing,
    scheme_files,
    scheme_learning,
    scheme_sheets,
    scheme_starting,
)
from gradecut.cli.boundary import speak_plainly

__all__ = ["app", "main"]

app = typer.Typer(
    name="gradecut",
    help="Cut, mark, grade and teach how a defence fits the run. Without a command: the window.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)
scheme_app = typer.Typer(help="A coach's rule file.", no_args_is_help=True, rich_markup_mode=None)
app.add_typer(scheme_app, name="scheme")

app.command()(demonstrating.demo)
app.command()(bringing.new)
app.command()(adding.add)
app.command()(bringing.look)
app.command()(bringing.record)
app.command()(asking.expect)
app.command()(asking.board)
app.command()(handing.sheet)
app.command()(handing.reel)
app.command()(handing.clip)
app.command()(handing.packet)
app.command()(handing_off.hand)
app.command()(handing_off.take)
app.command()(checking.film)
scheme_app.command()(checking.check)
scheme_app.command()(scheme_files.grid)
scheme_app.command()(scheme_files.take)
scheme_app.command()(scheme_sheets.sheet)
scheme_app.command()(scheme_changing.compare)
scheme_app.command()(scheme_changing.keep)
scheme_app.command()(scheme_changing.versions)
scheme_app.command()(scheme_changing.back)
scheme_app.command()(scheme_changing.regrade)
scheme_app.command()(scheme_changing.met)
scheme_app.command()(scheme_learning.learn)
scheme_app.command()(scheme_starting.start)


def main() -> None:
    """Run the command line."""
    speak_plainly()
    app(prog_name="gradecut")
