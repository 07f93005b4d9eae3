"""Commands that bring things into a book: new, add, look, record."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from gradecut.cli.boundary import counted, guarded, say, show_json, show_progress, show_table
from gradecut.cli.doors import (
    AsJson,
    BookPath,
    Grader,
    SessionName,
    choose_plays,
    computer_user,
    opened,
    read_facts,
    read_plays,
)
from gradecut.errors import GradecutError

if TYPE_CHECKING:
    from gradecut.workflows.adding import Added

__all__ = ["add", "look", "new", "record"]


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
def add(
    book: BookPath,
    places: Annotated[
        list[Path] | None, typer.Argument(help="Films, or folders of films, one film a play.")
    ] = None,
    session: SessionName = "",
    angle: Annotated[str, typer.Option(help="end, side, or your own word.")] = "end",
    kind: Annotated[
        str, typer.Option(help="practice, scrimmage or game; a new session is a practice.")
    ] = "",
    day: Annotated[str, typer.Option(help="Its date, such as 2026-10-06.")] = "",
    script: Annotated[Path | None, typer.Option(help="The practice script, a CSV sheet.")] = None,
    from_play: Annotated[
        int | None, typer.Option(min=1, help="Match the script from this play on.")
    ] = None,
    from_number: Annotated[
        int | None, typer.Option(help="The script number that play really was.")
    ] = None,
    without: Annotated[str, typer.Option(help="Plays this angle has no film of: 2-4,7.")] = "",
    damaged: Annotated[
        bool, typer.Option("--damaged", help="Take films in whose end is cut off.")
    ] = False,
    move: Annotated[
        str, typer.Option(help="Move this angle's films along: FROM_PLAY:BY, such as 5:1.")
    ] = "",
    roster: Annotated[Path | None, typer.Option(help="A roster to bring in.")] = None,
    scheme: Annotated[Path | None, typer.Option(help="A scheme to put in force.")] = None,
    grader: Grader = "",
) -> None:
    """Add film, a script, a roster or a scheme.

    Example: gradecut add herons.gradecut card/ --session Tuesday --angle end --script script.csv
    """
    from gradecut.workflows.adding import add_film, find_session, script_session, shift_pairing
    from gradecut.workflows.booking import adopt_scheme
    from gradecut.workflows.roster import add_roster

    if not (places or script or move or roster or scheme):
        raise typer.BadParameter("Name films, a script, a roster, a scheme or a move.")
    if (places or script or move) and not session:
        raise typer.BadParameter("Say which session with --session.")
    _check_together(places, script, kind, day, without, damaged, from_play, from_number)
    missed, shift = read_plays(without), _read_move(move) if move else None
    _check_day(day)
    done: list[str] = []
    with (
        opened(book, grader) as opened_book,
        show_progress() as progress,
        opened_book.act("bring things in"),
    ):
        if scheme:
            version = adopt_scheme(opened_book, scheme)
            done.append(f"{version.name or scheme.name} is in force.")
        if roster:
            done.append(f"{counted(len(add_roster(opened_book, roster)), 'player')} brought in.")
        if places:
            added = add_film(
                opened_book,
                places,
                session=session,
                kind=kind or None,  # type: ignore[arg-type]  # checked above
                day=day,
                angle=angle,
                script=script,
                from_play=from_play,
                from_number=from_number,
                without=missed,
                damaged=damaged,
                progress=progress,
            )
            done += _told_of_film(added, angle, scripted=script is not None)
        elif script:
            matched = script_session(
                opened_book, session, script, from_play=from_play or 1, from_number=from_number
            )
            done.append(f"{counted(matched, 'play')} matched to the script.")
        if shift:
            start, by = shift
            home = find_session(opened_book, session)
            moved = shift_pairing(opened_book, home, angle, from_play=start, by=by)
            done.append(f"{counted(moved, f'{angle} film')} moved by {by} from play {start} on.")
    say(*done)


def _told_of_film(added: Added, angle: str, *, scripted: bool) -> list[str]:
    what = f"{counted(added.clips, 'new play')}, {counted(added.angles, f'{angle} film')}"
    script = f", {added.scripted} matched to the script" if scripted else ""
    return [f"{added.session.name}: {what}{script}.", *added.notes]


def _check_together(
    places: list[Path] | None,
    script: Path | None,
    kind: str,
    day: str,
    without: str,
    damaged: bool,
    from_play: int | None,
    from_number: int | None,
) -> None:
    """Refuse a word that would do nothing, because what it goes with is not there."""
    if not places and (kind or day or without or damaged):
        raise typer.BadParameter("--kind, --day, --without and --damaged go with films; name some.")
    if script is None and (from_play is not None or from_number is not None):
        raise typer.BadParameter("--from-play and --from-number go with a --script; name one.")
    if kind not in ("", "practice", "scrimmage", "game"):
        raise typer.BadParameter("A session is a practice, a scrimmage or a game.")


def _check_day(day: str) -> None:
    try:
        date.fromisoformat(day or "2026-10-06")
    except ValueError as error:
        raise typer.BadParameter("Write the day as 2026-10-06.") from error


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


def _read_move(text: str) -> tuple[int, int]:
    start, colon, by = text.partition(":")
    try:
        if colon:
            return int(start), int(by)
    except ValueError:
        pass
    raise typer.BadParameter("Write a move as FROM_PLAY:BY, such as 5:1 or 5:-1.")
