"""Numbers of things in words, for what the window says."""

from __future__ import annotations

__all__ = ["counted", "written_out"]

_WORDS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
    "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen",
    "nineteen", "twenty",
)  # fmt: skip


def counted(number: int, what: str) -> str:
    """Write a number of things.

    >>> counted(1, "film"), counted(2, "film")
    ('1 film', '2 films')
    """
    return f"{number} {what}{'' if number == 1 else 's'}"


def written_out(number: int, what: str) -> str:
    """Write a number of things with the number as a word, up to twenty.

    >>> written_out(14, "question"), written_out(1, "question"), written_out(21, "question")
    ('fourteen questions', 'one question', '21 questions')
    """
    if not 0 <= number < len(_WORDS):
        return counted(number, what)
    return f"{_WORDS[number]} {what}{'' if number == 1 else 's'}"
