"""The offence on the picture: who stands where, who leaves the line, where the ball goes."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from gradecut.drawing._look_layout import LETTERS, Layout, Spot, receiver_places, sign
from gradecut.drawing._outlines import curve_points, turn_points
from gradecut.drawing.palette import Palette, see_through
from gradecut.drawing.shapes import Disc, Fill, Point, Ring, Shape, Stroke, Words
from gradecut.records.people import Side
from gradecut.records.picture import LookPicture, PulledMan, Seen

__all__ = ["draw_offence", "pulls_of"]

_ROW = 0.44
_OFF_LINE = 0.34
_RADIUS = 0.27
_DASHES: dict[Seen, tuple[float, ...]] = {"seen": (), "told": (4.0, 3.2), "open": (1.0, 4.0)}
"""How a line tells what is known: unbroken, dashed while only told, dotted while open."""
_WAY_TOLD = (7.0, 4.0)
_LETTER_PX = 11.0
"""Size of a gap's letter; it is left out where it would touch the men beside it."""
_LEAST_RADIUS_PX = 4.5
_LETTER_HIGH_PX = 9.0
"""How high a letter stands, with a little air."""
_SIDES: tuple[Side, Side] = ("left", "right")
_ATTACHED = ("guard", "tackle", "end", "wing")

_AIMS = {
    "inside zone": 0.5,
    "split zone": 0.5,
    "mid zone": 1.5,
    "zone read": 0.5,
    "rpo": 0.5,
    "midline": 0.5,
    "trap": 0.4,
    "lead": 1.5,
    "power": 2.38,
    "counter": 2.38,
}
"""Where a run is aimed, in linemen from the ball (common practice, no source)."""

_PULLS: dict[str, tuple[PulledMan, ...]] = {
    "power": ("guard",),
    "counter": ("guard", "tackle"),
    "trap": ("guard",),
}
"""Who usually leaves the back side of a run (common practice, no source)."""


def _offence_spots(picture: LookPicture, layout: Layout) -> list[Spot]:
    """Return every man of the offence that the look tells of, and where others may be."""
    spots = [Spot(name="centre", side=None, across=0.0, down=_ROW)]
    for side in _SIDES:
        spots += _surface_spots(picture, side)
        spots += _receiver_spots(picture, layout, side)
    return [*spots, *_backfield_spots(picture)]


def _surface_spots(picture: LookPicture, side: Side) -> Iterator[Spot]:
    """Yield the attached blockers of a side; a tight end nobody has told of is uncertain."""
    surface = picture.surface_left if side == "left" else picture.surface_right
    told: Seen = picture.seen(f"surface.{side}") if surface is not None else "open"
    for place in range(1, (surface or 3) + 1):
        off = place > 3 or (place == 3 and surface == 3 and picture.wing == side)
        known: Seen = "seen" if place < 3 else told
        if off and known == "seen" and picture.wing == side:
            known = picture.seen("wing")
        yield Spot(
            name="wing" if off else _ATTACHED[min(place, 4) - 1],
            side=side,
            across=sign(side) * place,
            down=_ROW + (_OFF_LINE if off else 0),
            known=known,
        )
    if picture.wing == side and surface == 2:
        known = picture.seen("wing")
        yield Spot(name="wing", side=side, across=sign(side) * 2.5, down=_ROW + 0.62, known=known)


def _receiver_spots(picture: LookPicture, layout: Layout, side: Side) -> Iterator[Spot]:
    """Yield the men split wide, the outermost on the line."""
    for number, across in enumerate(receiver_places(picture, side, sideways=layout.sideways)):
        yield Spot(
            name="receiver",
            side=side,
            across=sign(side) * across,
            down=_ROW + (_OFF_LINE if number else 0),
        )


