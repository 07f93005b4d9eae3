"""What a text says and how it is laid out, read once for the edits that follow each other."""

from __future__ import annotations

import tomllib
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gradecut.scheme._lines import TooDeep, TooMany
from gradecut.scheme._remembered import LastRead
from gradecut.scheme.editing._layout import Layout, layout_of
from gradecut.scheme.editing._spelling import spell_key

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
    tables : dict of str to dict
        What single tables of lists say, by their words.
    """

    data: dict[str, Any]
    layout: Layout
    tables: dict[str, dict[str, Any]]


_LAST = LastRead[Said]()


def read_said(text: str, near: Said | None = None) -> Said:
    """Read a text, or find it read already.

    Parameters
    ----------
    text : str
        A whole scheme file.
    near : Said or None
        Of a text that shares much with it: only what differs is read.

    Raises
    ------
    Unreadable
        When it is no TOML, or too deep or too big.
    """
    found = _LAST.find(text)
    if found is None:
        try:
            # The layout first, for it stops what is nested too deep.
            layout = layout_of(text, None if near is None else near.layout)
            found = _by_tables(layout, {} if near is None else near.tables)
            if found is None:
                found = Said(tomllib.loads(text), layout, {})
        except (TooDeep, TooMany, ValueError, RecursionError):
            raise Unreadable from None
        _LAST.keep(text, found)
    return found


def _by_tables(layout: Layout, known: Mapping[str, dict[str, Any]]) -> Said | None:
    """Read a text table by table; None where that could be another thing than reading it whole.

    A table of a list that stands alone in its lines is a TOML text of its own. The others are
    read together, with a bare head for each run of those that were taken out: these heads have
    to be read as empty tables, no more and no fewer, so nothing around them can have swallowed
    one, or have written into one.
    """
    text, tables = layout.text, {}
    lists: dict[str, list[dict[str, Any]]] = {}
    runs: Counter[str] = Counter()
    others, at, last = [], 0, ""
    for name, start, stop in layout.spans.places:
        words = text[start:stop]
        table = known.get(words)
        if table is None:
            alone = tomllib.loads(words).get(name)
            if not isinstance(alone, list) or len(alone) != 1:
                return None
            table = alone[0]
        tables[words] = table
        lists.setdefault(name, []).append(table)
        if start > at or name != last:
            runs[name] += 1
            others.append(f"{text[at:start]}[[{spell_key(name)}]]\n")
        at, last = stop, name
    data = tomllib.loads("".join([*others, text[at:]]))
    if any(data[name] != [{}] * runs[name] for name in lists):
        return None
    return Said({**data, **lists}, layout, tables)
