"""What grading refuses, and the words it refuses with."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from difflib import get_close_matches

from gradecut.errors import GradecutError

__all__ = ["GradeError", "hint", "listed"]


class GradeError(GradecutError, ValueError):
    """A grade that names something the scheme or its rubric does not have, or contradicts itself.

    Attributes
    ----------
    rep_id : str
        The rep; empty where none was named.
    """

    def __init__(self, said: str, *, rep_id: str = "") -> None:
        self.rep_id = rep_id
        super().__init__(said)


def hint(word: str, known: Sequence[str]) -> str:
    """Name the nearest known word, or all of them, to end a sentence with."""
    near = get_close_matches(word, known, n=1)
    return f"did you mean “{near[0]}”?" if near else f"there are {listed(known)}."


def listed(words: Iterable[object]) -> str:
    """Write words as a coach reads them: a, b or c."""
    told = [f"{word:g}" if isinstance(word, float) else str(word) for word in words]
    if not told:
        return "none"
    return " or ".join([", ".join(told[:-1]), told[-1]] if len(told) > 1 else told)
