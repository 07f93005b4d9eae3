"""One cell of the board: rate, reps, and how sure that is, drawn as a dot on its interval."""

from __future__ import annotations

from PyQt6.QtCore import QPointF, Qt
from PyQt6.QtGui import QColor, QPainter, QPen

from gradecut.app.theme import Theme, as_qcolor, font
from gradecut.desk.board_words import percent
from gradecut.grading import lies_below
from gradecut.records import BoardCell

__all__ = ["paint_cell"]

_FIGURES_PX, _BAR_PX = -5.0, 10.5
"""Below the cell's middle: the baseline of its figures, and its bar."""
_RATE_PX, _COUNT_PX = 43.0, 51.0
"""From the cell's left: where every rate ends, and where every count begins."""
_DOT_PX = 4.2


def paint_cell(
    painter: QPainter,
    cell: BoardCell,
    at: QPointF,
    theme: Theme,
    *,
    good: float,
    bar_px: int,
    in_words: bool,
) -> None:
    """Paint a cell.

    A rate whose whole interval lies below the line called good has another hue and a sign.
    Rates end at one place and counts begin at one, so that both line up down a column.

    Parameters
    ----------
    at : QPointF
        The middle of its left edge.
    good : float
        The line, 0 to 1.
    bar_px : int
        How wide the scale from 0 to 1 is drawn; its dots stay within.
    in_words : bool
        Say reps in words, not as a bare sum of those looked at closely and those at speed.
    """
    if cell.n == 0:
        painter.setPen(as_qcolor(theme.quiet))
        painter.setFont(font("small"))
        painter.drawText(at + QPointF(0, 4), _why_empty(cell))
        return
    below = lies_below(cell.fit, good)
    _paint_figures(
        painter, cell, at + QPointF(0, _FIGURES_PX), theme, below=below, in_words=in_words
    )
    _paint_bar(painter, at + QPointF(0, _BAR_PX), theme, good, bar_px)
    hue = as_qcolor(theme.drawn.did if below else theme.drawn.owed)
    _paint_interval(painter, cell, at + QPointF(0, _BAR_PX), hue, bar_px)


def _paint_figures(
    painter: QPainter, cell: BoardCell, at: QPointF, theme: Theme, *, below: bool, in_words: bool
) -> None:
    painter.setPen(as_qcolor(theme.warn if below else theme.ink))
    painter.setFont(font("body", 600))
    rate = percent(cell.fit.rate)
    start = _RATE_PX - painter.fontMetrics().horizontalAdvance(rate)
    painter.drawText(at + QPointF(start, 0), rate)
    if below:
        painter.drawText(at + QPointF(start - 16, 0), "▼")
    painter.setPen(as_qcolor(theme.quiet))
    painter.setFont(font("small"))
    painter.drawText(at + QPointF(_COUNT_PX, 0), _counts(cell, in_words=in_words))


def _paint_bar(painter: QPainter, at: QPointF, theme: Theme, good: float, bar_px: int) -> None:
    """Paint the scale from 0 to 1 with the line called good."""
    painter.setPen(QPen(as_qcolor(theme.pressed), 1.5))
    painter.drawLine(at, at + QPointF(bar_px, 0))
    painter.setPen(QPen(as_qcolor(theme.quiet), 1, Qt.PenStyle.DotLine))
    line = _along(good, bar_px)
    painter.drawLine(at + QPointF(line, -6), at + QPointF(line, 6))


def _along(share: float, bar_px: int) -> float:
    """Return how far along the bar a share lies; a dot there never leaves the bar."""
    return _DOT_PX + share * (bar_px - 2 * _DOT_PX)


def _paint_interval(
    painter: QPainter, cell: BoardCell, at: QPointF, hue: QColor, bar_px: int
) -> None:
    if cell.fit.rate is None:
        return
    if cell.fit.low is not None and cell.fit.high is not None:
        faded = QColor(hue)
        faded.setAlphaF(0.62)
        painter.setPen(QPen(faded, 3, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        low, high = _along(cell.fit.low, bar_px), _along(cell.fit.high, bar_px)
        painter.drawLine(at + QPointF(low, 0), at + QPointF(high, 0))
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(hue)
    painter.drawEllipse(at + QPointF(_along(cell.fit.rate, bar_px), 0), _DOT_PX, _DOT_PX)


def _counts(cell: BoardCell, *, in_words: bool) -> str:
    """Count the fits, those looked at closely and those graded at speed apart."""
    if not in_words:
        return f"{cell.examined}+{cell.passed}" if cell.passed else str(cell.n)
    reps = f"{cell.n} {'rep' if cell.n == 1 else 'reps'}"
    return f"{reps}, {cell.passed} at speed" if cell.passed else reps


def _why_empty(cell: BoardCell) -> str:
    """Say why no rate stands in a cell."""
    for count, what in (
        (cell.open, "open"),
        (cell.cannot, "can't grade"),
        (cell.not_owed, "no run job"),
    ):
        if count:
            return f"– {count} {what}"
    return "–"
