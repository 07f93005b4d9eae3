"""Where commands meet the person: errors as sentences, progress, tables, JSON."""

from __future__ import annotations

import io
import json
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from typing import Any, ParamSpec, TypeVar

import typer

from gradecut.errors import GradecutError, InputError, SchemeError
from gradecut.progress import Progress, silent

__all__ = [
    "graded_words",
    "guarded",
    "say",
    "show_json",
    "show_progress",
    "show_table",
    "speak_plainly",
    "told",
    "warn",
]

P = ParamSpec("P")
T = TypeVar("T")


def guarded(command: Callable[P, T]) -> Callable[P, T]:
    """Turn every error gradecut raises on purpose into sentences on stderr and exit 1."""

    @wraps(command)
    def run(*args: P.args, **kwargs: P.kwargs) -> T:
        try:
            return command(*args, **kwargs)
        except GradecutError as error:
            for sentence in told(error):
                typer.echo(sentence, err=True)
            raise typer.Exit(1) from error
        except KeyboardInterrupt as stopped:
            typer.echo("Stopped; nothing was left half-done.", err=True)
            raise typer.Exit(1) from stopped

    return run


def told(error: GradecutError) -> list[str]:
    """Return an error as sentences, one for each fault."""
    if isinstance(error, SchemeError):
        faults = [(fault.line, fault.message) for fault in error.faults]
    elif isinstance(error, InputError):
        faults = list(error.faults)
    else:
        return [_ended(str(error))]
    return [
        _ended(f"{error.path}, line {line}: {said}" if line else f"{error.path}: {said}")
        for line, said in faults
    ]


def _ended(sentence: str) -> str:
    return sentence if sentence.endswith((".", "?", "!")) else f"{sentence}."


def speak_plainly() -> None:
    """Let no letter stop an answer: one the terminal can't show is written as a question mark."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def graded_words(men: Sequence[str]) -> str:
    """Say who is graded.

    >>> graded_words([]), graded_words(["Keel"]), graded_words(["Keel", "Bow"])
    ('nobody is graded', '1 is graded: Keel', '2 are graded: Keel, Bow')
    """
    if not men:
        return "nobody is graded"
    return f"{len(men)} {'is' if len(men) == 1 else 'are'} graded: {', '.join(men)}"


def say(*sentences: str) -> None:
    """Tell the person something on stdout."""
    for sentence in sentences:
        typer.echo(sentence)


def warn(*sentences: str) -> None:
    """Tell the person on stderr what went wrong in work that went on."""
    for sentence in sentences:
        typer.echo(sentence, err=True)


def show_json(value: Any) -> None:
    """Write one JSON document to stdout."""
    typer.echo(json.dumps(value, ensure_ascii=False, indent=1, default=_plain))


def show_table(columns: Sequence[str], rows: Sequence[Sequence[object]]) -> None:
    """Write a plain table; numbers stand right, words left."""
    cells = [[str(cell) for cell in row] for row in rows]
    widths = [
        max(len(column), *(len(row[place]) for row in cells)) if cells else len(column)
        for place, column in enumerate(columns)
    ]
    right = [
        all(isinstance(row[place], int | float) or row[place] in ("", "–") for row in rows)
        for place in range(len(columns))
    ]
    for line in [list(columns), *cells]:
        set_in = [
            cell.rjust(width) if on_right else cell.ljust(width)
            for cell, width, on_right in zip(line, widths, right, strict=True)
        ]
        typer.echo("  ".join(set_in).rstrip())


@contextmanager
def show_progress(*, quiet: bool = False) -> Iterator[Progress]:
    """Show how far long work is on stderr, where somebody can see it."""
    if quiet or not sys.stderr.isatty():
        yield silent
        return
    from rich.console import Console
    from rich.progress import BarColumn, TextColumn, TimeRemainingColumn
    from rich.progress import Progress as Bar

    columns = (BarColumn(), TextColumn("{task.description}"), TimeRemainingColumn())
    with Bar(*columns, console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task("", total=1.0)

        def tell(done: float, saying: str) -> None:
            bar.update(task, completed=done, description=saying)

        yield tell


def _plain(value: object) -> str | float | list[object]:
    if isinstance(value, Path):
        return str(value)
    if isinstance(value, tuple | set | frozenset):
        return list(value)
    return str(value)
