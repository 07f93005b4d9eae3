"""One cell of the scheme's grid, one row's looks, and one man's head, as they are painted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QPainter, QPen, QTextLayout, QTextOption

from gradecut.app.theme import Size, Theme, as_qcolor, font
from gradecut.app.touch_area import set_words
from gradecut.desk.scheme_audit import FindingRow
from gradecut.drawing import Colour

if TYPE_CHECKING:
    from gradecut.scheme.grid import GridCell

__all__ = ["paint_cell", "paint_frame", "set_lines", "sign_of"]

_SERIOUS, _WARNING = "✗", "△"
_LINE_PX: dict[Size, float] = {"body": 17.0, "small": 15.0}


def sign_of(findings: Sequence[FindingRow]) -> str:
    """Return the sign of what was found of a cell; empty where nothing was."""
    if not findings:
        return ""
    return _SERIOUS if any(one.serious for one in findings) else _WARNING


def paint_frame(painter: QPainter, rect: QRectF, theme: Theme, *, keys: bool) -> None:
    """Paint the cell in hand, with the accent around it while it has the keys."""
    painter.setBrush(as_qcolor(theme.raised))
    colour = theme.accent if keys else theme.hairline
    painter.setPen(QPen(as_qcolor(colour), 1.5 if keys else 1.0))
    painter.drawRoundedRect(rect.adjusted(0.75, 0.75, -0.75, -0.75), 6, 6)


def paint_cell(
    painter: QPainter,
    rect: QRectF,
    cell: GridCell,
    theme: Theme,
    *,
    findings: Sequence[FindingRow] = (),
    clashing: bool = False,
) -> None:
    """Paint a fit with what counts as right too, its cue, and a sign of what was found."""
    sign = _SERIOUS if clashing else sign_of(findings)
    room = rect.width() - (16 if sign else 0)
    top = rect.y()
    name = QRectF(rect.x(), top, room, 18)
    set_words(painter, name, cell.fit, theme.ink, weight=600)
    if sign:
        colour = theme.warn if sign == _SERIOUS else theme.quiet
        mark = QRectF(rect.right() - 14, top, 14, 18)
        set_words(painter, mark, sign, colour, weight=600, anchor="right")
    top += 18
    if cell.also:
        also = QRectF(rect.x(), top, rect.width(), 15)
        set_words(painter, also, f"or {', '.join(cell.also)}", theme.ink, size="small")
        top += 15
    if cell.cue:
        left = QRectF(rect.x(), top, rect.width(), rect.bottom() - top)
        set_lines(painter, left, cell.cue, theme.quiet, size="small")


def set_lines(
    painter: QPainter,
    rect: QRectF,
    text: str,
    colour: Colour,
    *,
    size: Size = "body",
    weight: int = 400,
) -> float:
    """Set words over as many lines as a rectangle holds, the last one cut; return their height."""
    made = font(size, weight)
    painter.setFont(made)
    painter.setPen(as_qcolor(colour))
    step = _LINE_PX.get(size, 17.0)
    most = max(int(rect.height() // step), 1)
    metrics = painter.fontMetrics()
    layout = QTextLayout(text, made)
    layout.setTextOption(QTextOption(Qt.AlignmentFlag.AlignLeft))
    layout.beginLayout()
    place = 0
    while place < most:
        line = layout.createLine()
        if not line.isValid():
            break
        line.setLineWidth(rect.width())
        start, count = line.textStart(), line.textLength()
        part = text[start : start + count].rstrip()
        if place == most - 1 and start + count < len(text):
            rest = text[start:]
            part = metrics.elidedText(rest, Qt.TextElideMode.ElideRight, int(rect.width()))
        y = rect.y() + place * step + metrics.ascent()
        painter.drawText(QPointF(rect.x(), y), part)
        place += 1
    layout.endLayout()
    return place * step
