"""Which play a film's name tells of: evidence for a pairing, never proof.

A coach numbers his films by the play, or a program does; a camera counts on its own. A name
counts only where all films beside it tell of different plays that are there, and not where
their numbers run 1, 2, 3: that says no more than the order does.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Mapping, Sequence
from itertools import pairwise
from typing import TypeAlias

__all__ = ["plays_named"]

_LONGEST_NUMBER = 3
"""Digits of a play's number; a longer one is a camera's count, a date or a time."""
_CAMERA_WORDS = frozenset(
    {
        *("end", "endzone", "ez", "side", "sideline", "sl", "tower", "press", "box"),
        *("wide", "tight", "high", "low", "cam", "camera", "view", "angle"),
    }
)
"""Words that name where a camera stood, not what it saw."""

_Stem: TypeAlias = tuple[str | int, ...]


def plays_named(
    films: Sequence[str], there: Mapping[int, str], *, angle: str = ""
) -> dict[int, int]:
    """Read off the names of films which plays they tell of.

    Parameters
    ----------
    films : sequence of str
        Names of an angle's new films without their endings, in order.
    there : mapping of int to str
        The plays they may go to, each with the name of its film of another angle, or "".
    angle : str
        The new films' angle: its words name a camera too.

    Returns
    -------
    dict of int to int
        For each place in ``films`` a play, rising; empty where the names do not tell: films
        without a number or with one of four digits or more, two of one number, numbers that
        merely count from 1, or one that no play here has.
    """
    numbers = _numbers_of(films)
    counted = any(map(_numbers_in, films))
    if numbers == list(range(1, len(films) + 1)) or (counted and numbers is None):
        return {}
    words = _CAMERA_WORDS | set(re.findall(r"[^\W\d_]+", angle.casefold()))
    known = {play: name for play, name in there.items() if name}
    bare = {play: _bare(name, words) for play, name in known.items()}
    ways = [_by(bare, [_bare(name, words) for name in films])]
    if numbers is not None:
        theirs = _numbers_of(list(known.values()))
        if theirs is not None:
            ways.append(_by(dict(zip(known, theirs, strict=True)), numbers))
        ways.append(_by({play: play for play in there}, numbers))
    for plays in ways:
        if plays and all(before < after for before, after in pairwise(plays)):
            return dict(enumerate(plays))
    return {}


def _by(called: Mapping[int, object], wanted: Sequence[object]) -> list[int]:
    """Return the play called so for each; none where any is called by none or by several."""
    names = list(called.values())
    if len(set(wanted)) < len(wanted) or any(names.count(one) != 1 for one in wanted):
        return []
    plays = {name: play for play, name in called.items()}
    return [plays[one] for one in wanted]


def _numbers_in(name: str) -> list[str]:
    return re.findall(r"[0-9]+", name)


def _numbers_of(names: Sequence[str]) -> list[int] | None:
    """Return each name's number: the last that differs; None where that can't be a play's."""
    rows = [_numbers_in(name) for name in names]
    if len({len(row) for row in rows}) != 1 or (len(rows) == 1 and len(rows[0]) != 1):
        return None
    for column in zip(*(reversed(row) for row in rows), strict=True):
        numbers = [int(one) for one in column]
        if len(rows) > 1 and len(set(numbers)) == 1:
            continue
        plays = len(set(numbers)) == len(rows) and max(map(len, column)) <= _LONGEST_NUMBER
        return numbers if plays else None
    return None


def _bare(name: str, words: Collection[str]) -> _Stem:
    """Return a name's words and numbers, leading zeros and words for a camera left out."""
    parts = re.findall(r"[0-9]+|[^\W\d_]+", name.casefold())
    return tuple(
        int(part) if part.isdecimal() and part.isascii() else part
        for part in parts
        if part not in words
    )
