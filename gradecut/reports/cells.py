"""Text that goes into a table other programs open."""

from __future__ import annotations

__all__ = ["guarded"]

_TRIGGERS = ("=", "+", "-", "@", "\t", "\r", "\n")


def guarded(text: str) -> str:
    """Keep a text from being read as a formula: put an apostrophe before the signs that start one.

    The signs are those of OWASP's page on CSV injection (= + - @, tab, line break).

    Examples
    --------
    >>> guarded("=1+2"), guarded("own 35")
    ("'=1+2", 'own 35')
    """
    return f"'{text}" if text.startswith(_TRIGGERS) else text