def _backfield_spots(picture: LookPicture) -> Iterator[Spot]:
    """Yield the quarterback and the back, or every place the back may stand."""
    depth = 1.12 if picture.under_centre else 1.72
    yield Spot(name="quarterback", side=None, across=0.0, down=depth)
    places = {
        "left": (-0.95, max(depth, 1.72) + 0.14),
        "right": (0.95, max(depth, 1.72) + 0.14),
        "behind": (0.0, 2.68),
    }
    if picture.back is None:
        for across, down in places.values():
            yield Spot(name="back", side=None, across=across, down=down, known="open")
    elif picture.back in places:
        across, down = places[picture.back]
        known = picture.seen("back")
        yield Spot(name="back", side=None, across=across, down=down, known=known)


def draw_offence(picture: LookPicture, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Yield the line, the men, the letters of the gaps, and the ways of men and ball."""
    yield _line_of_scrimmage(layout, palette)
    spots = _offence_spots(picture, layout)
    yield from _ball_way(picture, layout, palette, spots)
    yield from _pulling_ways(picture, layout, palette, spots)
    letters = list(_letters(layout))
    for _, at in letters:
        yield _clearing(at, layout, palette)
    for spot in spots:
        yield from _figure(spot, layout, palette)
    for letter, at in letters:
        yield Words(
            text=letter, at=at, size_px=_LETTER_PX, colour=palette.quiet, weight=500,
            anchor="centre", line="middle", halo=palette.ground,
        )  # fmt: skip


def _line_of_scrimmage(layout: Layout, palette: Palette) -> Stroke:
    left, top, width, height = layout.field
    x, y = layout.ball
    ends = ((left + 14, y), (left + width - 14, y))
    if layout.sideways:
        ends = ((x, top + 2), (x, top + height - 2))
    return Stroke(points=ends, width_px=1, colour=palette.faint)


def _letters(layout: Layout) -> Iterator[tuple[str, Point]]:
    """Yield the letter of each gap and its middle: between the men, or else behind them.

    In a picture from behind that is too low for either, the letters are left out.
    """
    row = _ROW
    if layout.sideways:
        if _between_men(layout) < _LETTER_HIGH_PX:
            row += (_figure_radius(layout) + _LETTER_PX * 0.75) / layout.rise
    elif _between_men(layout) < _LETTER_PX:
        return
    for side in _SIDES:
        for letter in LETTERS[: layout.outer[side]]:
            across = layout.gap_across(letter, side)
            if across is not None:
                yield letter, layout.at(across, row)


def _figure_radius(layout: Layout) -> float:
    """Return the radius of a man of the offence, in pixels.

    Seen from the side it leaves room for the letters between men, as far as that goes.
    """
    usual = _RADIUS * layout.size
    if not layout.sideways:
        return usual
    return min(usual, max((layout.unit - _LETTER_HIGH_PX - 2.5) / 2, _LEAST_RADIUS_PX))


def _between_men(layout: Layout) -> float:
    return layout.unit - 2 * _figure_radius(layout)


def _clearing(at: Point, layout: Layout, palette: Palette) -> Fill:
    """Make ground behind a letter, between the men beside it, so that no way strikes through it."""
    (x, y), high = at, 0.72 * _LETTER_PX
    wide = 0.5 * _LETTER_PX if layout.sideways else min(high, _between_men(layout) / 2)
    high = min(high, layout.unit / 2) if layout.sideways else high
    return Fill(
        points=((x - wide, y - high), (x + wide, y - high), (x + wide, y + high),
                (x - wide, y + high)),
        colour=palette.ground,
    )  # fmt: skip


def _figure(spot: Spot, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Draw one man: a square for the centre, a circle for others.

    Broken into dashes while only told, dotted and faint where he may as well not be.
    """
    place, half = layout.at(spot.across, spot.down), _figure_radius(layout)
    if spot.name == "centre":
        (x, y), side = place, half * 0.9
        corners = (
            (x - side, y - side),
            (x + side, y - side),
            (x + side, y + side),
            (x - side, y + side),
        )
        yield Fill(points=corners, colour=palette.ground)
        yield Stroke(points=corners, width_px=1.6, colour=palette.line, closed=True)
        return
    if spot.known != "open":
        yield Disc(centre=place, radius_px=half, colour=palette.ground)
    yield Ring(
        centre=place, rx_px=half, ry_px=half, width_px=1.6,
        colour=palette.faint if spot.known == "open" else palette.line, dash=_DASHES[spot.known],
    )  # fmt: skip


def _ball_way(
    picture: LookPicture, layout: Layout, palette: Palette, spots: list[Spot]
) -> Iterator[Shape]:
    """Draw the way of the ball: to its gap when the run is known, else only to its side.

    A way that was only told is broken into dashes.
    """
    side = picture.run_side
    if side is None:
        return
    concept = picture.concept.lower()
    start = _carrier(picture, spots)
    turn = sign(side)
    if concept == "outside zone":
        aim: float | None = layout.outer[side] - 0.35
    else:
        aim = _AIMS.get(concept)
    seen = "told" not in (picture.seen("run"), picture.seen("concept"))
    colour = see_through(palette.line, 0.75)
    dash = () if seen else _WAY_TOLD
    begin = layout.at(start.across, start.down)
    if aim is None:
        way: tuple[Point, ...] = (begin, layout.at(turn * 2.3, start.down))
    else:
        way = curve_points(
            begin, layout.at(turn * aim * 0.72, start.down + 0.1), layout.at(turn * aim, 1.5),
            layout.at(turn * aim, -0.06),
        )  # fmt: skip
    yield from _arrow(way, layout, colour, dash)


def _carrier(picture: LookPicture, spots: list[Spot]) -> Spot:
    """Return where the ball starts: the back, or the quarterback while the back is unknown."""
    named = "quarterback" if picture.back in (None, "none") else "back"
    return next(spot for spot in spots if spot.name == named)


def pulls_of(picture: LookPicture) -> tuple[tuple[tuple[PulledMan, Side], ...], bool]:
    """Return who leaves the line, and whether that was told rather than usual for the run."""
    if picture.pullers is not None:
        return picture.pullers, True
    side = picture.run_side
    if side is None:
        return (), False
    back_side: Side = "left" if side == "right" else "right"
    usual = _PULLS.get(picture.concept.lower(), ())
    if picture.concept.lower() == "split zone" and picture.wing == side:
        return (("wing", side),), False
    return tuple((man, back_side) for man in usual), False


def _pulling_ways(
    picture: LookPicture, layout: Layout, palette: Palette, spots: list[Spot]
) -> Iterator[Shape]:
    """Draw the way of each man who leaves the line: dashed when told, dotted when usual."""
    pulls, told = pulls_of(picture)
    concept = picture.concept.lower()
    for number, (man, side) in enumerate(pulls):
        start = next((s for s in spots if s.name == man and s.side in (side, None)), None)
        if start is None:
            continue
        goal: Side = "left" if side == "right" else "right"
        if concept == "split zone":
            reach = layout.outer[goal] - 0.45
        else:
            reach = 0.62 if concept == "trap" else 2.62 - 0.5 * number
        depth = 1.2 + 0.2 * number
        foot = layout.at(start.across, start.down)
        way = curve_points(
            layout.off(foot, down_px=_figure_radius(layout)), layout.at(start.across, depth),
            layout.at(sign(goal) * (reach - 0.1), depth + 0.1),
            layout.at(sign(goal) * reach, -0.06),
        )  # fmt: skip
        colour = palette.line if told else see_through(palette.line, 0.6)
        yield from _arrow(way, layout, colour, dash=(5.0, 4.0) if told else (1.0, 4.0))


def _arrow(
    points: tuple[Point, ...], layout: Layout, colour: tuple[int, int, int, int],
    dash: tuple[float, ...] = (),
) -> Iterator[Shape]:  # fmt: skip
    """Draw a line with a small open head."""
    tip = points[-1]
    before = points[-3] if len(points) > 2 else points[0]
    reach = hypot(tip[0] - before[0], tip[1] - before[1]) or 1.0
    towards = ((tip[0] - before[0]) / reach, (tip[1] - before[1]) / reach)
    _, one, other = turn_points(tip, towards, 0.18 * layout.size, 0.6)
    yield Stroke(points=points, width_px=1.5, colour=colour, dash=dash)
    yield Stroke(points=(one, tip, other), width_px=1.5, colour=colour)
