"""Which reps are to be shown at the next meeting."""

from __future__ import annotations

from collections.abc import Sequence

from gradecut.book import Book
from gradecut.records import Flag, RepLine
from gradecut.workflows.blind import seen
from gradecut.workflows.booking import graded_group, graded_here, scheme_in_force

__all__ = ["flagged_reps"]


def flagged_reps(book: Book, lines: Sequence[RepLine]) -> list[RepLine]:
    """Return the reps that flags mean, in the order given.

    A flag on a play means its missed reps, or those of all men who are graded here where none
    was missed.
    """
    scheme, group = scheme_in_force(book), graded_group(book)
    flagged = [line for line in lines if line.flagged]
    named = {flag.rep_id for flag in seen(book, book.find(Flag))}
    missed = [line for line in flagged if line.grade and line.grade.missed]
    with_miss = {line.clip.id for line in missed}
    return [
        line
        for line in flagged
        if line.rep.id in named
        or line in missed
        or (line.clip.id not in with_miss and graded_here(scheme, group, line.rep.position))
    ]
