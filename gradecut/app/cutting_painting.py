"""The painting of the strip: pictures, plays as brackets beneath, the whole recording below."""

from __future__ import annotations

from collections import OrderedDict
from functools import partial
from typing import cast

import numpy as np
from numpy.typing import NDArray
from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QImage, QPainter, QPen, QPixmap

from gradecut.app.cutting_scale import (
    BRACKET_PX,
    HIGH_PX,
    LABEL_PX,
    SIDE_PX,
    TICKS_PX,
    TOP_PX,
    CuttingScale,
    clock,
)
from gradecut.app.theme import Theme, as_qcolor
from gradecut.app.touch_area import Spot, set_words
from gradecut.desk.cutting_desk import CuttingDesk
from gradecut.desk.cutting_steps import Cut
from gradecut.drawing import Colour

__all__ = ["CuttingPainting", "CuttingPixmaps"]

_KEPT_PICTURES = 400
_LABELLED_PX = 16.0
_STEPS_S = (0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1200, 1800, 3600)


class CuttingPixmaps:
    """Small pictures ready to paint, by their times; the oldest go first."""

    def __init__(self) -> None:
        self._kept: OrderedDict[float, QPixmap] = OrderedDict()

    def width_px(self) -> float:
        """Return how wide one picture of the strip is."""
        for pixmap in self._kept.values():
            return HIGH_PX * pixmap.width() / max(pixmap.height(), 1)
        return HIGH_PX * 16 / 9

    def of(self, time_s: float, picture: NDArray[np.uint8]) -> QPixmap:
        """Return a small picture ready to paint."""
        kept = self._kept.get(time_s)
        if kept is None:
            grey = np.ascontiguousarray(picture)
            high, wide = grey.shape
            image = QImage(
                cast("bytes", grey.data), wide, high, wide, QImage.Format.Format_Grayscale8
            )
            kept = self._kept[time_s] = QPixmap.fromImage(image)
            while len(self._kept) > _KEPT_PICTURES:
                self._kept.popitem(last=False)
        return kept


