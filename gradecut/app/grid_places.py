"""Where each line, man and cell of the scheme's grid lies, and what lies under a point."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from typing import TYPE_CHECKING

from PyQt6.QtCore import QPointF, QRect, QRectF

from gradecut.app.grid_lines import (
    HEAD_PX,
    LEFT_PX,
    LOOKS_PX,
    NARROW_PX,
    Head,
    Line,
    heads_of,
    heads_px,
    lines_of,
    widths,
)

if TYPE_CHECKING:
    from gradecut.desk.scheme_hand import SchemeHand
    from gradecut.scheme import Scheme

__all__ = ["GridPlaces"]


class GridPlaces:
    """Lays the lines beneath one another and the men across, in pixels of the viewport.

    Attributes
    ----------
    lines : list of Line
    heads : tuple of Head
        The men across.
    looks_px, column_px, head_px : int
        Width of the looks and of a man's column; height of the heads.
    scrolled : (across, down)
        How far the grid is moved, in pixels; looks and heads stay in place.
    """

    def __init__(self) -> None:
        self.lines: list[Line] = []
        self.heads: tuple[Head, ...] = ()
        self.looks_px, self.column_px, self.head_px = LOOKS_PX, NARROW_PX, HEAD_PX
        self.scrolled = (0, 0)
        self._tops: list[int] = [0]

    def lay(self, scheme: Scheme | None, hand: SchemeHand, wide_px: int) -> None:
        """Share a width out, and give head and rows the height their words need."""
        self.looks_px, self.column_px = widths(wide_px, len(hand.men))
        self.heads = heads_of(scheme, hand.men)
        self.head_px = heads_px(self.heads, self.column_px)
        self.lines = list(lines_of(hand, self.looks_px, self.column_px))
        self._tops = [0]
        for line in self.lines:
            self._tops.append(self._tops[-1] + line.high)

    @property
    def looks_end(self) -> int:
        """Where the looks end and the men begin."""
        return LEFT_PX + self.looks_px

    @property
    def wide_px(self) -> int:
        """How wide all men are together."""
        return max(len(self.heads), 1) * self.column_px

    @property
    def high_px(self) -> int:
        """How high head and lines are together."""
        return self.head_px + self._tops[-1]

    def end_x(self, wide_px: int) -> int:
        """Return where the lines end in a viewport of some width: behind the last man."""
        return min(wide_px, self.looks_end + self.wide_px - self.scrolled[0])

    def column_x(self, column: int) -> int:
        """Return where a man's column begins."""
        return self.looks_end + column * self.column_px - self.scrolled[0]

    def line_y(self, at: int) -> int:
        """Return where a line begins."""
        return self.head_px + self._tops[at] - self.scrolled[1]

    def first_seen(self) -> int:
        """Return the first line of which something is seen."""
        return max(bisect_right(self._tops, self.scrolled[1]) - 1, 0)

    def whole_rows(self, high_px: int) -> int:
        """Return how many rows are seen whole in a viewport of some height."""
        tops = [(self.line_y(at), line.high) for at, line in enumerate(self.lines) if line.row]
        return sum(top >= self.head_px and top + high <= high_px for top, high in tops)

    def top_of(self, line: int) -> int:
        """Return how far to scroll for a line to follow the head."""
        return self._tops[min(line, len(self._tops) - 1)]

    def to_whole_line(self, down: int) -> int:
        """Return how far to scroll, at least so far, for a whole line to follow the head."""
        return self._tops[min(bisect_left(self._tops, down), len(self._tops) - 1)]

    def cell(self, line: int, column: int) -> QRect:
        """Return where a cell lies."""
        return QRect(
            self.column_x(column), self.line_y(line), self.column_px, self.lines[line].high
        )

    def add_rect(self, line: int) -> QRectF:
        """Return where "+ row" stands in the heading of a tier."""
        return QRectF(self.looks_end - 68, self.line_y(line) + 10, 52, 20)

    def line_at(self, y: float) -> int | None:
        """Return the line at a height; None in the head and below the last."""
        if y < self.head_px:
            return None
        at = bisect_right(self._tops, int(y) - self.head_px + self.scrolled[1]) - 1
        return at if 0 <= at < len(self.lines) else None

    def column_at(self, x: float) -> int | None:
        """Return the man's column at a place across; None beside them."""
        if x < self.looks_end:
            return None
        column = (int(x) - self.column_x(0)) // self.column_px
        return column if 0 <= column < len(self.heads) else None

    def add_at(self, at: QPointF) -> str:
        """Return the tier whose "+ row" lies under a point; empty where none does."""
        line = self.line_at(at.y())
        if line is None or not self.lines[line].heading:
            return ""
        return self.lines[line].tier if self.add_rect(line).contains(at) else ""
