"""How the scheme's grid is shared out: widths of its columns, heights of its lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from gradecut.app.grid_cell import cell_px, head_px, lines_px
from gradecut.app.grid_pictures import PICTURE_PX
from gradecut.desk.scheme_grid import ShownRow
from gradecut.desk.scheme_men import side_words

if TYPE_CHECKING:
    from gradecut.desk.scheme_hand import SchemeHand
    from gradecut.scheme import Scheme

__all__ = [
    "BARE_PX", "BESIDE_PX", "GAP_PX", "HEAD_PX", "LEFT_PX", "LOOKS_PX", "NARROW_PX", "PAD_PX",
    "ROW_PX", "TIER_PX", "Head", "Line", "heads_of", "heads_px", "lines_of", "overriding",
    "widths",
]  # fmt: skip

HEAD_PX, ROW_PX, TIER_PX, BARE_PX = 46, 64, 38, 32
"""The least height of the men's heads and of a row; of a tier's heading, and where none is."""
LEFT_PX, GAP_PX, BESIDE_PX = 24, 14, 20
"""Kept free left of everything, between columns, and beside the picture of a row's looks."""
LOOKS_PX, _NARROW_LOOKS_PX, _ROOMY_PX, _WIDE_LOOKS_PX = 356, 292, 800, 560
"""Room for a row's looks, where the grid is at least so wide, and where it is not; and at most."""
NARROW_PX, _WIDE_PX = 116, 480
"""A man's column, at least and at most."""
PAD_PX = 8
"""Kept free within a cell, left of its words and above them."""
_CELL_PX, _ABOVE_PX, _HEAD_GAP_PX = 18, 16, 12
"""Kept free beside a cell's words, above and below them, and above and below the heads."""


@dataclass(frozen=True, slots=True)
class Line:
    """A tier's heading, a row, or the word that a tier has none; and its height in pixels."""

    tier: str
    row: ShownRow | None
    high: int
    heading: bool = False


@dataclass(frozen=True, slots=True)
class Head:
    """A man as he is named above his column."""

    name: str
    side: str
    graded: bool


def widths(wide_px: int, men: int) -> tuple[int, int]:
    """Return the width of a row's looks and of a man's column, in a grid of some width.

    What the men leave over once each has the most a column may have goes to the looks.
    """
    looks = LOOKS_PX if wide_px >= _ROOMY_PX else _NARROW_LOOKS_PX
    room, men = wide_px - LEFT_PX, max(men, 1)
    column = min(max((room - looks) // men, NARROW_PX), _WIDE_PX)
    return min(max(room - men * column, looks), max(_WIDE_LOOKS_PX, looks)), column


def heads_of(scheme: Scheme | None, men: Sequence[str]) -> tuple[Head, ...]:
    """Return the heads of the men across."""
    found = [(name, scheme.positions[name]) for name in men] if scheme is not None else []
    return tuple(Head(name, side_words(man), man.graded) for name, man in found)


def heads_px(heads: Sequence[Head], column_px: int) -> int:
    """Return the height at which no head is cut."""
    high = (head_px(one.name, one.side, column_px - GAP_PX) for one in heads)
    return max(HEAD_PX, round(max(high, default=0.0)) + _HEAD_GAP_PX)


def lines_of(hand: SchemeHand, looks_px: int, column_px: int) -> Iterator[Line]:
    """Return what stands beneath one another: tier after tier, with its rows."""
    for tier in hand.tiers:
        rows = [row for row in hand.rows if row.tier == tier]
        yield Line(tier, None, TIER_PX, heading=True)
        if not rows:
            yield Line(tier, None, BARE_PX)
        for row in rows:
            yield Line(tier, row, _row_px(row, hand.men, looks_px, column_px))


def _row_px(row: ShownRow, men: Sequence[str], looks_px: int, column_px: int) -> int:
    """Return the height at which no word of a row is cut."""
    looks = lines_px(row.words, looks_px - PICTURE_PX[0] - BESIDE_PX, weight=500)
    cells = [cell_px(row.cells[man], column_px - _CELL_PX) for man in men if man in row.cells]
    return max(ROW_PX, round(max([looks, *cells]) + _ABOVE_PX))


def overriding(lower: Sequence[str]) -> str:
    """Say what a tier overrides, given the tiers below it."""
    if not lower:
        return "answers where no later tier does"
    return f"overrides {' and '.join(lower)}" if len(lower) < 3 else "overrides all above"
