"""The facts of a play that graders tell otherwise, in a few words."""

from __future__ import annotations

from gradecut.book import Book
from gradecut.records import Clip
from gradecut.scheme import fact_words
from gradecut.workflows.disputes import disputes_of

__all__ = ["disputed_words"]


def disputed_words(book: Book, clip: Clip) -> tuple[str, str]:
    """Name the facts of a play that graders tell otherwise: in a word, and who says what."""
    found = disputes_of(book, clip_ids=[clip.id])
    if not found:
        return "", ""
    names = [fact_words(one.reference) for one in found]
    said = "; ".join(f"{fact_words(one.reference)}, {one.words}" for one in found)
    short = names[0] if len(names) == 1 else f"{len(names)} facts"
    return f"≠ {short}", f"Seen differently: {said}. Alt+B settles it."
