"""Numbers of things in words, for what the window says."""

from __future__ import annotations

__all__ = ["counted"]


def counted(number: int, what: str) -> str:
    """Write a number of things.

    >>> counted(1, "film"), counted(2, "film")
    ('1 film', '2 films')
    """
    return f"{number} {what}{'' if number == 1 else 's'}"
