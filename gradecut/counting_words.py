"""Things counted and listed in words."""

from __future__ import annotations

from collections.abc import Sequence

__all__ = ["all_listed", "counted", "counted_men", "written_out"]

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


def counted_men(number: int) -> str:
    """Write a number of men.

    >>> counted_men(1), counted_men(2)
    ('1 man', '2 men')
    """
    return f"{number} {'man' if number == 1 else 'men'}"


def written_out(number: int, what: str) -> str:
    """Write a number of things with the number as a word, up to twenty.

    >>> written_out(14, "question"), written_out(1, "question"), written_out(21, "question")
    ('fourteen questions', 'one question', '21 questions')
    """
    if not 0 <= number < len(_WORDS):
        return counted(number, what)
    return f"{_WORDS[number]} {what}{'' if number == 1 else 's'}"


def all_listed(words: Sequence[str]) -> str:
    """Write words one after the other, all of which are meant; nothing for none.

    >>> all_listed(["Keel"]), all_listed(["Keel", "Bow", "Port"])
    ('Keel', 'Keel, Bow and Port')
    """
    return " and ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))
