"""Marks on film as shapes: who, where his fit was, where he went."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from math import hypot

from gradecut.drawing._film_pen import Pen, heading
from gradecut.drawing._ways import smooth_way
from gradecut.drawing.palette import ON_FILM, Palette
from gradecut.drawing.shapes import Box, Point, Ring, Shape, Words
from gradecut.records.marks import Mark

__all__ = ["POINTS_NEEDED", "bracket_name", "mark_shapes", "marks_shapes", "ring_radii"]

_RING_RX, _RING_RY = 33.0, 12.5
_LEAST_RING = 0.3
"""No ring is made smaller than this share of the usual one: it could not be taken hold of."""
_MISS_DASH: tuple[float, ...] = (11.0, 8.0)
_PATH_DASH: tuple[float, ...] = (9.0, 8.0)
_TINT = {"owed": 0.16, "did": 0.4, "plain": 0.24}
"""How much of its hue a stretch of film takes: owed is nearly hollow, did nearly solid."""
_USUAL_HEIGHT = 720
_NEAR_RING = 2.0
"""An arrow that ends within so many of a ring's radii leads to it."""
POINTS_NEEDED = {"arrow": 2, "ruler": 2, "path": 2, "box": 2, "lane": 3}


def mark_shapes(
    mark: Mark,
    *,
    size_px: tuple[int, int],
    palette: Palette = ON_FILM,
    label: str | None = None,
    right: bool | None = None,
    rings: Collection[Mark] = (),
    size: float = 1.0,
) -> tuple[Shape, ...]:
    """Turn a mark into shapes in film pixels.

    Owed is hollow, did is solid and plain is thin, so that shape tells what is meant also where
    a colour was chosen by hand; without one each stands in its own hue. An arrow that means
    did is dashed, for it leads from where he should have been to where he went. What was done
    right stands in the hue of right, its arrow unbroken.

    Parameters
    ----------
    mark : Mark
        Its points are film pixels as displayed. Keys are not looked at: see `mark_at`.
    size_px : (width, height)
        Of the film; marks are sized by its height.
    palette : Palette
        Colours by meaning.
    label : str, optional
        Words on the plate instead of the mark's own text, such as "Keel 52".
    right : bool, optional
        Whether the man it belongs to was graded right; None while that is not known.
    rings : collection of Mark, optional
        The rings on the same picture: an arrow begins at the edge of the one it leaves, and its
        head stops at the edge of the one it points into.
    size : float
        How large lines and type are for the film; 1 as in a reel, less on film shown near.

    Returns
    -------
    tuple of Shape
        Empty when the mark has too few points to be drawn.
    """
    if len(mark.points) < POINTS_NEEDED.get(mark.kind, 1):
        return ()
    pen = Pen(mark, size_px[1], palette=palette, right=right, rings=rings, size=size)
    text = mark.text if label is None else label
    return _DRAWN[mark.kind](pen, mark, text)


def ring_radii(ring: Mark | None, unit: float) -> tuple[float, float]:
    """Return half a ring's width and height, in film pixels.

    Parameters
    ----------
    ring : Mark or None
        None, and one of a single point, is of the usual size.
    unit : float
        Film pixels for each pixel of a film 720 high.
    """
    rx = _RING_RX * unit
    if ring is not None and len(ring.points) > 1:
        rx = max(abs(ring.points[1][0] - ring.points[0][0]), _LEAST_RING * rx)
    return rx, rx * _RING_RY / _RING_RX


def bracket_name(mark: Mark, names: Mapping[str, str]) -> str | None:
    """Return the name below a bracket that says nothing of its own; None for other marks.

    Parameters
    ----------
    names : mapping of rep id to str
        Who each man is, such as "Keel 52".
    """
    if mark.kind != "bracket" or mark.text or mark.rep_id is None:
        return None
    return names.get(mark.rep_id)


