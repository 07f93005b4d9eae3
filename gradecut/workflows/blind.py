"""Grading blind: what others judged stays hidden until the grader lifts it himself.

Hidden are others' grades, flags, drawings, events, words on how men lined up, and the moments
they marked of a man. The look, the snap and who was in are recorded once for all, and stay in
sight. Nothing in the book changes, and whatever guards others' work still sees it.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol, TypeVar

from gradecut.book import Book
from gradecut.records import Moment
from gradecut.workflows.of_a_rep import JUDGED

__all__ = ["is_judgement", "is_seen", "seen", "seen_moments"]


class Authored(Protocol):
    """Anything somebody said."""

    @property
    def author(self) -> str:
        """Who said it."""


T = TypeVar("T", bound=Authored)


def is_seen(book: Book, author: str) -> bool:
    """Tell whether what one person judged is shown to the book's author."""
    return not book.blind or author in (book.author, "")


def is_judgement(kind: type, rep_id: str | None) -> bool:
    """Tell whether a row of a kind judges a man, so that it is hidden from a blind grader.

    Parameters
    ----------
    rep_id : str or None
        The man it is of; a moment of no man, such as the snap, is of the play.
    """
    return kind in JUDGED or (kind is Moment and rep_id is not None)


def seen(book: Book, rows: Iterable[T]) -> list[T]:
    """Leave out what others judged while the book's author grades blind."""
    return [row for row in rows if is_seen(book, row.author)]


def seen_moments(book: Book, moments: Iterable[Moment]) -> list[Moment]:
    """Leave out the moments others marked of a man; snap and whistle are of the play."""
    return [one for one in moments if one.rep_id is None or is_seen(book, one.author)]
