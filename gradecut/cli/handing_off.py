"""Commands between two coaches: hand, take."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from gradecut.cli.boundary import guarded, say, show_json
from gradecut.cli.doors import AsJson, BookPath, Grader, SessionName, opened, session_ids

if TYPE_CHECKING:
    from gradecut.workflows.differences import Difference, Differences

__all__ = ["hand", "take"]

_LISTED = 40
"""So many differences of a kind are written out; --json has them all."""


@guarded
def hand(
    book: BookPath,
    to: Annotated[Path, typer.Option("--to", help="The file to write (.hand).")],
    session: SessionName = "",
    grader: Grader = "",
    as_json: AsJson = False,
) -> None:
    """Hand one coach's grades over to another's book: one file, without film.

    Example: gradecut hand herons.gradecut --to alder.hand --grader "J. Alder"
    """
    from gradecut.workflows.handing_off import write_hand_off

    with opened(book, grader) as opened_book:
        done = write_hand_off(opened_book, to, session_ids=session_ids(opened_book, session))
    if as_json:
        show_json(asdict(done))
        return
    say(f"Written: {done.path} ({done.grader}: {done.words})", *done.cautions)


@guarded
def take(
    book: BookPath,
    file: Annotated[Path, typer.Argument(help="A colleague's hand-off (.hand).")],
    show: Annotated[
        bool, typer.Option("--show", help="Only show what differs; nothing is stored.")
    ] = False,
    his: Annotated[
        bool,
        typer.Option(
            "--his", help="Take his word too where a row of his was changed here by another."
        ),
    ] = False,
    grader: Grader = "",
    as_json: AsJson = False,
) -> None:
    """Take a colleague's grades into this book, beside your own; undone as one act.

    Example: gradecut take herons.gradecut alder.hand --show
    """
    from gradecut.workflows.taking import differences, read_hand_off, take_hand_off

    told = read_hand_off(file)
    with opened(book, grader) as opened_book:
        held = differences(opened_book, told)
        keys = [one.key for one in held.conflicting] if his else []
        done = None if show else take_hand_off(opened_book, told, theirs=keys)
    if as_json:
        show_json({"differences": _plain(held), "taken": asdict(done) if done else None})
        return
    _say_differences(held)
    if done is None:
        say("Nothing was stored.")
    else:
        say(done.words)


def _say_differences(held: Differences) -> None:
    say(*held.words, *held.notes)
    for heading, some in (
        ("Seen differently here", held.disputed),
        ("Judged otherwise here", held.otherwise),
        ("Changed here by somebody else", held.conflicting),
        ("Changed by him since", held.changed),
        ("Taken back by him", held.withdrawn),
        ("New", held.new),
    ):
        _say_some(heading, some)
    if held.left:
        say("Can't be taken:", *(f"  {sentence}" for sentence in held.left))
    say(*held.cautions)


def _say_some(heading: str, some: tuple[Difference, ...]) -> None:
    if not some:
        return
    say(f"{heading}:", *(f"  {one.session}: {one.words}" for one in some[:_LISTED]))
    if len(some) > _LISTED:
        say(f"  and {len(some) - _LISTED} more; --json lists them all")


def _plain(held: Differences) -> dict[str, Any]:
    told = asdict(held)
    for kind in ("new", "changed", "withdrawn", "conflicting", "disputed", "otherwise"):
        for row, one in zip(told[kind], getattr(held, kind), strict=True):
            row["words"] = one.words
    return told