def marks_shapes(
    marks: Sequence[Mark],
    *,
    size_px: tuple[int, int],
    label: Callable[[Mark], str | None] = lambda _: None,
    right: Callable[[Mark], bool | None] = lambda _: None,
    size: float = 1.0,
) -> tuple[Shape, ...]:
    """Turn all marks of one picture into shapes, arrows stopping at the rings they point into.

    Words on their plates come last, so that no line lies over a name.

    Parameters
    ----------
    label, right : function of a mark
        As in `mark_shapes`; what was drawn to show a miss, away from every ring of the same
        man, keeps the hue of what he did.
    size : float
        As there.
    """
    rings = tuple(mark for mark in marks if mark.kind == "ring" and mark.points)
    shapes = [
        shape
        for mark in marks
        for shape in mark_shapes(
            mark, size_px=size_px, label=label(mark), rings=rings, size=size,
            right=right(mark) and not _shows_miss(mark, marks, size_px[1]),
        )
    ]  # fmt: skip
    return tuple(sorted(shapes, key=lambda shape: isinstance(shape, (Box, Words))))


def _shows_miss(mark: Mark, marks: Sequence[Mark], height_px: int) -> bool:
    """Tell whether an arrow leads elsewhere than to the rings its man owed."""
    if mark.meaning != "did" or mark.kind != "arrow" or not mark.points:
        return False
    owed = [
        one
        for one in marks
        if one.kind == "ring" and one.meaning == "owed" and one.rep_id == mark.rep_id and one.points
    ]
    unit, (x, y) = height_px / _USUAL_HEIGHT, mark.points[-1]

    def leads_to(ring: Mark) -> bool:
        (u, v), (rx, ry) = ring.points[0], ring_radii(ring, unit)
        return hypot((x - u) / rx, (y - v) / ry) <= _NEAR_RING

    return bool(owed) and not any(map(leads_to, owed))


