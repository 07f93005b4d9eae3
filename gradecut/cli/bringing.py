"""Commands that bring things into a book: new, look, record."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gradecut.cli.boundary import guarded, say, show_json, show_table
from gradecut.cli.doors import (
    AsJson,
    BookPath,
    Grader,
    SessionName,
    choose_plays,
    opened,
    read_facts,
)
from gradecut.counting_words import counted
from gradecut.errors import GradecutError
from gradecut.workflows.roster import computer_user

__all__ = ["look", "new", "record"]


@guarded
def new(
    book: BookPath,
    name: Annotated[str, typer.Option(help="The team's or the book's name.")] = "",
    season: Annotated[str, typer.Option(help="The season, in your own words.")] = "",
    scheme: Annotated[Path | None, typer.Option(help="Your scheme file.")] = None,
    roster: Annotated[Path | None, typer.Option(help="Your roster, a CSV sheet.")] = None,
    grader: Grader = "",
) -> None:
    """Start a book.

    Example: gradecut new herons.gradecut --name Herons --scheme harbor.toml --roster roster.csv
    """
    from gradecut.workflows.booking import new_book

    with new_book(
        book,
        name=name or book.stem,
        season=season,
        author=grader or computer_user(),
        scheme=scheme,
        roster=roster,
    ):
        say(f"{book}: a new book.")


@guarded
def look(
    book: BookPath,
    told: Annotated[
        list[str] | None,
        typer.Argument(metavar="[FACT=VALUE ...]", help="Facts to tell, or one CSV sheet."),
    ] = None,
    play: Annotated[int, typer.Option(help="Which play.")] = 0,
    session: SessionName = "",
    grader: Grader = "",
    as_json: AsJson = False,
) -> None:
    """Show the looks of a session, or tell facts of one.

    Example: gradecut look herons.gradecut --session Tuesday --play 3 back=left surface.left=3
    """
    from gradecut.workflows.booking import scheme_in_force
    from gradecut.workflows.looks import look_of, read_value, spell_value, tell_facts
    from gradecut.workflows.recording import record_looks

    words = told or []
    sheet = words[0] if len(words) == 1 and "=" not in words[0] else None
    facts = read_facts(words) if sheet is None else {}
    with opened(book, grader) as opened_book:
        scheme = scheme_in_force(opened_book)
        if scheme is None:
            raise GradecutError(
                f"{book}: there is no scheme in this book yet, so it asks no facts."
            )
        if sheet is not None:
            looks_told = record_looks(opened_book, sheet).looks
            if as_json:
                show_json({"looks": looks_told})
            else:
                say(f"{counted(looks_told, 'look')} recorded.")
            return
        clips = choose_plays(opened_book, session, play)
        if facts:
            if len(clips) != 1:
                raise typer.BadParameter("Say which one play with --session and --play.")
            values = {key: read_value(scheme.fact_of(key), text) for key, text in facts.items()}
            tell_facts(opened_book, scheme, clips[0], values, source="marked")
        looks = [(clip, look_of(opened_book, clip.id)) for clip in clips]
    if as_json:
        show_json([{"play": clip.order, "look": known} for clip, known in looks])
        return
    rows = [
        [clip.order, *(spell_value(known.get(key, "–")) for key in scheme.references)]
        for clip, known in looks
    ]
    show_table(["play", *scheme.references], rows)


@guarded
def record(
    book: BookPath,
    sheet: Annotated[Path | None, typer.Argument(help="Your observations, a CSV sheet.")] = None,
    columns: Annotated[bool, typer.Option(help="Show the columns a sheet may have.")] = False,
    grader: Grader = "",
) -> None:
    """Record observations from a sheet: who did what on which play, at which frame.

    The column did holds "right", the fit he played instead, or the miss. The column lined_up
    holds how he stood at the snap: "right", "can't tell", or how he was off ("too deep", "too
    shallow", "too wide", "too tight", "wrong side"; two apart by ";"). It is counted by itself
    and changes no grade; the scheme must ask an alignment of him on that look.

    Example: gradecut record herons.gradecut tuesday.csv --grader "J. Alder"
    """
    from gradecut.workflows.booking import scheme_in_force
    from gradecut.workflows.recording import observation_columns, record_observations

    if sheet is None and not columns:
        raise typer.BadParameter("Name a sheet, or ask for its --columns.")
    with opened(book, grader) as opened_book:
        if sheet is None:
            say(",".join(observation_columns(scheme_in_force(opened_book))))
            return
        done = record_observations(opened_book, sheet)
    say(
        f"{counted(done.lines, 'line')}: {counted(done.judged, 'rep')} judged, "
        f"{counted(done.moments, 'moment')} marked."
    )
