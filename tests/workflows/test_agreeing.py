"""Two graders' agreement tells what both examined from what was only passed."""

from __future__ import annotations

from gradecut.book import Book
from gradecut.workflows.agreeing import agreement_of
from gradecut.workflows.judging import judge
from gradecut.workflows.passing import pass_clip
from gradecut.workflows.rounds import look_at
from tests.workflows.small_week import COACH, clip_of, rep_of


def test_what_was_only_passed_is_told_apart(book: Book) -> None:
    """Both pass a play: alike, and nobody looked; then both look at one man, and it is told."""
    for name in ("Coach Birch", COACH):
        book.author = name
        pass_clip(book, clip_of(book, 1))
    told = agreement_of(book, COACH, "Coach Birch")
    assert (told.fit.n, told.fit.alike, told.examined) == (3, 3, 0)
    assert (
        "Both looked closely at 0 of these 3; the rest one of them or both only passed."
        in told.words
    )
    for name in ("Coach Birch", COACH):
        book.author = name
        look_at(book, rep_of(book, 1, "Keel"))
    assert agreement_of(book, COACH, "Coach Birch").examined == 1


def test_nothing_is_said_where_both_examined_all(book: Book) -> None:
    """No sentence without a need."""
    for name in ("Coach Birch", COACH):
        book.author = name
        judge(book, rep_of(book, 1, "Keel"))
    told = agreement_of(book, COACH, "Coach Birch")
    assert (told.fit.n, told.examined) == (1, 1)
    assert not any("closely" in sentence for sentence in told.words)