def _bracket(pen: Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Draw two corners that hold a man's feet, his name below."""
    (x, y), unit = mark.points[0], pen.unit
    half, arm, rise = 23 * unit, 11 * unit, 12 * unit
    low = y + 4 * unit
    corners = [
        ((x + way * half, low - rise), (x + way * half, low), (x + way * (half - arm), low))
        for way in (-1, 1)
    ]
    strokes = [shape for corner in corners for shape in pen.line(corner, 3)]
    edges, cores = strokes[::2], strokes[1::2]
    dot = pen.dot((x, low), 4.5)
    plate = pen.plate(text, (x, low + (22 if dot else 18) * unit), 17)
    return (*edges, *cores, *dot, *plate)


def _ring(pen: Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Draw an ellipse lying on the grass; solid in the middle when it is what he did."""
    (x, y), unit = mark.points[0], pen.unit
    rx, ry = ring_radii(mark, unit)
    width = pen.thick(3.6)
    shapes: list[Shape] = [
        Ring(centre=(x, y), rx_px=rx, ry_px=ry, width_px=wide * unit, colour=hue)
        for wide, hue in ((width + 2.4, pen.edge), (width, pen.hue))
    ]
    if mark.meaning == "did":
        shapes += pen.dot((x, y), 6)
    return (*shapes, *pen.plate(text, (x, y + ry + 17 * unit), 16))


def _arrow(pen: Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Draw a line with a head at its last point.

    An arrow of what he did begins at the edge of the ring it leaves, which stays hollow, and
    any arrow ends at the edge of a ring it points into.
    """
    unit = pen.unit
    *_, before, tip = mark.points
    tip = _short_of_rings(tip, before, pen)
    reach = hypot(tip[0] - before[0], tip[1] - before[1])
    edges, cores, neck = pen.head(tip, heading(before, tip), min(19 * unit, reach))
    start: Point = mark.points[0]
    dash: tuple[float, ...] = ()
    if mark.meaning == "did":
        start = _edge_of_ring(start, mark.points[1], pen)
        dash = () if pen.right else _MISS_DASH
    edge, core = pen.line((start, *mark.points[1:-1], neck), pen.thick(3.6), dash=dash)
    first, last = mark.points[0], mark.points[-1]
    middle = ((first[0] + last[0]) / 2, (first[1] + last[1]) / 2 - 20 * unit)
    return (edge, *edges, core, *cores, *pen.plate(text, middle, 16))


def _edge_of_ring(centre: Point, towards: Point, pen: Pen) -> Point:
    """Return where a line leaves the ring around its first point; the point when it is short."""
    ring = next((one for one in pen.rings if one.points[0] == centre), None)
    rx, ry = ring_radii(ring, pen.unit)
    dx, dy = towards[0] - centre[0], towards[1] - centre[1]
    across = hypot(dx / rx, dy / ry)
    if across < 1.8:
        return centre
    return centre[0] + dx / across, centre[1] + dy / across


def _short_of_rings(tip: Point, before: Point, pen: Pen) -> Point:
    """Return where an arrow must end so that its head covers no ring; its tip where it may."""
    room = 5 * pen.unit
    for ring in pen.rings:
        x, y = ring.points[0]
        rx, ry = (radius + room for radius in ring_radii(ring, pen.unit))
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


def _path(pen: Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Draw the way a man goes, dashed; the way he owed is hollow."""
    unit = pen.unit
    points = smooth_way(mark.points, unit)
    tip = points[-1]
    before = _back_along(points, 14 * unit)
    reach = hypot(tip[0] - before[0], tip[1] - before[1])
    edges, cores, neck = pen.head(tip, heading(before, tip), min(15 * unit, max(reach, 1.0)))
    way = (*_up_to(points, tip, neck), neck)
    lines = pen.outline(way, 3.4, dash=_PATH_DASH)
    return (*lines, *edges, *cores, *pen.plate(text, (tip[0], tip[1] + 22 * unit), 16))


def _back_along(points: tuple[Point, ...], way_px: float) -> Point:
    """Return the last point that lies at least so far from a line's end, else its first."""
    x, y = points[-1]
    far = (one for one in reversed(points[:-1]) if hypot(one[0] - x, one[1] - y) >= way_px)
    return next(far, points[0])


def _up_to(points: tuple[Point, ...], tip: Point, neck: Point) -> tuple[Point, ...]:
    """Return the points of a line that lie before its head."""
    head = hypot(tip[0] - neck[0], tip[1] - neck[1])
    kept = list(points[:-1])
    while len(kept) > 1 and hypot(kept[-1][0] - tip[0], kept[-1][1] - tip[1]) <= head:
        kept.pop()
    return tuple(kept)


def _lane(pen: Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Tint a stretch of grass."""
    x = sum(point[0] for point in mark.points) / len(mark.points)
    y = sum(point[1] for point in mark.points) / len(mark.points)
    return (
        pen.tint(mark.points, _TINT[mark.meaning]),
        *pen.outline(mark.points, 2.8, closed=True),
        *pen.plate(text, (x, y), 16, sign=True),
    )


def _box(pen: Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Frame a part of the film; tinted when it is what he did."""
    (x0, y0), (x1, y1) = mark.points[0], mark.points[-1]
    corners = ((x0, y0), (x1, y0), (x1, y1), (x0, y1))
    shapes: list[Shape] = [pen.tint(corners, _TINT["did"])] if mark.meaning == "did" else []
    shapes += pen.outline(corners, 3, closed=True)
    return (*shapes, *pen.plate(text, ((x0 + x1) / 2, max(y0, y1) + 18 * pen.unit), 16))


def _text(pen: Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Set words on the film."""
    return tuple(pen.plate(text, mark.points[0], 18, sign=True))


def _ruler(pen: Pen, mark: Mark, text: str) -> tuple[Shape, ...]:
    """Draw a line to measure by, with a tick at either end and at its quarters."""
    (x0, y0), (x1, y1) = mark.points[0], mark.points[-1]
    along, unit = heading((x0, y0), (x1, y1)), pen.unit
    across = (-along[1], along[0])
    strokes = list(pen.line(((x0, y0), (x1, y1)), 2.4))
    for share, length in ((0.0, 10.0), (0.25, 4.0), (0.5, 6.0), (0.75, 4.0), (1.0, 10.0)):
        x, y = x0 + (x1 - x0) * share, y0 + (y1 - y0) * share
        dx, dy = across[0] * length * unit, across[1] * length * unit
        strokes += pen.line(((x - dx, y - dy), (x + dx, y + dy)), 2.4)
    edges, cores = strokes[::2], strokes[1::2]
    middle = ((x0 + x1) / 2, (y0 + y1) / 2 + 24 * unit)
    ends = (*pen.dot((x0, y0), 4), *pen.dot((x1, y1), 4))
    return (*edges, *cores, *ends, *pen.plate(text, middle, 16, sign=True))


_DRAWN: dict[str, Callable[[Pen, Mark, str], tuple[Shape, ...]]] = {
    "bracket": _bracket,
    "ring": _ring,
    "arrow": _arrow,
    "path": _path,
    "lane": _lane,
    "box": _box,
    "text": _text,
    "ruler": _ruler,
}
