"""Words that are told on the film itself: on dark plates, so that they read on any film."""

from __future__ import annotations

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QPainter

from gradecut.app.theme import Size, as_qcolor, font
from gradecut.drawing import ON_FILM, Colour

__all__ = ["PLATE_OPACITY", "paint_plate", "plate_width"]

PLATE_OPACITY = 0.84
"""On pure white film the lightest ground this leaves still holds text at 4.5:1."""
_SIDE_PX, _RISE_PX = 9.0, 3.5


def plate_width(painter: QPainter, words: str, *, size: Size = "small", weight: int = 500) -> float:
    """Return how wide a plate with these words is, in pixels."""
    painter.setFont(font(size, weight))
    return painter.fontMetrics().horizontalAdvance(words) + 2 * _SIDE_PX


def paint_plate(
    painter: QPainter,
    at: QPointF,
    *parts: tuple[str, Colour],
    size: Size = "small",
    weight: int = 500,
    most_px: float = 2000.0,
    rise: bool = False,
) -> QRectF:
    """Paint words on a plate, its left top at a point; return the rectangle it takes.

    Parameters
    ----------
    parts : tuple of (words, Colour)
        Set in one line, one after another; no words, no plate.
    most_px : float
        How wide the plate may be; words that do not fit are cut with an ellipsis.
    rise : bool
        The point is its left bottom.
    """
    parts = tuple(part for part in parts if part[0])
    if not parts:
        return QRectF(at.x(), at.y(), 0, 0)
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setFont(font(size, weight))
    metrics = painter.fontMetrics()
    high = metrics.height() + 2 * _RISE_PX
    gap = metrics.horizontalAdvance("  ")
    widths = [metrics.horizontalAdvance(words) for words, _ in parts]
    wide = min(sum(widths) + gap * (len(parts) - 1) + 2 * _SIDE_PX, most_px)
    rect = QRectF(at.x(), at.y() - (high if rise else 0), wide, high)
    painter.setPen(Qt.PenStyle.NoPen)
    ground = as_qcolor(ON_FILM.ground)
    ground.setAlphaF(PLATE_OPACITY)
    painter.setBrush(ground)
    painter.drawRoundedRect(rect, 5, 5)
    x = rect.left() + _SIDE_PX
    flags = int(Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine)
    for (words, colour), width in zip(parts, widths, strict=True):
        room = rect.right() - _SIDE_PX - x
        if room <= 0:
            break
        told = metrics.elidedText(words, Qt.TextElideMode.ElideRight, round(room) + 1)
        painter.setPen(as_qcolor(colour))
        painter.drawText(QRectF(x, rect.top(), room + 2, high), flags, told)
        x += width + gap
    painter.restore()
    return rect
