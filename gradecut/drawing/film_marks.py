"""Marks on film as shapes: who, where his fit was, where he went."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from math import hypot

from gradecut.drawing._outlines import turn_points
from gradecut.drawing.lettering import CAPITAL, text_width_px
from gradecut.drawing.palette import ON_FILM, Palette, see_through
from gradecut.drawing.shapes import Box, Colour, Disc, Fill, Point, Ring, Shape, Stroke, Words
from gradecut.records.marks import Mark

__all__ = ["mark_shapes", "marks_shapes"]

_SHADE = (6, 9, 12, 150)
_RING_RX, _RING_RY = 33.0, 12.5
_MISS_DASH: tuple[float, ...] = (11.0, 8.0)
_POINTS_NEEDED = {"arrow": 2, "ruler": 2, "path": 2, "lane": 3}
_FULL = 720.0
"""Sizes below are for a film this high, and grow and shrink with it."""
_SMALLEST = 0.5
"""Marks shrink no further than this, or they could not be seen."""


class _Pen:
    """Sizes and colours for one picture height."""

    def __init__(
        self, height_px: float, palette: Palette, right: bool | None, rings: Collection[Point]
    ) -> None:
        self.unit = max(height_px / _FULL, _SMALLEST)
        self.palette = palette
        self.right = right
        self.rings = rings

    def hue(self, mark: Mark) -> Colour:
        if mark.meaning == "did" and self.right:
            return self.palette.right
        return {"owed": self.palette.owed, "did": self.palette.did}.get(
            mark.meaning, self.palette.line
        )

    def text_hue(self, mark: Mark) -> Colour:
        if mark.meaning == "did" and self.right:
            return self.palette.right_text
        return {"owed": self.palette.owed_text, "did": self.palette.did_text}.get(
            mark.meaning, self.palette.ink
        )

    def line(
        self, points: tuple[Point, ...], colour: Colour, width: float, dash: tuple[float, ...] = ()
    ) -> tuple[Shape, Shape]:
        """Draw a line with a dark edge, so that it reads on grass and on white paint."""
        dashes = tuple(length * self.unit for length in dash)
        edge = Stroke(points=points, width_px=(width + 2.4) * self.unit, colour=_SHADE, dash=dashes)
        core = Stroke(points=points, width_px=width * self.unit, colour=colour, dash=dashes)
        return edge, core

    def plate(self, text: str, centre: Point, colour: Colour, size: float) -> tuple[Shape, ...]:
        """Set words on a plate, centred on a point."""
        if not text:
            return ()
        size_px = size * self.unit
        wide = text_width_px(text, size_px, 600) + 1.1 * size_px
        high = size_px * (CAPITAL + 0.8)
        x, y = centre
        ground = see_through(self.palette.ground, 0.82)
        return (
            Box(
                rect=(x - wide / 2, y - high / 2, wide, high),
                corner_px=high * 0.24,
                colour=ground,
            ),
            Words(
                text=text, at=centre, size_px=size_px, colour=colour, weight=600,
                anchor="centre", line="middle",
            ),
        )  # fmt: skip


def mark_shapes(
    mark: Mark,
    *,
    size_px: tuple[int, int],
    palette: Palette = ON_FILM,
    label: str | None = None,
    right: bool | None = None,
    rings: Collection[Point] = (),
) -> tuple[Shape, ...]:
    """Turn a mark into shapes in film pixels.

    Owed is hollow or translucent and did is solid, in their hues; an arrow that means did
    is dashed, for it leads from where he should have been to where he went. What was done
    right stands in the hue of right, its arrow unbroken.

    Parameters
    ----------
    mark : Mark
        Its points are film pixels as displayed.
    size_px : (width, height)
        Of the film; marks are sized by its height.
    palette : Palette
        Colours by meaning.
    label : str, optional
        Words on the plate instead of the mark's own text, such as "Keel 52".
    right : bool, optional
        Whether the man it belongs to was graded right; None while that is not known.
    rings : collection of Point, optional
        Middles of the rings on the same picture, in film pixels: an arrow's head stops at
        the edge of the one it points into.

    Returns
    -------
    tuple of Shape
        Empty when the mark has too few points to be drawn.
    """
    if len(mark.points) < _POINTS_NEEDED.get(mark.kind, 1):
        return ()
    pen = _Pen(size_px[1], palette, right, rings)
    text = mark.text if label is None else label
    return _DRAWN[mark.kind](pen, mark, text)


def marks_shapes(
    marks: Sequence[Mark],
    *,
    size_px: tuple[int, int],
    label: Callable[[Mark], str | None] = lambda _: None,
    right: Callable[[Mark], bool | None] = lambda _: None,
) -> tuple[Shape, ...]:
    """Turn all marks of one picture into shapes, arrows stopping at the rings they point into.

    Parameters
    ----------
    label, right : function of a mark
        As in `mark_shapes`.
    """
    rings = tuple(mark.points[0] for mark in marks if mark.kind == "ring" and mark.points)
    return tuple(
        shape
        for mark in marks
        for shape in mark_shapes(
            mark, size_px=size_px, label=label(mark), right=right(mark), rings=rings
        )
    )


def _bracket(pen: _Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Draw two corners that hold a man's feet, his name below."""
    (x, y), unit = mark.points[0], pen.unit
    half, arm, rise = 23 * unit, 11 * unit, 12 * unit
    low = y + 4 * unit
    left = ((x - half, low - rise), (x - half, low), (x - half + arm, low))
    right = ((x + half, low - rise), (x + half, low), (x + half - arm, low))
    hue = pen.hue(mark)
    strokes = (*pen.line(left, hue, 3), *pen.line(right, hue, 3))
    edges, cores = strokes[::2], strokes[1::2]
    plate = pen.plate(text, (x, low + 18 * unit), pen.text_hue(mark), 17)
    return (*edges, *cores, *plate)


