"""Commands that look at one file: film, scheme check."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from gradecut.cli.add_ways import STRETCH_COLUMNS, stretch_rows
from gradecut.cli.boundary import (
    graded_words,
    guarded,
    say,
    show_json,
    show_progress,
    show_table,
)
from gradecut.cli.doors import AsJson
from gradecut.counting_words import counted, counted_men
from gradecut.errors import FilmError, SchemeError
from gradecut.progress import Progress

if TYPE_CHECKING:
    from gradecut.scheme import Audit, Scheme

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
def check(
    file: Annotated[Path, typer.Argument(help="A scheme file.")], as_json: AsJson = False
) -> None:
    """Check a scheme file: every fault with its line, then what its rules leave open.

    Exit 1 where it has a fault, or a hole, an overlap or a duty that is not met; each of these
    is told with the smallest look that shows it. What else is found are warnings.

    Example: gradecut scheme check harbor.toml
    """
    from gradecut.scheme import load_scheme

    try:
        scheme = load_scheme(file)
        with show_progress(quiet=as_json) as progress:
            audit = _prove(scheme, progress)
    except SchemeError as refused:
        if not as_json:
            raise
        show_json({"file": str(file), "sound": False, "faults": _faults(refused)})
        raise typer.Exit(1) from refused
    if as_json:
        show_json({"file": str(file), "sound": bool(audit), "faults": [], **_told_audit(audit)})
    else:
        _say_audit(file, scheme, audit)
    if not audit:
        raise typer.Exit(1)


def _prove(scheme: Scheme, progress: Progress) -> Audit:
    from gradecut.scheme.auditing import audit_scheme

    return audit_scheme(scheme, progress=progress)


def _faults(refused: SchemeError) -> list[dict[str, object]]:
    return [{"line": fault.line, "message": fault.message} for fault in refused.faults]


def _told_audit(audit: Audit) -> dict[str, object]:
    findings = [
        {
            "kind": finding.kind,
            "message": finding.message,
            "rules": list(finding.rules),
            "position": finding.position,
            "fact": finding.fact,
            "duty": finding.duty,
            "look": None if finding.look is None else dict(finding.look),
        }
        for finding in audit.findings
    ]
    return {"looks": audit.looks, "findings": findings, "unproven": list(audit.unproven)}


def _say_audit(file: Path, scheme: Scheme, audit: Audit) -> None:
    men = [man.name for man in scheme.positions.values() if man.graded]
    say(
        f"{file}: no faults. {scheme.name or 'The scheme'} has "
        f"{counted(len(scheme.rules), 'rule')} in {counted(len(scheme.tiers), 'tier')} for "
        f"{counted_men(len(scheme.positions))}; {graded_words(men)}."
    )
    for finding in audit.findings:
        look = ""
        if finding.look is not None:
            named = ", ".join(f"{ref} = {value}" for ref, value in finding.look.items())
            look = f" [{named or 'every look'}]"
        say(f"{finding.kind}: {finding.message}{look}")
    say(*(f"not proven: {sentence}" for sentence in audit.unproven))
    looks = f"over all {audit.looks:,} looks" if audit.looks != 1 else "over 1 look"
    if audit:
        say(f"Sound {looks}: every man has one answer and every duty is met.")
    else:
        count = len(audit.holes) + len(audit.overlaps) + len(audit.duties)
        say(f"Not sound {looks}: {counted(count, 'thing')} to settle.")