class CuttingPainting:
    """Paints the strip once.

    Attributes
    ----------
    spots : list of Spot
        The places the plays made.
    """

    def __init__(
        self,
        painter: QPainter,
        theme: Theme,
        desk: CuttingDesk,
        scale: CuttingScale,
        pixmaps: CuttingPixmaps,
    ) -> None:
        self.spots: list[Spot] = []
        self._painter, self._theme, self._desk = painter, theme, desk
        self._scale, self._pixmaps = scale, pixmaps

    def paint(self) -> None:
        """Paint the pictures and plays in sight, then the whole recording."""
        if self._desk.facts is None:
            self._paint_empty()
            return
        self._paint_pictures()
        self._paint_ticks()
        self._paint_brackets()
        self._paint_playhead()
        self._paint_whole()

    def _paint_empty(self) -> None:
        rect = self._scale.row
        self._painter.setPen(Qt.PenStyle.NoPen)
        self._painter.setBrush(as_qcolor(self._theme.sunk))
        self._painter.drawRoundedRect(rect, 4, 4)
        said = self._desk.fault or "Opening the recording …"
        set_words(self._painter, rect, said, self._theme.quiet, anchor="centre")

    def _paint_brackets(self) -> None:
        """Paint all plays; those that are kept are counted."""
        self._painter.save()
        self._painter.setClipRect(QRectF(SIDE_PX - 6, 0, self._scale.room_px + 12, TICKS_PX))
        number = 0
        for place, cut in enumerate(self._desk.cuts):
            number += not cut.dropped
            self._paint_bracket(place, cut, number)
        self._painter.restore()

    def _ends(self, cut: Cut) -> tuple[float, float]:
        return self._scale.ends(*(self._desk.time_s(at) for at in (cut.first, cut.last + 1)))

    def _paint_pictures(self) -> None:
        """Paint pictures edge to edge; each stands for the time at its middle."""
        wide = self._pixmaps.width_px()
        each_s = wide / self._scale.room_px * self._scale.span_s
        row = self._scale.row
        self._painter.save()
        self._painter.setClipRect(row)
        self._painter.fillRect(row, as_qcolor(self._theme.sunk))
        number = int(self._scale.from_s / each_s)
        while number * each_s < self._scale.to_s:
            middle_s = (number + 0.5) * each_s
            found = self._desk.pictures.nearest(middle_s, max(each_s, 1.0))
            rect = QRectF(self._scale.x_of(number * each_s), TOP_PX, wide, HIGH_PX)
            if found is not None:
                self._painter.drawPixmap(
                    rect.toRect().adjusted(0, 0, 1, 0), self._pixmaps.of(*found)
                )
            self._painter.setPen(QPen(as_qcolor(self._theme.ground), 1))
            self._painter.drawLine(rect.topLeft(), rect.bottomLeft())
            number += 1
        self._dim_between(row)
        self._painter.restore()

    def _dim_between(self, row: QRectF) -> None:
        """Lay a veil over what belongs to no play, so that plays stand out."""
        veil = as_qcolor(self._theme.ground)
        veil.setAlphaF(0.62)
        left = row.left()
        for cut in self._desk.cuts:
            if cut.dropped:
                continue
            start, stop = self._ends(cut)
            if stop < row.left():
                continue
            if start > left:
                self._painter.fillRect(QRectF(left, row.top(), start - left, row.height()), veil)
            left = max(left, stop)
            if left > row.right():
                return
        self._painter.fillRect(QRectF(left, row.top(), row.right() - left, row.height()), veil)

    def _paint_bracket(self, place: int, cut: Cut, number: int) -> None:
        """Paint a play: a bracket below its pictures, its number and length under it."""
        start, stop = self._ends(cut)
        if stop < SIDE_PX or start > SIDE_PX + self._scale.room_px:
            return
        here = place == self._desk.in_hand
        style = Qt.PenStyle.DotLine if cut.dropped else Qt.PenStyle.SolidLine
        self._painter.setPen(QPen(as_qcolor(self._hue(place, cut)), 2.4 if here else 1.6, style))
        self._painter.setBrush(Qt.BrushStyle.NoBrush)
        top = TOP_PX if here else BRACKET_PX - 8
        left, right = start + 1.2, stop - 1.2
        self._painter.drawLine(QPointF(left, top), QPointF(left, BRACKET_PX))
        self._painter.drawLine(QPointF(left, BRACKET_PX), QPointF(right, BRACKET_PX))
        self._painter.drawLine(QPointF(right, BRACKET_PX), QPointF(right, top))
        if here:
            self._paint_grips(left, right)
        # In the middle of what is shown of it: half a label at the edge tells nothing.
        shown = max(start, SIDE_PX), min(stop, SIDE_PX + self._scale.room_px)
        # Labels of plays too narrow for one would lie over each other.
        if here or shown[1] - shown[0] > _LABELLED_PX:
            self._paint_label(cut, shown, number, here=here)
        spot = QRectF(start, BRACKET_PX - 8, stop - start, 32)
        why = " ".join(cut.why) or "Set by hand."
        self.spots.append(Spot(spot, partial(self._desk.take, place), why))

    def _paint_label(self, cut: Cut, ends: tuple[float, float], number: int, *, here: bool) -> None:
        """Tell a play's number, its length where there is room, and that it is unsure."""
        start, stop = ends
        length = self._desk.time_s(cut.last) - self._desk.time_s(cut.first)
        told = "dropped" if cut.dropped else f"{number}"
        if stop - start > 84:
            told += f" · {length:.1f} s"
        unsure = not cut.dropped and cut.confidence < 0.5
        ink = self._theme.accent if here else self._theme.ink
        rect = QRectF(start - 20, LABEL_PX, max(stop - start, 0.0) + 40, 18)
        set_words(
            self._painter, rect, f"{told} ?" if unsure else told,
            self._theme.quiet if cut.dropped else ink,
            size="small", weight=600 if here else 500, anchor="centre",
        )  # fmt: skip

    def _paint_grips(self, left: float, right: float) -> None:
        self._painter.setPen(Qt.PenStyle.NoPen)
        self._painter.setBrush(as_qcolor(self._theme.accent))
        for x in (left, right):
            self._painter.drawRoundedRect(QRectF(x - 3, TOP_PX + HIGH_PX / 2 - 11, 6, 22), 3, 3)

    def _paint_ticks(self) -> None:
        """Tell the time below the plays, as densely as it can be read."""
        least = 90 / self._scale.room_px * self._scale.span_s
        step = next((one for one in _STEPS_S if one >= least), _STEPS_S[-1])
        number = int(self._scale.from_s / step)
        while number * step <= self._scale.to_s:
            x = self._scale.x_of(number * step)
            number += 1
            if x < SIDE_PX - 1:
                continue
            self._painter.setPen(QPen(as_qcolor(self._theme.hairline), 1))
            self._painter.drawLine(QPointF(x, TICKS_PX - 4), QPointF(x, TICKS_PX))
            told = clock((number - 1) * step)
            told = told.removesuffix(".0") if step >= 1 else told
            rect = QRectF(x - 40, TICKS_PX, 80, 16)
            set_words(self._painter, rect, told, self._theme.quiet, size="small", anchor="centre")

    def _paint_playhead(self) -> None:
        x = self._scale.x_of(self._desk.time_s())
        if SIDE_PX - 1 <= x <= SIDE_PX + self._scale.room_px + 1:
            self._painter.setPen(QPen(as_qcolor(self._theme.ink), 1.5))
            self._painter.drawLine(QPointF(x, 4), QPointF(x, BRACKET_PX))
            self._painter.setPen(Qt.PenStyle.NoPen)
            self._painter.setBrush(as_qcolor(self._theme.ink))
            self._painter.drawEllipse(QPointF(x, 5), 3.5, 3.5)

    def _paint_whole(self) -> None:
        """Paint the recording in one line: its plays, and which part is shown above."""
        theme = self._theme
        bar = self._scale.whole
        self._painter.setPen(Qt.PenStyle.NoPen)
        self._painter.setBrush(as_qcolor(theme.sunk))
        self._painter.drawRoundedRect(bar, 4, 4)
        for place, cut in enumerate(self._desk.cuts):
            start, stop = (
                self._scale.whole_x_of(self._desk.time_s(at)) for at in (cut.first, cut.last)
            )
            high = 5.0 if cut.dropped else 12.0
            block = QRectF(start, bar.center().y() - high / 2, max(stop - start, 2.0), high)
            self._painter.setPen(Qt.PenStyle.NoPen)
            self._painter.setBrush(as_qcolor(self._hue(place, cut)))
            self._painter.drawRoundedRect(block, 1.5, 1.5)
        left, right = (
            self._scale.whole_x_of(edge) for edge in (self._scale.from_s, self._scale.to_s)
        )
        self._painter.setBrush(Qt.BrushStyle.NoBrush)
        self._painter.setPen(QPen(as_qcolor(theme.ink), 1.2))
        window = QRectF(left, bar.top() - 2, max(right - left, 4.0), bar.height() + 4)
        self._painter.drawRoundedRect(window, 4, 4)

    def _hue(self, place: int, cut: Cut) -> Colour:
        if place == self._desk.in_hand:
            return self._theme.accent
        return self._theme.drawn.faint if cut.dropped else self._theme.quiet
