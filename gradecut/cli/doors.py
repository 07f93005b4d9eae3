"""Opening the book a command names, and the words commands share."""

from __future__ import annotations

import getpass
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from gradecut.book import Book, open_book
from gradecut.errors import GradecutError

__all__ = ["AsJson", "BookPath", "By", "Grader", "SessionName", "opened", "session_ids"]

BookPath = Annotated[Path, typer.Argument(metavar="BOOK", help="The book's file.")]
Grader = Annotated[
    str, typer.Option("--grader", help="Who grades; each grader's marks are kept apart.")
]
AsJson = Annotated[bool, typer.Option("--json", help="For machines: JSON on stdout only.")]
SessionName = Annotated[
    str, typer.Option("--session", help="One practice, scrimmage or game; all when left out.")
]
By = Annotated[
    list[str] | None,
    typer.Option("--by", help="What the columns are cut by; may be given twice."),
]


@contextmanager
def opened(path: Path, grader: str = "") -> Iterator[Book]:
    """Open a book for one command."""
    with open_book(path, author=grader or usual_grader(path)) as book:
        yield book


def usual_grader(path: Path) -> str:
    """Return who acted last in a book, else the name this computer knows the person by."""
    if path.is_file():
        with open_book(path) as book:
            acts = book.history(1)
            if acts and acts[0].author:
                return acts[0].author
    return computer_user()


def computer_user() -> str:
    """Return the name this computer knows the person by."""
    try:
        return getpass.getuser()
    except (OSError, KeyError):
        return "coach"


def session_ids(book: Book, name: str) -> Sequence[str] | None:
    """Return the ids of a session by name; None for all."""
    if not name:
        return None
    from gradecut.workflows.adding import find_session

    return [find_session(book, name).id]


def read_plays(text: str) -> tuple[int, ...]:
    """Read plays as a coach writes them: ``2-4,7``.

    Raises
    ------
    GradecutError
        When it is anything else.
    """
    plays: list[int] = []
    for part in filter(None, (one.strip() for one in text.split(","))):
        first, dash, last = part.partition("-")
        if not first.isdecimal() or (dash and not last.isdecimal()):
            raise GradecutError(f"“{part}” is no play; write plays as 2-4,7.")
        plays += range(int(first), int(last if dash else first) + 1)
    return tuple(plays)
