"""One cell of the scheme's grid, one row's looks, and one man's head, as they are painted."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QPainter, QPen, QTextLayout, QTextOption

from gradecut.app.theme import Size, Theme, as_qcolor, font
from gradecut.app.touch_area import set_words
from gradecut.desk.scheme_audit import FindingRow
from gradecut.drawing import Colour

if TYPE_CHECKING:
    from gradecut.scheme.grid import GridCell

__all__ = [
    "cell_px", "head_px", "lines_px", "paint_cell", "paint_frame", "paint_head", "set_lines",
    "sign_of", "tip_of",
]  # fmt: skip

_SERIOUS, _WARNING = "✗", "△"
_LINE_PX: dict[Size, float] = {"body": 17.0, "small": 15.0}
_SIGN_PX = 16.0
"""Kept free behind a fit for the sign of what was found."""


def sign_of(findings: Sequence[FindingRow]) -> str:
    """Return the sign of what was found of a cell; empty where nothing was."""
    if not findings:
        return ""
    return _SERIOUS if any(one.serious for one in findings) else _WARNING


def tip_of(cell: GridCell, findings: Sequence[FindingRow]) -> str:
    """Tell a cell in full, with what was found of it, a line each."""
    told = [f"{cell.fit} ({cell.rule})", _also(cell), cell.cue or ""]
    told += [f"{sign_of([one])} {one.words}" for one in findings]
    return "\n".join(filter(None, told))


def paint_frame(painter: QPainter, rect: QRectF, theme: Theme, *, keys: bool) -> None:
    """Paint the cell in hand, with the accent around it while it has the keys."""
    painter.setBrush(as_qcolor(theme.raised))
    colour = theme.accent if keys else theme.hairline
    painter.setPen(QPen(as_qcolor(colour), 1.5 if keys else 1.0))
    painter.drawRoundedRect(rect.adjusted(0.75, 0.75, -0.75, -0.75), 6, 6)


def cell_px(cell: GridCell, wide_px: float) -> float:
    """Return the height at which no word of a cell is cut."""
    return (
        lines_px(cell.fit, wide_px - _SIGN_PX, weight=600)
        + lines_px(_also(cell), wide_px, size="small")
        + lines_px(cell.cue or "", wide_px, size="small")
    )


def head_px(name: str, side: str, wide_px: float) -> float:
    """Return the height of a man's head."""
    return lines_px(name, wide_px, weight=600) + lines_px(side, wide_px, size="small")


def paint_head(
    painter: QPainter, rect: QRectF, name: str, side: str, theme: Theme, *, graded: bool
) -> None:
    """Paint a man's name and his side; one who is not graded stands back."""
    ink = theme.ink if graded else theme.quiet
    used = set_lines(painter, rect, name, ink, weight=600)
    set_lines(painter, rect.adjusted(0, used, 0, 0), side, theme.quiet, size="small")


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
    name = rect.adjusted(0, 0, -_SIGN_PX, 0)
    rest = rect.adjusted(0, set_lines(painter, name, cell.fit, theme.ink, weight=600), 0, 0)
    if sign:
        colour = theme.warn if sign == _SERIOUS else theme.quiet
        mark = QRectF(rect.right() - 14, rect.y(), 14, 18)
        set_words(painter, mark, sign, colour, weight=600, anchor="right")
    for told, colour in ((_also(cell), theme.ink), (cell.cue or "", theme.quiet)):
        used = set_lines(painter, rest, told, colour, size="small")
        rest.setTop(rest.top() + used)


def _also(cell: GridCell) -> str:
    return f"or {', '.join(cell.also)}" if cell.also else ""


def lines_px(text: str, wide_px: float, *, size: Size = "body", weight: int = 400) -> float:
    """Return the height of words that are broken where a width ends."""
    return len(_broken(text, round(wide_px), size, weight)) * _LINE_PX.get(size, 17.0)


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
    painter.setFont(font(size, weight))
    painter.setPen(as_qcolor(colour))
    step, metrics = _LINE_PX.get(size, 17.0), painter.fontMetrics()
    lines = _broken(text, round(rect.width()), size, weight)
    most = max(int((rect.height() + 1) // step), 1)
    for place, line in enumerate(lines[:most]):
        told = line
        if place == most - 1 and len(lines) > most:
            left = " ".join(lines[place:])
            told = metrics.elidedText(left, Qt.TextElideMode.ElideRight, int(rect.width()))
        painter.drawText(QPointF(rect.x(), rect.y() + place * step + metrics.ascent()), told)
    return min(len(lines), most) * step


@lru_cache(maxsize=20_000)
def _broken(text: str, wide_px: int, size: Size, weight: int) -> tuple[str, ...]:
    """Break words into lines of a width, between words where that goes."""
    layout = QTextLayout(text, font(size, weight))
    option = QTextOption(Qt.AlignmentFlag.AlignLeft)
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout.setTextOption(option)
    layout.beginLayout()
    lines: list[str] = []
    while text and (line := layout.createLine()).isValid():
        line.setLineWidth(max(wide_px, 1))
        start = line.textStart()
        lines.append(text[start : start + line.textLength()].rstrip())
    layout.endLayout()
    return tuple(lines)
