"""What a text says and how it is laid out, read once for the edits that follow each other."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from typing import Any

from gradecut.scheme._lines import TooDeep, TooMany
from gradecut.scheme._remembered import LastRead
from gradecut.scheme.editing._layout import Layout, layout_of

__all__ = ["Said", "Unreadable", "read_said"]


class Unreadable(Exception):
    """The text is no TOML, or too deep or too big to be walked."""


@dataclass(frozen=True, slots=True)
class Said:
    """What a text says, and its layout; shared, so nobody may change either.

    Attributes
    ----------
    data : dict
        As tomllib gives it.
    layout : Layout
        Where it all stands.
    """

    data: dict[str, Any]
    layout: Layout


_LAST = LastRead[Said]()


def read_said(text: str) -> Said:
    """Read a text, or find it read already.

    Raises
    ------
    Unreadable
        When it is no TOML, or too deep or too big.
    """
    found = _LAST.find(text)
    if found is None:
        try:
            layout = layout_of(text)  # first, for it stops what is nested too deep
            found = Said(tomllib.loads(text), layout)
        except (TooDeep, TooMany, ValueError, RecursionError):
            raise Unreadable from None
        _LAST.keep(text, found)
    return found
