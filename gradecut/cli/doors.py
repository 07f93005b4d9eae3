"""Opening the book a command names, and the words commands share."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated

import typer

from gradecut.book import Book, open_book
from gradecut.errors import BookError
from gradecut.records import Clip
from gradecut.workflows.roster import computer_user, newest_of_staff

__all__ = [
    "AsJson",
    "BookPath",
    "By",
    "Grader",
    "SessionName",
    "choose_plays",
    "opened",
    "read_facts",
    "read_plays",
    "session_ids",
]

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
    typer.Option(
        "--by",
        help="What the columns are cut by: a fact, or run side, position, period, session, fit, "
        "lined up; may be given twice.",
    ),
]


@contextmanager
def opened(path: Path, grader: str = "") -> Iterator[Book]:
    """Open a book for one command."""
    with open_book(path, author=grader) as book:
        book.author = book.author or usual_grader(book)
        yield book


def usual_grader(book: Book) -> str:
    """Return who of the staff acted last in a book, else this computer's name for the person."""
    return newest_of_staff(book) or computer_user()


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
    typer.BadParameter
        When it is anything else.
    """
    from gradecut.workflows import adding

    try:
        return adding.read_plays(text)
    except BookError as error:
        raise typer.BadParameter(str(error)) from error


def read_facts(words: Sequence[str]) -> dict[str, str]:
    """Read facts as they are told on a command line: ``back=left run=right``.

    Raises
    ------
    typer.BadParameter
        When a word is no FACT=VALUE, or a fact is told twice.
    """
    facts: dict[str, str] = {}
    for word in words:
        reference, equals, text = word.partition("=")
        if not equals:
            raise typer.BadParameter(f"Write facts as FACT=VALUE, not “{word}”.")
        if reference in facts:
            raise typer.BadParameter(f"“{reference}” is told twice; keep one.")
        facts[reference] = text
    return facts


def choose_plays(book: Book, session: str, play: int) -> list[Clip]:
    """Return the plays a command means; 0 means all of them.

    Raises
    ------
    BookError
        When there is none.
    """
    wanted = session_ids(book, session)
    equal: dict[str, object] = {} if wanted is None else {"session_id": wanted}
    clips = book.find(Clip, **equal)
    chosen = [clip for clip in clips if play in (0, clip.order)]
    if not chosen:
        what = f"no play {play}" if play else "no play yet"
        where = f" in {session}" if session else ""
        raise BookError(f"{book.path}: there is {what}{where}; add film first, or name another.")
    return chosen
