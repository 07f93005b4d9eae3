"""Ends of sentences that help: the nearest known word, or the words there are."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

__all__ = ["listed", "nearest"]

_MOST_LISTED = 12


def nearest(word: str, known: Iterable[str]) -> str:
    """Name the nearest known word, whatever its capitals, or else what there is.

    >>> nearest("keal", ["Bow", "Keel", "Port"])
    'did you mean “Keel”?'
    """
    words = list(known)
    spelt = {one.lower(): one for one in reversed(words)}
    close = get_close_matches(word.lower(), spelt, n=1, cutoff=0.5)
    if close:
        return f"did you mean “{spelt[close[0]]}”?"
    shown = ", ".join(words[:_MOST_LISTED]) + (" …" if len(words) > _MOST_LISTED else "")
    return f"there is {shown or 'none yet'}."


def listed(words: Iterable[object]) -> str:
    """Write words as a coach reads them.

    >>> listed(["a", 1.0, "c"])
    'a, 1 or c'
    """
    told = [f"{word:g}" if isinstance(word, float) else str(word) for word in words]
    if not told:
        return "none"
    return " or ".join([", ".join(told[:-1]), told[-1]] if len(told) > 1 else told)
