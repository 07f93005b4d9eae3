"""The pen marks on film are drawn with: sizes by the film's height, hues by what is meant."""

from __future__ import annotations

from collections.abc import Collection
from math import hypot

from gradecut.drawing._outlines import turn_points
from gradecut.drawing.lettering import CAPITAL, text_width_px
from gradecut.drawing.mark_colours import MARK_COLOURS, edge_of, words_on
from gradecut.drawing.palette import Palette, see_through
from gradecut.drawing.shapes import Box, Colour, Disc, Fill, Point, Ring, Shape, Stroke, Words
from gradecut.records.marks import Mark

__all__ = ["Pen", "heading"]

_FULL = 720.0
"""Sizes are for a film this high, and grow and shrink with it."""
_SMALLEST = 0.5
"""Marks shrink no further than this, or they could not be seen."""
_HOLLOW = 2.2
"""How wide a line that stands for what is owed is open, in units."""
_PLAIN = 0.72
"""How thick a plain line is, of one that means something."""


class Pen:
    """Sizes, hues and strokes for one mark on film of one height.

    Attributes
    ----------
    unit : float
        Film pixels for each pixel of a film 720 high.
    hue, edge : Colour
        Of its lines, and what they are edged with so that they read on grass and on paint.
    """

    def __init__(
        self,
        mark: Mark,
        height_px: float,
        *,
        palette: Palette,
        right: bool | None,
        rings: Collection[Mark],
        size: float,
    ) -> None:
        self.unit = max(height_px / _FULL, _SMALLEST) * size
        self.means = mark.meaning
        self.right = right
        self.rings = rings
        self._palette = palette
        self._chosen = MARK_COLOURS.get(mark.colour)
        self.hue = self._chosen or self._meant(palette.owed, palette.did, palette.right)
        self.edge = edge_of(self.hue)

    def _meant(self, owed: Colour, did: Colour, right: Colour) -> Colour:
        if self.means == "did":
            return right if self.right else did
        return owed if self.means == "owed" else self._palette.line

    @property
    def _text_hue(self) -> Colour:
        palette = self._palette
        if self.means == "plain":
            return palette.ink
        return self._meant(palette.owed_text, palette.did_text, palette.right_text)

    def thick(self, width: float) -> float:
        """Return a line's width: plain ones are thin."""
        return width * _PLAIN if self.means == "plain" else width

    # ------------------------------------------------------------------ strokes

    def line(
        self,
        points: tuple[Point, ...],
        width: float,
        *,
        dash: tuple[float, ...] = (),
        closed: bool = False,
    ) -> tuple[Shape, Shape]:
        """Draw a line and, to be laid below it, its edge; widths and dashes in units."""
        dashes = tuple(length * self.unit for length in dash)
        edge = Stroke(
            points=points, width_px=(width + 2.4) * self.unit, colour=self.edge, dash=dashes,
            closed=closed,
        )  # fmt: skip
        core = Stroke(
            points=points, width_px=width * self.unit, colour=self.hue, dash=dashes, closed=closed
        )
        return edge, core

    def outline(
        self,
        points: tuple[Point, ...],
        width: float,
        *,
        dash: tuple[float, ...] = (),
        closed: bool = False,
    ) -> tuple[Shape, ...]:
        """Draw a line that tells what is meant: hollow for owed, thin for plain."""
        if self.means != "owed":
            return self.line(points, self.thick(width), dash=dash, closed=closed)
        hollow = Stroke(
            points=points, width_px=_HOLLOW * self.unit, colour=(*self.edge[:3], 210),
            dash=tuple(length * self.unit for length in dash), closed=closed,
        )  # fmt: skip
        return (*self.line(points, width + 2, dash=dash, closed=closed), hollow)

    def dot(self, centre: Point, radius: float) -> tuple[Shape, ...]:
        """Draw a disc for did, a ring for owed, nothing for plain."""
        reach = radius * self.unit
        if self.means == "did":
            return (
                Disc(centre=centre, radius_px=reach + 1.2 * self.unit, colour=self.edge),
                Disc(centre=centre, radius_px=reach, colour=self.hue),
            )
        if self.means == "owed":
            return tuple(
                Ring(centre=centre, rx_px=reach, ry_px=reach, width_px=wide * self.unit, colour=hue)
                for wide, hue in ((4.4, self.edge), (2.2, self.hue))
            )
        return ()

    def head(
        self, tip: Point, towards: Point, length_px: float
    ) -> tuple[tuple[Shape, ...], tuple[Shape, ...], Point]:
        """Draw an arrow's head: solid for did, hollow for owed, two open strokes for plain.

        Returns
        -------
        (edges, cores, neck)
            The line ends at the neck.
        """
        dx, dy = towards
        if self.means == "plain":
            _, left, right = turn_points(tip, towards, length_px * 0.9, 0.52)
            edge, core = self.line((left, tip, right), self.thick(3.6))
            return (edge,), (core,), tip
        neck = (tip[0] - dx * length_px * 0.8, tip[1] - dy * length_px * 0.8)
        if self.means == "owed":
            wide = max(length_px - 3 * self.unit, 1.0)
            inner = (tip[0] - dx * 2 * self.unit, tip[1] - dy * 2 * self.unit)
            points = tuple(turn_points(inner, towards, wide, 0.5))
            edge, core = self.line(points, 2.6, closed=True)
            base = (inner[0] - dx * wide, inner[1] - dy * wide)
            return (edge,), (core,), base
        ahead = (tip[0] + dx * 2.5 * self.unit, tip[1] + dy * 2.5 * self.unit)
        wider = tuple(turn_points(ahead, towards, length_px + 4.5 * self.unit, 0.5))
        solid = tuple(turn_points(tip, towards, length_px, 0.46))
        return (
            (Fill(points=wider, colour=self.edge),),
            (Fill(points=solid, colour=self.hue),),
            neck,
        )

    def tint(self, points: tuple[Point, ...], share: float) -> Fill:
        """Lay the hue over a stretch of film so that it still shows."""
        return Fill(points=points, colour=see_through(self.hue, share))

    # ------------------------------------------------------------------ words

    def plate(self, text: str, centre: Point, size: float, *, sign: bool = False) -> list[Shape]:
        """Set words on a plate, centred on a point.

        Parameters
        ----------
        sign : bool
            Set the sign of what is meant before them: a ring for owed, a disc for did.
        """
        if not text:
            return []
        size_px = size * self.unit
        signed = 0.95 * size_px if sign and self.means != "plain" else 0.0
        wide = text_width_px(text, size_px, 600) + 1.1 * size_px + signed
        high = size_px * (CAPITAL + 0.8)
        x, y = centre
        left = x - wide / 2
        ground, ink = see_through(self._palette.ground, 0.82), self._text_hue
        if self._chosen is not None:
            ground, ink = see_through(self._chosen, 0.94), words_on(self._chosen)
        shapes: list[Shape] = [
            Box(rect=(left, y - high / 2, wide, high), corner_px=high * 0.24, colour=ground)
        ]
        if signed:
            at, radius = (left + 0.85 * size_px, y), 0.27 * size_px
            if self.means == "did":
                shapes.append(Disc(centre=at, radius_px=radius, colour=ink))
            else:
                line = 0.13 * size_px
                reach = radius - line / 2
                shapes.append(Ring(centre=at, rx_px=reach, ry_px=reach, width_px=line, colour=ink))
        shapes.append(
            Words(
                text=text, at=(x + signed / 2, y), size_px=size_px, colour=ink, weight=600,
                anchor="centre", line="middle",
            )
        )  # fmt: skip
        return shapes


def heading(before: Point, tip: Point) -> Point:
    """Return the direction from one point to another, of length one; nought for one point."""
    reach = hypot(tip[0] - before[0], tip[1] - before[1]) or 1.0
    return (tip[0] - before[0]) / reach, (tip[1] - before[1]) / reach
