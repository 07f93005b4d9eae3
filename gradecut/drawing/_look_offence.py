"""The offence on the picture: who stands where, who leaves the line, where the ball goes."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from gradecut.drawing._look_layout import LETTERS, Layout, Spot, sign
from gradecut.drawing._outlines import curve_points, turn_points
from gradecut.drawing.palette import Palette, see_through
from gradecut.drawing.shapes import Disc, Fill, Point, Ring, Shape, Stroke, Words
from gradecut.records.people import Side
from gradecut.records.picture import LookPicture, PulledMan

__all__ = ["draw_offence", "offence_spots", "pulls_of"]

_ROW = 0.44
_OFF_LINE = 0.34
_RADIUS = 0.27
_DOTS = (1.0, 4.0)
_LETTER_PX = 11.0
"""Size of a gap's letter; it is left out where it would touch the men beside it."""
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


def offence_spots(picture: LookPicture, layout: Layout) -> list[Spot]:
    """Return every man of the offence that the look tells of, and where others may be."""
    spots = [Spot(name="centre", side=None, at=(layout.centre_x, layout.down(_ROW)))]
    for side in _SIDES:
        spots += _surface_spots(picture, layout, side)
        spots += _receiver_spots(picture, layout, side)
    return [*spots, *_backfield_spots(picture, layout)]


def _surface_spots(picture: LookPicture, layout: Layout, side: Side) -> Iterator[Spot]:
    """Yield the attached blockers of a side; a tight end nobody has told of is uncertain."""
    surface = picture.surface_left if side == "left" else picture.surface_right
    for place in range(1, (surface or 3) + 1):
        off = place > 3 or (place == 3 and surface == 3 and picture.wing == side)
        name = "wing" if off else _ATTACHED[min(place, 4) - 1]
        at = (layout.across(sign(side) * place), layout.down(_ROW + (_OFF_LINE if off else 0)))
        yield Spot(name=name, side=side, at=at, certain=surface is not None or place < 3)
    if picture.wing == side and surface == 2:
        yield Spot(
            name="wing", side=side, at=(layout.across(sign(side) * 2.5), layout.down(_ROW + 0.62))
        )


def _receiver_spots(picture: LookPicture, layout: Layout, side: Side) -> Iterator[Spot]:
    """Yield the men split wide, the outermost on the line."""
    count = picture.receivers_left if side == "left" else picture.receivers_right
    surface = (picture.surface_left if side == "left" else picture.surface_right) or 3
    inner = surface + 0.85
    step = min(0.85, (5.25 - inner) / max((count or 1) - 1, 1))
    for number in range(count or 0):
        at = (
            layout.across(sign(side) * (5.25 - step * number)),
            layout.down(_ROW + (_OFF_LINE if number else 0)),
        )
        yield Spot(name="receiver", side=side, at=at)


def _backfield_spots(picture: LookPicture, layout: Layout) -> Iterator[Spot]:
    """Yield the quarterback and the back, or every place the back may stand."""
    depth = 1.12 if picture.under_centre else 1.72
    yield Spot(name="quarterback", side=None, at=(layout.centre_x, layout.down(depth)))
    places = {
        "left": (-0.95, max(depth, 1.72) + 0.14),
        "right": (0.95, max(depth, 1.72) + 0.14),
        "behind": (0.0, 2.68),
    }
    if picture.back is None:
        for across, down in places.values():
            yield Spot(
                name="back", side=None, at=(layout.across(across), layout.down(down)),
                certain=False,
            )  # fmt: skip
    elif picture.back in places:
        across, down = places[picture.back]
        yield Spot(name="back", side=None, at=(layout.across(across), layout.down(down)))


def draw_offence(picture: LookPicture, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Yield the line, the men, the letters of the gaps, and the ways of men and ball."""
    width = layout.size_px[0]
    yield Stroke(
        points=((14, layout.line_y), (width - 14, layout.line_y)), width_px=1, colour=palette.faint
    )
    spots = offence_spots(picture, layout)
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


def _letters(layout: Layout) -> Iterator[tuple[str, Point]]:
    """Yield the letter of each gap and its middle, where there is room between the men."""
    if _between_men(layout) < _LETTER_PX:
        return
    for side in _SIDES:
        for letter in LETTERS[: layout.outer[side]]:
            x = layout.gap_x(letter, side)
            if x is not None:
                yield letter, (x, layout.down(_ROW))


def _between_men(layout: Layout) -> float:
    return layout.unit - 2 * _RADIUS * layout.size


def _clearing(at: Point, layout: Layout, palette: Palette) -> Fill:
    """Make ground behind a letter, between the men beside it, so that no way strikes through it."""
    (x, y), high = at, 0.72 * _LETTER_PX
    wide = min(high, _between_men(layout) / 2)
    return Fill(
        points=((x - wide, y - high), (x + wide, y - high), (x + wide, y + high),
                (x - wide, y + high)),
        colour=palette.ground,
    )  # fmt: skip


def _figure(spot: Spot, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Draw one man: a square for the centre, a circle for others, dots where uncertain."""
    (x, y), half = spot.at, _RADIUS * layout.size
    if spot.name == "centre":
        side = half * 0.9
        corners = (
            (x - side, y - side),
            (x + side, y - side),
            (x + side, y + side),
            (x - side, y + side),
        )
        yield Fill(points=corners, colour=palette.ground)
        yield Stroke(points=corners, width_px=1.6, colour=palette.line, closed=True)
    elif spot.certain:
        yield Disc(centre=spot.at, radius_px=half, colour=palette.ground)
        yield Ring(centre=spot.at, rx_px=half, ry_px=half, width_px=1.6, colour=palette.line)
    else:
        yield Ring(
            centre=spot.at, rx_px=half, ry_px=half, width_px=1.6, colour=palette.faint, dash=_DOTS
        )


def _ball_way(
    picture: LookPicture, layout: Layout, palette: Palette, spots: list[Spot]
) -> Iterator[Shape]:
    """Draw the way of the ball: to its gap when the run is known, else only to its side."""
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
    colour = see_through(palette.line, 0.75)
    if aim is None:
        tip = (layout.across(turn * 2.3), start[1])
        yield from _arrow((start, tip), layout, colour)
        return
    tip = (layout.across(turn * aim), layout.down(-0.06))
    low = (layout.across(turn * aim * 0.72), start[1] + 0.1 * layout.rise)
    yield from _arrow(curve_points(start, low, (tip[0], layout.down(1.5)), tip), layout, colour)


def _carrier(picture: LookPicture, spots: list[Spot]) -> Point:
    """Return where the ball starts: the back, or the quarterback while the back is unknown."""
    named = "quarterback" if picture.back in (None, "none") else "back"
    return next(spot.at for spot in spots if spot.name == named)


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
        start = next((s.at for s in spots if s.name == man and s.side in (side, None)), None)
        if start is None:
            continue
        goal: Side = "left" if side == "right" else "right"
        if concept == "split zone":
            reach = layout.outer[goal] - 0.45
        else:
            reach = 0.62 if concept == "trap" else 2.62 - 0.5 * number
        tip = (layout.across(sign(goal) * reach), layout.down(-0.06))
        depth = layout.down(1.2 + 0.2 * number)
        way = curve_points(
            (start[0], start[1] + _RADIUS * layout.size), (start[0], depth),
            (tip[0] - sign(goal) * 0.1 * layout.unit, depth + 0.1 * layout.rise), tip,
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