def _ring(pen: _Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Draw an ellipse lying on the grass; solid in the middle when it is what he did."""
    (x, y), unit = mark.points[0], pen.unit
    rx, ry = _RING_RX * unit, _RING_RY * unit
    hue = pen.hue(mark)
    shapes: list[Shape] = [
        Ring(centre=(x, y), rx_px=rx, ry_px=ry, width_px=6 * unit, colour=_SHADE),
        Ring(centre=(x, y), rx_px=rx, ry_px=ry, width_px=3.6 * unit, colour=hue),
    ]
    if mark.meaning == "did":
        shapes.append(Disc(centre=(x, y), radius_px=6 * unit, colour=hue))
    shapes += pen.plate(text, (x, y + ry + 17 * unit), pen.text_hue(mark), 16)
    return tuple(shapes)


def _arrow(pen: _Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Draw a line with a solid head at its last point.

    An arrow of what he did begins at the edge of the ring it leaves, which stays hollow, and
    any arrow ends at the edge of a ring it points into.
    """
    hue, unit = pen.hue(mark), pen.unit
    *_, before, tip = mark.points
    tip = _short_of_rings(tip, before, pen)
    reach = hypot(tip[0] - before[0], tip[1] - before[1]) or 1.0
    towards = ((tip[0] - before[0]) / reach, (tip[1] - before[1]) / reach)
    head = min(19 * unit, reach)
    neck = (tip[0] - towards[0] * head * 0.8, tip[1] - towards[1] * head * 0.8)
    start: Point = mark.points[0]
    dash: tuple[float, ...] = ()
    if mark.meaning == "did":
        start = _edge_of_ring(start, mark.points[1], unit)
        dash = () if pen.right else _MISS_DASH
    line = (start, *mark.points[1:-1], neck)
    wide = turn_points(
        (tip[0] + towards[0] * 2.5 * unit, tip[1] + towards[1] * 2.5 * unit),
        towards, head + 4.5 * unit, 0.5,
    )  # fmt: skip
    edge, core = pen.line(line, hue, 3.6, dash)
    solid = turn_points(tip, towards, head, 0.46)
    first, last = mark.points[0], mark.points[-1]
    middle = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2 - 20 * unit)
    return (
        edge,
        Fill(points=tuple(wide), colour=_SHADE),
        core,
        Fill(points=tuple(solid), colour=hue),
        *pen.plate(text, middle, pen.text_hue(mark), 16),
    )


