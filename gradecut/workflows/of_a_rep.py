"""What belongs to a rep, and to a play: the kinds of record, told once."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, TypeVar

from gradecut.records import (
    Actual,
    Event,
    FactValue,
    Flag,
    Grade,
    LinedUp,
    LineUp,
    Mark,
    Moment,
    Owed,
    Piece,
    Rep,
)

__all__ = ["JUDGED", "OF_A_PLAY", "OF_A_REP", "SAID_OF_A_REP", "by_clip"]

T = TypeVar("T", Rep, LineUp, FactValue)

SAID_OF_A_REP: tuple[type[Any], ...] = (
    Moment, Mark, Owed, Actual, LinedUp, Event, Flag, Grade,
)  # fmt: skip
"""What one person says of a man on a play, in the order it is put into a book."""
OF_A_REP: tuple[type[Any], ...] = (*SAID_OF_A_REP, Piece)
"""All that names a rep: a piece of a reel is of its play, and of nobody's saying."""
JUDGED: tuple[type[Any], ...] = (Grade, Actual, LinedUp, Event, Flag, Mark)
"""What judges him; of moments only those of a man do."""
OF_A_PLAY: tuple[type[Any], ...] = (FactValue, LineUp, Flag)
"""What is told of a play as a whole."""


def by_clip(rows: Iterable[T]) -> dict[str, list[T]]:
    """Return rows by the clip they belong to."""
    found: dict[str, list[T]] = {}
    for row in rows:
        found.setdefault(row.clip_id, []).append(row)
    return found
