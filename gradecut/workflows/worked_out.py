"""Acts that take long to work out: all questions before, only changes inside.

From the first question of an act to its end nobody else reads or writes in the book, so that a
window would stand still for as long as the act thinks.
"""

from __future__ import annotations

from collections.abc import Callable, Collection
from typing import TypeVar

from gradecut.book import Book
from gradecut.book.acts import ActDraft

__all__ = ["act_worked_out", "find_by_lots"]

R = TypeVar("R")
T = TypeVar("T")

_TRIES = 3
"""After so many the book is held: somebody writes faster than it can be worked out."""
_LOT = 500
"""So many are asked for at once: read in a few hundredths of a second."""


def find_by_lots(
    book: Book, kind: type[R], name: str, values: Collection[str], **equal: object
) -> list[R]:
    """Find records by many values of one field, asked in lots so that others come in between.

    Returns
    -------
    list
        Each record once; in order within a lot.
    """
    wanted = list(dict.fromkeys(values))
    lots = (wanted[at : at + _LOT] for at in range(0, len(wanted), _LOT))
    return [row for lot in lots for row in book.find(kind, **{name: lot}, **equal)]


def act_worked_out(
    book: Book, verb: str, work_out: Callable[[], T], write: Callable[[T, ActDraft], object]
) -> T:
    """Work out what an act is to change, then change it; return what was worked out.

    Where somebody changed the book in between, it is worked out anew, so that what is written
    always rests on the book as it is.

    Parameters
    ----------
    work_out : callable
        Only reads.
    write : callable
        Puts and drops what was worked out, and asks nothing.

    Raises
    ------
    BookError
        When the database refuses what the act would do; nothing is stored then.
    """
    for _ in range(_TRIES):
        seen_at = book.newest_act()
        planned = work_out()
        with book.act(verb) as act:
            if book.newest_act() == seen_at:
                write(planned, act)
                return planned
    with book.act(verb) as act:
        book.newest_act()  # holds the book
        planned = work_out()
        write(planned, act)
    return planned
