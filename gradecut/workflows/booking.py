"""Starting a book, and the scheme it goes by."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from os import PathLike

from gradecut.book import Book, open_book
from gradecut.errors import BookError
from gradecut.records import BookInfo, SchemeVersion
from gradecut.scheme import Scheme, load_scheme, parse_scheme

__all__ = [
    "STARTING",
    "adopt_scheme",
    "book_info",
    "graded_group",
    "graded_here",
    "graded_positions",
    "new_book",
    "put_in_force",
    "scheme_in_force",
    "scheme_of",
]

STARTING = "start the book"
"""The verb of every book's first act."""


def new_book(
    path: str | PathLike[str],
    *,
    name: str,
    author: str,
    season: str = "",
    scheme: str | PathLike[str] | None = None,
    roster: str | PathLike[str] | None = None,
) -> Book:
    """Start a book, with its scheme and roster where they are given.

    Everything given is checked before the file is made, so that a fault leaves nothing.

    Raises
    ------
    BookError, SchemeError, InputError
        When the book can't be made there, its author is on the roster, or a file given has
        faults.
    """
    from gradecut.workflows.roster import add_players, read_roster, why_no_grader

    loaded = load_scheme(scheme) if scheme is not None else None
    players = read_roster(roster) if roster is not None else []
    if refusal := why_no_grader(author, players):
        raise BookError(refusal)
    book = open_book(path, author=author, create=True)
    with book.act(STARTING) as act:
        act.put(BookInfo(name=name, season=season))
        if loaded is not None:
            put_in_force(book, loaded)
        if players:
            add_players(book, players)
    return book


def book_info(book: Book) -> BookInfo:
    """Return what the book says of itself.

    Raises
    ------
    BookError
        When it was never started.
    """
    found = book.find(BookInfo)
    if not found:
        raise BookError(f"{book.path}: the book was never started; make a new one.")
    return found[0]


def graded_group(book: Book) -> str:
    """Return the group of men the author grades: his own, else the book's; empty for all."""
    return book_info(book).graded_group if book.group is None else book.group


def adopt_scheme(book: Book, path: str | PathLike[str]) -> SchemeVersion:
    """Put a scheme file in force; the versions before it stay in the book.

    Raises
    ------
    SchemeError
        With every fault of the file; the book then stays as it was.
    """
    return put_in_force(book, load_scheme(path))


def scheme_of(book: Book, scheme_id: str) -> Scheme:
    """Return one of the book's scheme versions, ready to be asked."""
    version = book.get(SchemeVersion, scheme_id)
    return _parsed(version.text, version.name)


def scheme_in_force(book: Book) -> Scheme | None:
    """Return the scheme in force; None while the book has none."""
    scheme_id = book_info(book).scheme_id
    return scheme_of(book, scheme_id) if scheme_id else None


def put_in_force(book: Book, scheme: Scheme) -> SchemeVersion:
    """Store a scheme and put it in force, as one act; the same text is the same version."""
    known = book.find(SchemeVersion, sha256=scheme.sha256)
    version = (
        known[0]
        if known
        else SchemeVersion(
            sha256=scheme.sha256, name=scheme.name, version=scheme.version, text=scheme.text
        )
    )
    with book.act(f"put {scheme.name or 'the scheme'} in force") as act:
        act.put(version, replace(book_info(book), scheme_id=version.id))
    return version


@lru_cache(maxsize=16)
def _parsed(text: str, name: str) -> Scheme:
    return parse_scheme(text, name)


def graded_positions(scheme: Scheme | None, group: str) -> list[str]:
    """Return the positions a staff grades, in the scheme's order; group "" means all."""
    if scheme is None:
        return []
    return [
        name
        for name, position in scheme.positions.items()
        if position.graded and (not group or position.group == group)
    ]


def graded_here(scheme: Scheme | None, group: str, position: str) -> bool:
    """Tell whether a staff grades a position; without a scheme it grades all."""
    return scheme is None or position in graded_positions(scheme, group)
