"""One cell of the board: rate, reps, and how sure that is, drawn as a dot on its interval."""

from __future__ import annotations

from PyQt6.QtCore import QPointF, Qt
from PyQt6.QtGui import QColor, QPainter, QPen

from gradecut.app.theme import Theme, as_qcolor, font
from gradecut.desk.board_words import percent
from gradecut.grading import lies_below
from gradecut.records import BoardCell

__all__ = ["paint_cell"]

_FIGURES_PX, _BAR_PX = 24.0, 39.5
"""Below the cell's top: the baseline of its figures, and its bar."""
_COUNT_PX = 46.0
_OVER_PX = 12.0
"""So far the counts may go beyond the bar; the next cell begins further right."""
"""From the cell's left: where its number of reps stands, if the rate leaves room."""


def paint_cell(
    painter: QPainter, cell: BoardCell, at: QPointF, theme: Theme, *, good: float, bar_px: int
) -> None:
    """Paint a cell.

    A rate whose whole interval lies below the line called good has another hue and a sign.

    Parameters
    ----------
    at : QPointF
        Its top left corner.
    good : float
        The line, 0 to 1.
    bar_px : int
        How wide a rate from 0 to 1 is drawn.
    """
    if cell.n == 0:
        painter.setPen(as_qcolor(theme.quiet))
        painter.setFont(font("small"))
        painter.drawText(at + QPointF(0, _FIGURES_PX), _why_empty(cell))
        return
    below = lies_below(cell.fit, good)
    _paint_figures(painter, cell, at + QPointF(0, _FIGURES_PX), theme, below=below, bar_px=bar_px)
    _paint_bar(painter, at + QPointF(0, _BAR_PX), theme, good, bar_px)
    hue = as_qcolor(theme.drawn.did if below else theme.drawn.owed)
    _paint_interval(painter, cell, at + QPointF(0, _BAR_PX), hue, bar_px)


def _paint_figures(
    painter: QPainter, cell: BoardCell, at: QPointF, theme: Theme, *, below: bool, bar_px: int
) -> None:
    painter.setPen(as_qcolor(theme.warn if below else theme.ink))
    painter.setFont(font("body", 600))
    rate = percent(cell.fit.rate)
    painter.drawText(at, rate)
    wide = float(painter.fontMetrics().horizontalAdvance(rate))
    if below:
        painter.drawText(at + QPointF(wide + 4, 0), "▼")
        wide += 17
    painter.setPen(as_qcolor(theme.quiet))
    painter.setFont(font("small"))
    left = max(wide + 8, _COUNT_PX)
    whole, short = _counts(cell)
    fits = left + painter.fontMetrics().horizontalAdvance(whole) <= bar_px + _OVER_PX
    painter.drawText(at + QPointF(left, 0), whole if fits else short)


def _paint_bar(painter: QPainter, at: QPointF, theme: Theme, good: float, bar_px: int) -> None:
    """Paint the scale from 0 to 1 with the line called good."""
    painter.setPen(QPen(as_qcolor(theme.pressed), 1.5))
    painter.drawLine(at, at + QPointF(bar_px, 0))
    painter.setPen(QPen(as_qcolor(theme.quiet), 1, Qt.PenStyle.DotLine))
    painter.drawLine(at + QPointF(good * bar_px, -6), at + QPointF(good * bar_px, 6))


def _paint_interval(
    painter: QPainter, cell: BoardCell, at: QPointF, hue: QColor, bar_px: int
) -> None:
    if cell.fit.rate is None:
        return
    if cell.fit.low is not None and cell.fit.high is not None:
        faded = QColor(hue)
        faded.setAlphaF(0.62)
        painter.setPen(QPen(faded, 3, Qt.PenStyle.SolidLine, Qt.PenCapStyle.RoundCap))
        ends = (QPointF(cell.fit.low * bar_px, 0), QPointF(cell.fit.high * bar_px, 0))
        painter.drawLine(at + ends[0], at + ends[1])
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(hue)
    painter.drawEllipse(at + QPointF(cell.fit.rate * bar_px, 0), 4.2, 4.2)


def _counts(cell: BoardCell) -> tuple[str, str]:
    """Count the fits, those looked at closely and those passed apart; and the same shorter."""
    if not cell.passed:
        return f"n {cell.n}", f"n {cell.n}"
    return f"n {cell.examined} + {cell.passed}", f"{cell.examined}+{cell.passed}"


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