def _edge_of_ring(centre: Point, towards: Point, unit: float) -> Point:
    """Return where a line leaves the ring around its first point; the point when it is short."""
    dx, dy = towards[0] - centre[0], towards[1] - centre[1]
    across = hypot(dx / (_RING_RX * unit), dy / (_RING_RY * unit))
    if across < 1.8:
        return centre
    return centre[0] + dx / across, centre[1] + dy / across


def _short_of_rings(tip: Point, before: Point, pen: _Pen) -> Point:
    """Return where an arrow must end so that its head covers no ring; its tip where it may."""
    rx, ry = (_RING_RX + 5) * pen.unit, (_RING_RY + 5) * pen.unit
    for x, y in pen.rings:
        inside = hypot((tip[0] - x) / rx, (tip[1] - y) / ry) < 1
        if not inside or hypot((before[0] - x) / rx, (before[1] - y) / ry) <= 1:
            continue
        return _crossing((before[0] - x, before[1] - y), (tip[0] - x, tip[1] - y), (rx, ry), (x, y))
    return tip


def _crossing(outer: Point, inner: Point, radii: Point, centre: Point) -> Point:
    """Return where a line into an ellipse crosses its edge, halving the way between its ends.

    ``outer`` and ``inner`` are counted from the ellipse's middle.
    """
    low, high = 0.0, 1.0
    for _ in range(20):
        share = (low + high) / 2
        x = outer[0] + share * (inner[0] - outer[0])
        y = outer[1] + share * (inner[1] - outer[1])
        if hypot(x / radii[0], y / radii[1]) > 1:
            low = share
        else:
            high = share
    share = low
    return (
        centre[0] + outer[0] + share * (inner[0] - outer[0]),
        centre[1] + outer[1] + share * (inner[1] - outer[1]),
    )


def _path(pen: _Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Draw the way a man goes, dashed."""
    x, y = mark.points[-1]
    return (
        *pen.line(mark.points, pen.hue(mark), 3, (8.0, 7.0)),
        *pen.plate(text, (x, y + 20 * pen.unit), pen.text_hue(mark), 16),
    )


def _lane(pen: _Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Tint a stretch of grass."""
    hue = pen.hue(mark)
    x = sum(point[0] for point in mark.points) / len(mark.points)
    y = sum(point[1] for point in mark.points) / len(mark.points)
    return (
        Fill(points=mark.points, colour=see_through(hue, 0.26)),
        Stroke(
            points=mark.points, width_px=2 * pen.unit, colour=see_through(hue, 0.85), closed=True
        ),
        *pen.plate(text, (x, y), pen.text_hue(mark), 16),
    )


def _text(pen: _Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Set words on the film."""
    return pen.plate(text, mark.points[0], pen.text_hue(mark), 18)


def _ruler(pen: _Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Draw a measured line with a tick at either end and at its quarters."""
    (x0, y0), (x1, y1) = mark.points[0], mark.points[-1]
    reach = hypot(x1 - x0, y1 - y0) or 1.0
    across = (-(y1 - y0) / reach, (x1 - x0) / reach)
    hue, unit = pen.hue(mark), pen.unit
    strokes = list(pen.line(((x0, y0), (x1, y1)), hue, 2.4))
    for share, length in ((0.0, 10.0), (0.25, 4.0), (0.5, 6.0), (0.75, 4.0), (1.0, 10.0)):
        x, y = x0 + (x1 - x0) * share, y0 + (y1 - y0) * share
        dx, dy = across[0] * length * unit, across[1] * length * unit
        strokes += pen.line(((x - dx, y - dy), (x + dx, y + dy)), hue, 2.4)
    edges, cores = strokes[::2], strokes[1::2]
    middle = ((x0 + x1) / 2, (y0 + y1) / 2 + 24 * unit)
    return (*edges, *cores, *pen.plate(text, middle, pen.text_hue(mark), 16))


_DRAWN: dict[str, Callable[[_Pen, Mark, str], tuple[Shape, ...]]] = {
    "bracket": _bracket,
    "ring": _ring,
    "arrow": _arrow,
    "path": _path,
    "lane": _lane,
    "text": _text,
    "ruler": _ruler,
}
