"""Commands that change a book's scheme: scheme compare, keep, versions, back, regrade, met."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from gradecut.cli.boundary import guarded, say, show_json, show_progress, show_table
from gradecut.cli.doors import AsJson, BookPath, Grader, opened
from gradecut.counting_words import counted
from gradecut.errors import GradecutError

if TYPE_CHECKING:
    from gradecut.book import Book
    from gradecut.scheme import Scheme
    from gradecut.workflows.regrading import Regraded

__all__ = ["back", "compare", "keep", "met", "regrade", "versions"]

SchemeFile = Annotated[Path, typer.Argument(help="A scheme file.")]


@guarded
def compare(book: BookPath, file: SchemeFile, grader: Grader = "", as_json: AsJson = False) -> None:
    """Say what a changed scheme would do to reps already graded; nothing is kept.

    Example: gradecut scheme compare herons.gradecut harbor-2.toml
    """
    from gradecut.scheme import load_scheme
    from gradecut.workflows.scheme_changes import change_effects

    scheme = load_scheme(file)
    with opened(book, grader) as opened_book, show_progress(quiet=as_json) as progress:
        told = change_effects(opened_book, scheme, author=grader or None, progress=progress)
    if as_json:
        show_json(asdict(told))
        return
    say(*told.words)
    if told.turned:
        show_table(
            ["play", "player", "man", "owed", "would owe", "result", "would be"],
            [
                [one.play, one.player, one.position, one.was, one.now, one.result_was,
                 one.result_now or "to be judged again"]
                for one in told.turned
            ],
        )  # fmt: skip


@guarded
def keep(book: BookPath, file: SchemeFile, grader: Grader = "", as_json: AsJson = False) -> None:
    """Keep a scheme file in the book and put it in force; earlier versions stay.

    Example: gradecut scheme keep herons.gradecut harbor-2.toml
    """
    from gradecut.scheme import load_scheme
    from gradecut.workflows.scheme_changes import keep_scheme

    text = load_scheme(file).text
    with opened(book, grader) as opened_book:
        version = keep_scheme(opened_book, text, str(file))
    if as_json:
        show_json({"scheme_id": version.id, "name": version.name, "version": version.version})
    else:
        say(f"{_named(version.name, version.version)} is in force.")


@guarded
def versions(book: BookPath, as_json: AsJson = False) -> None:
    """List every version of the scheme the book keeps.

    Example: gradecut scheme versions herons.gradecut
    """
    from gradecut.workflows.scheme_changes import versions as kept_versions

    with opened(book) as opened_book:
        kept = kept_versions(opened_book)
    if as_json:
        show_json([asdict(one) for one in kept])
        return
    show_table(
        ["number", "scheme", "came", "by", "grades", "standing", ""],
        [
            [one.number, _named(one.name, one.version), one.added_at, one.by, one.grades,
             one.standing, "in force" if one.in_force else ""]
            for one in kept
        ],
    )  # fmt: skip


@guarded
def back(
    book: BookPath,
    number: Annotated[int, typer.Argument(min=1, help="Its number in `scheme versions`.")],
    grader: Grader = "",
) -> None:
    """Put an older version of the scheme in force again.

    Example: gradecut scheme back herons.gradecut 1
    """
    from gradecut.workflows.scheme_changes import back_to
    from gradecut.workflows.scheme_changes import versions as kept_versions

    with opened(book, grader) as opened_book:
        found = [one for one in kept_versions(opened_book) if one.number == number]
        if not found:
            raise GradecutError(f"{book}: there is no version {number}; see scheme versions.")
        back_to(opened_book, found[0].scheme_id)
    say(f"{_named(found[0].name, found[0].version)} is in force.")


@guarded
def regrade(book: BookPath, grader: Grader = "", as_json: AsJson = False) -> None:
    """Judge your stale grades again by the scheme in force, from what each man did.

    Example: gradecut scheme regrade herons.gradecut --grader "J. Alder"
    """
    from gradecut.workflows.scheme_changes import regrade as judge_again

    with opened(book, grader) as opened_book, show_progress(quiet=as_json) as progress:
        done = judge_again(opened_book, progress=progress)
    if as_json:
        show_json(_done(done))
        return
    say(*done.words)
    say(*[f"Play {one.play}, {one.player}: {one.why}" for one in done.left])


@guarded
def met(
    book: BookPath,
    file: Annotated[
        Path | None, typer.Argument(help="A scheme file; the one in force when left out.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Say which looks really met on film a scheme answers badly, most frequent first.

    Example: gradecut scheme met herons.gradecut harbor-2.toml
    """
    from gradecut.records import Clip
    from gradecut.workflows.film_audit import audit_film

    with opened(book) as opened_book, show_progress(quiet=as_json) as progress:
        told = audit_film(opened_book, _scheme(opened_book, file), progress=progress)
        orders = {clip.id: clip.order for clip in opened_book.find(Clip)}
    if as_json:
        show_json({
            "well": told.well, "reps": told.reps, "low": told.low, "high": told.high,
            "open": told.open, "untold": told.untold,
            "met": [{
                "position": one.position, "look": dict(one.look), "kind": one.kind,
                "rules": one.rules, "plays": [orders[clip] for clip in one.clips],
                "clips": one.clips, "message": one.message,
            } for one in told.met],
        })  # fmt: skip
        return
    say(told.words)
    for one in told.met:
        plays = ", ".join(str(orders[clip]) for clip in one.clips)
        say(f"{counted(len(one.clips), 'play')} ({plays}): {one.message}")


def _scheme(book: Book, file: Path | None) -> Scheme:
    from gradecut.scheme import load_scheme
    from gradecut.workflows.booking import scheme_in_force

    if file is not None:
        return load_scheme(file)
    scheme = scheme_in_force(book)
    if scheme is None:
        raise GradecutError(f"{book.path}: there is no scheme in this book yet; name a file.")
    return scheme


def _named(name: str, version: str) -> str:
    return f"{name} {version}".strip() or "The scheme"


def _done(done: Regraded) -> dict[str, object]:
    return {
        "judged_again": [
            {"rep_id": new.rep_id, "was": old.fit_result, "now": new.fit_result, "did": new.did,
             "did_name": new.did_name}
            for old, new in done.grades
        ],
        "left": [asdict(one) for one in done.left],
    }  # fmt: skip
