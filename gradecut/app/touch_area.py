"""A painted widget with places that can be touched."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from PyQt6.QtCore import QEvent, QPointF, QRectF, Qt
from PyQt6.QtGui import QFontMetricsF, QHelpEvent, QMouseEvent, QPainter
from PyQt6.QtWidgets import QToolTip, QWidget

from gradecut.app.theme import Dress, Size, Theme, as_qcolor, font
from gradecut.drawing import Colour

__all__ = [
    "LEAD_PX",
    "Spot",
    "TouchArea",
    "key_cap",
    "set_whole",
    "set_words",
    "whole_lines",
    "words_width",
]

_SMALLER: tuple[Size, ...] = ("body", "small")
LEAD_PX = 12.0
"""From line to line where words take several."""

_FLAGS = {
    "left": Qt.AlignmentFlag.AlignLeft,
    "centre": Qt.AlignmentFlag.AlignHCenter,
    "right": Qt.AlignmentFlag.AlignRight,
}


@dataclass(frozen=True, slots=True)
class Spot:
    """A place that does something when it is touched, with what it says when pointed at."""

    rect: QRectF
    do: Callable[[], object]
    tip: str = ""


class TouchArea(QWidget):
    """Keeps the places its painting made, and gives touches to them.

    A touch takes the focus, so that a note being written is stored first.
    """

    def __init__(self, dress: Dress) -> None:
        super().__init__()
        self.dress = dress
        self.spots: list[Spot] = []
        self.setMouseTracking(True)
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)
        dress.changed.connect(self.renew)

    def renew(self) -> None:
        """Paint anew."""
        self.update()

    @property
    def theme(self) -> Theme:
        """The theme worn now."""
        return self.dress.theme

    def painter(self) -> QPainter:
        """Begin a painting with smooth edges."""
        made = QPainter(self)
        made.setRenderHint(QPainter.RenderHint.Antialiasing)
        return made

    def spot_at(self, at: QPointF) -> Spot | None:
        """Return the place at a point; the one painted last where several lie."""
        return next((spot for spot in reversed(self.spots) if spot.rect.contains(at)), None)

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Do what the touched place does."""
        if event is not None and event.button() == Qt.MouseButton.LeftButton:
            spot = self.spot_at(event.position())
            if spot is not None:
                spot.do()

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Show that a place can be touched."""
        if event is not None:
            there = self.spot_at(event.position()) is not None
            shape = Qt.CursorShape.PointingHandCursor if there else Qt.CursorShape.ArrowCursor
            self.setCursor(shape)

    def event(self, event: QEvent | None) -> bool:
        """Say what a place does when it is pointed at."""
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            spot = self.spot_at(QPointF(event.pos()))
            QToolTip.showText(event.globalPos(), spot.tip if spot else "", self)
            return True
        return super().event(event)


def set_words(
    painter: QPainter,
    rect: QRectF,
    text: str,
    colour: Colour,
    *,
    size: Size = "body",
    weight: int = 400,
    anchor: Literal["left", "centre", "right"] = "left",
) -> float:
    """Set one line of words in a rectangle, cut where it ends; return its width in pixels."""
    painter.setFont(font(size, weight))
    metrics = painter.fontMetrics()
    room, wide = int(rect.width()) + 1, metrics.horizontalAdvance(text)
    fits = text
    if wide > room:
        fits = metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
        wide = metrics.horizontalAdvance(fits)
    painter.setPen(as_qcolor(colour))
    flags = _FLAGS[anchor] | Qt.AlignmentFlag.AlignVCenter | Qt.TextFlag.TextSingleLine
    painter.drawText(rect, int(flags), fits)
    return float(wide)


def set_whole(
    painter: QPainter,
    rect: QRectF,
    text: str,
    colour: Colour,
    *,
    weight: int = 400,
    anchor: Literal["left", "centre", "right"] = "left",
    most: int = 2,
) -> float:
    """Set words so that none is cut: a size smaller, or on some lines; return their width."""
    size, lines = whole_lines(text, rect.width(), weight, most=most)
    first = -(len(lines) - 1) * LEAD_PX / 2
    return max(
        set_words(painter, rect.translated(0, first + place * LEAD_PX), line, colour,
                  size=size, weight=weight, anchor=anchor)
        for place, line in enumerate(lines)
    )  # fmt: skip


def whole_lines(
    text: str, wide_px: float, weight: int = 400, *, most: int
) -> tuple[Size, list[str]]:
    """Break words where none is cut; return the size they are set in, and their lines."""
    for size in _SMALLER:
        if QFontMetricsF(font(size, weight)).horizontalAdvance(text) <= wide_px:
            return size, [text]
    metrics = QFontMetricsF(font("small", weight))
    two = _in_two(text, metrics)
    if most <= 2 or max(map(metrics.horizontalAdvance, two)) <= wide_px:
        return "small", two
    lines = [""]
    for part in re.findall(r"[^ -]*(?:-| +|$)", text):
        if lines[-1] and metrics.horizontalAdvance((lines[-1] + part).rstrip()) > wide_px:
            lines.append("")
        lines[-1] += part
    return "small", [line.rstrip() for line in lines[:most]]


def _in_two(text: str, metrics: QFontMetricsF) -> list[str]:
    """Break words where the longer of both lines is shortest; one word stays whole."""
    parts = text.split(" ")
    breaks = [[" ".join(parts[:at]), " ".join(parts[at:])] for at in range(1, len(parts))]
    return min(breaks, key=lambda two: max(map(metrics.horizontalAdvance, two)), default=[text])


def words_width(painter: QPainter, text: str, *, size: Size = "body", weight: int = 400) -> float:
    """Return how wide one line of words would be, in pixels."""
    painter.setFont(font(size, weight))
    return float(painter.fontMetrics().horizontalAdvance(text))


def key_cap(painter: QPainter, at: QPointF, key: str, theme: Theme, *, live: bool = True) -> float:
    """Paint a key cap, its left middle at a point; return its width in pixels.

    A key that answers now stands on a lighter cap than one that is only told.
    """
    painter.setFont(font("small", 600))
    wide = max(painter.fontMetrics().horizontalAdvance(key) + 10.0, 18.0)
    rect = QRectF(at.x(), at.y() - 9, wide, 18)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(as_qcolor(theme.pressed if live else theme.raised))
    painter.drawRoundedRect(rect, 4, 4)
    painter.setPen(as_qcolor(theme.ink if live else theme.quiet))
    painter.drawText(rect, Qt.AlignmentFlag.AlignCenter, key)
    return wide
