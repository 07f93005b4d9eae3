"""The command that adds film, and what comes with it: add."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from gradecut.book import Book
from gradecut.cli.add_asked import AddAsked
from gradecut.cli.add_ways import add_card, add_films, add_recording, match_sound, tell_doubt
from gradecut.cli.boundary import guarded, say, show_progress
from gradecut.cli.doors import BookPath, Grader, SessionName, choose_plays, opened
from gradecut.counting_words import counted
from gradecut.progress import Progress

__all__ = ["add"]


@guarded
def add(
    book: BookPath,
    places: Annotated[
        list[Path] | None,
        typer.Argument(
            help="Films, or folders of films, one film a play: card/ end/01.mp4. What is no film "
            "is told and passed over; add the same again once it is good, and it goes to its play."
        ),
    ] = None,
    session: SessionName = "",
    angle: Annotated[str, typer.Option(help="end, side, or your own word: --angle side.")] = "end",
    kind: Annotated[
        str, typer.Option(help="practice, scrimmage or game; practice when left out: --kind game.")
    ] = "",
    day: Annotated[str, typer.Option(help="Its date: --day 2026-10-06.")] = "",
    card: Annotated[
        Path | None,
        typer.Option(
            metavar="FOLDER",
            help="The place named is a camera card: copy its films to this folder, read each "
            "copy back, and add it at once, such as --card films/tuesday.",
        ),
    ] = None,
    long: Annotated[
        bool,
        typer.Option(
            "--long",
            help="The one film named is a long recording: propose its plays. With --take they "
            "are added; with --plays-out plays.csv written to be corrected.",
        ),
    ] = False,
    take: Annotated[
        bool, typer.Option("--take", help="Add the plays proposed: film.mp4 --long --take.")
    ] = False,
    plays: Annotated[
        Path | None,
        typer.Option(
            help="The plays of a long recording from a sheet: --long --plays plays.csv. Take a "
            "line out and that play is dropped: those after it count on. Empty its times only and "
            "it keeps its number, as a play this film does not show."
        ),
    ] = None,
    plays_out: Annotated[
        Path | None,
        typer.Option(help="Write the plays proposed into a sheet: --long --plays-out plays.csv."),
    ] = None,
    pair: Annotated[
        str,
        typer.Option(
            help="Where order does not tell which play a film of a further angle shows: "
            "--pair proposed takes what is proposed, --pair order goes by order."
        ),
    ] = "",
    sync: Annotated[
        bool,
        typer.Option(
            "--sync", help="Put this angle beside the other by sound: --angle side --sync."
        ),
    ] = False,
    check_pairing: Annotated[
        bool,
        typer.Option(
            "--check-pairing",
            help="Say whether snaps, whistles and sound contradict how this angle's films are "
            "paired: --angle side --check-pairing. Nothing is moved.",
        ),
    ] = False,
    script: Annotated[
        Path | None, typer.Option(help="The practice script, a CSV sheet: --script script.csv.")
    ] = None,
    from_play: Annotated[
        int | None, typer.Option(min=1, help="Match the script from this play on: --from-play 5.")
    ] = None,
    from_number: Annotated[
        int | None,
        typer.Option(help="The script number that play really was: --from-number 6."),
    ] = None,
    without: Annotated[
        str, typer.Option(help="Plays this angle has no film of: --without 2-4,7.")
    ] = "",
    damaged: Annotated[
        bool, typer.Option("--damaged", help="Take films whose end is cut off: 02.mp4 --damaged.")
    ] = False,
    move: Annotated[
        str, typer.Option(help="Move this angle's films along: FROM_PLAY:BY, such as --move 5:1.")
    ] = "",
    drop: Annotated[
        str,
        typer.Option(
            help="Take plays no work rests on out of the book again: --drop 7, or --drop 2-4,7. "
            "Film files are left alone."
        ),
    ] = "",
    move_script: Annotated[
        str,
        typer.Option(
            metavar="FROM_PLAY:BY",
            help="Move what the script said along the plays: 5:1 where play 5 is not on it, 5:-1 "
            "where a line before it was not run. What was marked stays.",
        ),
    ] = "",
    check_script: Annotated[
        bool,
        typer.Option(
            "--check-script",
            help="Say whether the script lies beside the wrong plays, and why. Nothing is moved.",
        ),
    ] = False,
    roster: Annotated[
        Path | None, typer.Option(help="A roster to bring in: --roster roster.csv.")
    ] = None,
    scheme: Annotated[
        Path | None, typer.Option(help="A scheme to put in force: --scheme harbor.toml.")
    ] = None,
    grader: Grader = "",
) -> None:
    """Add film, a script, a roster or a scheme; move or drop what was added.

    Example: gradecut add herons.gradecut card/ --session Tuesday --angle end --script script.csv
    """
    asked = AddAsked(
        places=tuple(places or ()), session=session, angle=angle, kind=kind, day=day, card=card,
        long=long, take=take, plays=plays, plays_out=plays_out, pair=pair, sync=sync,
        check_pairing=check_pairing,
        script=script, from_play=from_play, from_number=from_number, without=without,
        damaged=damaged, move=move, drop=drop, roster=roster, scheme=scheme,
        move_script=move_script, check_script=check_script,
    )  # fmt: skip
    asked.check()
    with opened(book, grader) as opened_book, show_progress() as progress:
        if asked.card is not None or asked.long:
            with opened_book.act("bring things in"):
                say(*_bring_beside(opened_book, asked))
            copy_or_cut = add_recording if asked.long else add_card
            copy_or_cut(opened_book, asked, progress)
        else:
            with opened_book.act("bring things in"):
                done = [
                    *_bring_beside(opened_book, asked),
                    *_bring_film(opened_book, asked, progress),
                ]
            say(*done)
        if asked.sync:
            match_sound(opened_book, asked, progress)
        if asked.check_pairing:
            tell_doubt(opened_book, asked, progress)


def _bring_beside(book: Book, asked: AddAsked) -> list[str]:
    """Put a scheme in force and bring a roster in."""
    from gradecut.workflows.booking import adopt_scheme
    from gradecut.workflows.roster import add_roster

    done: list[str] = []
    if asked.scheme:
        version = adopt_scheme(book, asked.scheme)
        done.append(f"{version.name or asked.scheme.name} is in force.")
    if asked.roster:
        done.append(f"{counted(len(add_roster(book, asked.roster)), 'player')} brought in.")
    return done


def _bring_film(book: Book, asked: AddAsked, progress: Progress) -> list[str]:
    """Add films, match a script, move an angle's films."""
    from gradecut.workflows.adding import find_session, script_session, shift_pairing

    done: list[str] = []
    if asked.places:
        done += add_films(book, asked, progress)
    elif asked.script:
        matched = script_session(
            book, asked.session, asked.script,
            from_play=asked.from_play or 1, from_number=asked.from_number,
        )  # fmt: skip
        done.append(f"{counted(matched, 'play')} matched to the script.")
    if asked.drop:
        done.append(_drop(book, asked))
    if asked.move:
        start, by = asked.moved
        home = find_session(book, asked.session)
        moved = shift_pairing(book, home, asked.angle, from_play=start, by=by)
        done.append(f"{counted(moved, f'{asked.angle} film')} moved by {by} from play {start} on.")
    return [*done, *_script_ways(book, asked)]


def _script_ways(book: Book, asked: AddAsked) -> list[str]:
    """Move what the script said, then tell whether it lies beside the wrong plays."""
    from gradecut.workflows.adding import find_session
    from gradecut.workflows.script import shift_script
    from gradecut.workflows.script_drift import find_drift

    done: list[str] = []
    if asked.move_script:
        start, by = asked.script_moved
        home = find_session(book, asked.session)
        moved = shift_script(book, home, from_play=start, by=by)
        done.append(
            f"The script moved by {by} from play {start} on; {counted(moved, 'play')} changed."
        )
    if asked.check_script:
        drift = find_drift(book, find_session(book, asked.session))
        if drift is None:
            return [*done, "Nothing tells that the script lies beside the wrong plays."]
        done += [f"{drift.what} {drift.sure.capitalize()}.", *drift.evidence]
    return done


def _drop(book: Book, asked: AddAsked) -> str:
    """Take plays out of the book, all of them or none."""
    from gradecut.workflows.dropping import drop_play

    plays = list(dict.fromkeys(asked.dropped))
    clips = [clip for play in plays for clip in choose_plays(book, asked.session, play)]
    for clip in clips:
        drop_play(book, clip)
    return f"{counted(len(clips), 'play')} dropped from {asked.session}."
