"""His men on the picture: where they stand, the ring they owe, the disc where they went."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from gradecut.drawing._look_layout import OPEN_NAME, Layout, sign
from gradecut.drawing._outlines import curve_points
from gradecut.drawing.lettering import text_width_px
from gradecut.drawing.palette import Palette, see_through
from gradecut.drawing.shapes import Box, Colour, Disc, Point, Rect, Ring, Shape, Stroke, Words
from gradecut.records.people import Side
from gradecut.records.picture import LookPicture, PictureMan

__all__ = ["StandingMan", "draw_front", "draw_men", "stand"]

_FIT_ROW = -0.68
_FRONT_ROW = -0.24
_RING = 0.2
_NAME_PX, _NUMBER_PX, _LABEL_PX = 13.5, 11.5, 11.5
_TOUCH_PX = 40.0
_DOTS = (1.0, 3.6)
_Anchor = Literal["left", "centre", "right"]


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingMan:
    """A man with everything of his in pixels.

    Attributes
    ----------
    rect : Rect
        Around his name; also where he takes a touch.
    owed, did : Point or None
        Middle of his ring and of his disc.
    options : tuple of Point
        Where his ring may be while facts are open.
    """

    man: PictureMan
    at: Point
    rect: Rect
    owed: Point | None
    did: Point | None
    options: tuple[Point, ...]

    @property
    def went_elsewhere(self) -> bool:
        """Whether he went to another place than he owed."""
        return self.man.did in ("fit", "miss") and self.did is not None


def stand(picture: LookPicture, layout: Layout) -> list[StandingMan]:
    """Give every man his places; rings in one gap stand side by side, names keep apart."""
    taken: dict[tuple[str, str], int] = {}
    places = _names_apart([_name_spot(man, layout, picture.men) for man in picture.men])
    standing = []
    for man, at in zip(picture.men, places, strict=True):
        owed = _fit_place(man.owed_gap, man.owed_side, man.owed_landmark, layout, taken)
        did = _did_place(man, owed, layout, taken)
        options = tuple(
            place
            for gap, side in man.owed_options
            if (place := _fit_place(gap, side, None, layout, {})) is not None
        )
        width = max(text_width_px(man.position, _NAME_PX, 600) + 14, _TOUCH_PX)
        rect = (at[0] - width / 2, at[1] - 17, width, 39.0)
        standing.append(StandingMan(man=man, at=at, rect=rect, owed=owed, did=did, options=options))
    return standing


def _name_spot(man: PictureMan, layout: Layout, men: tuple[PictureMan, ...]) -> Point:
    """Return where a man's name goes; above the fit he owes while his spot is not known."""
    if man.at_yd is not None:
        return layout.man_at(man.at_yd)
    x = layout.gap_x(man.owed_gap, man.owed_side) if man.owed_gap and man.owed_side else None
    if x is None:
        share = (men.index(man) + 1) / (len(men) + 1)
        x = layout.across((share - 0.5) * 6)
    return x, layout.down(-OPEN_NAME)


def _names_apart(spots: list[Point]) -> list[Point]:
    """Push names that would overlap apart, to either side."""
    found = [list(spot) for spot in spots]
    for _ in range(6):
        for one in range(len(found)):
            for other in range(one + 1, len(found)):
                dx = found[other][0] - found[one][0]
                lack = 50.0 - abs(dx)
                if lack > 0 and abs(found[other][1] - found[one][1]) < 36.0:
                    way = 1 if dx >= 0 else -1
                    found[one][0] -= way * lack / 2
                    found[other][0] += way * lack / 2
    return [(x, y) for x, y in found]


def _fit_place(
    gap: str | None,
    side: Side | None,
    landmark: str | None,
    layout: Layout,
    taken: dict[tuple[str, str], int],
) -> Point | None:
    """Return the middle of a fit: its gap, or outside everything for a landmark with a side."""
    if side is None:
        return None
    x = layout.gap_x(gap, side) if gap else None
    if x is None:
        if not gap and not landmark:
            return None
        x = layout.across(sign(side) * (layout.outer[side] + 0.3))
    before = taken.get((gap or "", side), 0)
    taken[gap or "", side] = before + 1
    return x + sign(side) * before * 0.46 * layout.unit, layout.down(_FIT_ROW)


def _did_place(
    man: PictureMan, owed: Point | None, layout: Layout, taken: dict[tuple[str, str], int]
) -> Point | None:
    """Return where he went; what has no place of its own stands short of his ring."""
    same_gap = (man.did_gap, man.did_side) == (man.owed_gap, man.owed_side)
    if man.did == "as owed" or (man.did == "fit" and man.did_gap and same_gap):
        return owed
    if man.did not in ("fit", "miss"):
        return None
    landmark = man.did_label if man.did == "fit" else None
    place = _fit_place(man.did_gap, man.did_side, landmark, layout, taken)
    if place is None and owed is not None:
        return owed[0], owed[1] - 0.62 * layout.rise
    return place


def draw_front(picture: LookPicture, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Draw defensive linemen as faint crosses."""
    half = 0.085 * layout.size
    y = layout.down(_FRONT_ROW)
    for gap, side in picture.front:
        x = layout.gap_x(gap, side)
        if x is not None:
            for way in (-1, 1):
                ends = ((x - half, y - way * half), (x + half, y + way * half))
                yield Stroke(points=ends, width_px=1.5, colour=palette.faint)


def draw_men(standing: list[StandingMan], layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Draw his men, the selected one last and strongest."""
    ordered = sorted(standing, key=lambda one: one.man.selected)
    taken = [one.rect for one in standing]
    half = _RING * layout.size
    taken += [
        (x - half, y - half, 2 * half, 2 * half)
        for one in standing
        for x, y in {place for place in (one.owed, one.did) if place is not None}
    ]
    rings = {place for one in standing for place in (one.owed, one.did) if place is not None}
    labels = {
        one.man.position: _labels(one, layout, palette, taken, rings) for one in reversed(ordered)
    }
    for one in ordered:
        yield from _lead(one, layout, palette, labels[one.man.position])
    for one in ordered:
        yield from _miss_line(one, layout, palette)
    for one in ordered:
        yield from _fit(one, layout, palette)
    for one in ordered:
        yield from labels[one.man.position]
        yield from _name(one, palette)
        yield from _unplaced(one, palette)


def _lead(
    one: StandingMan, layout: Layout, palette: Palette, labels: tuple[Words, ...]
) -> Iterator[Shape]:
    """Draw a thin line from a man to where he went, or to what he owes; it ends above a label."""
    strength = 1.0 if one.man.selected else 0.6
    dash = _DOTS if one.man.at_yd is None else ()
    colour = see_through(palette.owed if one.man.graded else palette.faint, strength)
    goals = list(one.options) if one.owed is None else [one.owed]
    if one.went_elsewhere and one.did is not None:
        goals, colour = [one.did], see_through(palette.did, strength)
    start = (one.at[0], one.rect[1] + one.rect[3] - 1)
    for goal in goals:
        tops = [label.at[1] - _LABEL_PX * 0.75 for label in labels if label.at[0] == goal[0]]
        end = (goal[0], min([goal[1] - (_RING * layout.size + 2), *tops]))
        if end[1] - start[1] > 4:
            middle = (start[1] + end[1]) / 2
            way = curve_points(start, (start[0], middle), (end[0], middle), end)
            yield Stroke(points=way, width_px=1.3, colour=colour, dash=dash if one.owed else _DOTS)
        else:
            corner = one.rect[0] + (one.rect[2] - 8 if goal[0] > one.at[0] else 8)
            ends = _between((corner, start[1] - 3), goal, 0, _RING * layout.size)
            if ends is not None:
                yield Stroke(points=ends, width_px=1.3, colour=colour, dash=dash)


def _miss_line(one: StandingMan, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Draw the line of a miss, from his ring to where he went."""
    radius = _RING * layout.size
    if one.went_elsewhere and one.owed is not None and one.did is not None:
        ends = _between(one.owed, one.did, radius + 2, radius * 0.66 + 2)
        if ends is not None:
            yield Stroke(points=ends, width_px=2.2, colour=palette.did, dash=(5.5, 4.0))


def _fit(one: StandingMan, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Draw the ring he owes and the disc where he went."""
    radius = _RING * layout.size
    width = 2.6 if one.man.selected else 2.0
    owed = palette.owed if one.man.graded else palette.faint
    for place in one.options if one.owed is None else ():
        yield Ring(centre=place, rx_px=radius, ry_px=radius, width_px=1.6, colour=owed, dash=_DOTS)
    if one.owed is not None:
        yield Disc(centre=one.owed, radius_px=radius, colour=palette.ground)
        yield Ring(centre=one.owed, rx_px=radius, ry_px=radius, width_px=width, colour=owed)
    if one.did is not None:
        hue = palette.right if one.man.did == "as owed" else palette.did
        yield Disc(centre=one.did, radius_px=radius * 0.58, colour=hue)
    elif one.man.did == "cannot grade" and one.owed is not None:
        yield _label("?", one.owed, palette.quiet, palette)


def _between(start: Point, end: Point, from_px: float, to_px: float) -> tuple[Point, Point] | None:
    """Return the line between two circles' edges; None when they touch."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = float((dx * dx + dy * dy) ** 0.5)
    if length <= from_px + to_px:
        return None
    dx, dy = dx / length, dy / length
    return (
        (start[0] + dx * from_px, start[1] + dy * from_px),
        (end[0] - dx * to_px, end[1] - dy * to_px),
    )


def _labels(
    one: StandingMan,
    layout: Layout,
    palette: Palette,
    taken: list[Rect],
    rings: set[Point],
) -> tuple[Words, ...]:
    """Name what he owes and did, for the selected man and for every miss."""
    man = one.man
    if layout.key_px == 0:  # So low a picture that words would lie under the names.
        return ()
    if not man.selected and not one.went_elsewhere:
        return ()
    told: list[tuple[str, Point | None, Colour]] = []
    if one.went_elsewhere:
        told.append((man.did_label, one.did, palette.did_text))
    told.append((man.owed_label, one.owed, palette.owed_text if man.graded else palette.quiet))
    return tuple(
        _free_label(text, place, colour, layout=layout, palette=palette, taken=taken, rings=rings)
        for text, place, colour in told
        if text and place is not None
    )


def _label(
    text: str, at: Point, colour: Colour, palette: Palette, anchor: _Anchor = "centre"
) -> Words:
    return Words(
        text=text, at=at, size_px=_LABEL_PX, colour=colour, weight=600, anchor=anchor,
        line="middle", halo=palette.ground,
    )  # fmt: skip


def _free_label(
    text: str,
    place: Point,
    colour: Colour,
    *,
    layout: Layout,
    palette: Palette,
    taken: list[Rect],
    rings: set[Point],
) -> Words:
    """Set a label above its ring, or else beside it or higher, so that it covers no other.

    Where another ring is so near that words above would lie over both, the side away from it
    comes first; beside a ring there is never another one at the words' far end, if it can be.
    """
    width, high = text_width_px(text, _LABEL_PX, 600) + 6, _LABEL_PX + 2.5
    x, y = place
    away = _RING * layout.size + 3
    above = y - away - high / 2
    others = [ring for ring in rings if ring != place]
    near = [
        ring[0] - x
        for ring in others
        if abs(ring[0] - x) < width / 2 + away and abs(ring[1] - y) < 2 * high
    ]
    beside: list[tuple[_Anchor, Point]] = [("right", (x - away, y)), ("left", (x + away, y))]
    if sum(near) < 0:
        beside.reverse()
    tries: list[tuple[_Anchor, Point]] = [
        ("centre", (x, above)),
        *beside,
        ("centre", (x, above - high)),
        ("centre", (x, above - 2 * high)),
    ]
    if near:
        tries = [*tries[1:3], tries[0], *tries[3:]]
    found: list[tuple[float, Rect, Point, _Anchor]] = []
    for anchor, at in tries:
        left = at[0] - width * {"left": 0.0, "centre": 0.5, "right": 1.0}[anchor]
        rect = (left, at[1] - high / 2, width, high)
        outside = left < 2 or left + width > layout.size_px[0] - 2
        covers = sum(_overlap(rect, other) for other in taken)
        mistaken = anchor != "centre" and any(_at_end(rect, ring) for ring in others)
        found.append((4 * outside + covers + 0.5 * mistaken, rect, at, anchor))
    _, rect, at, anchor = min(found, key=lambda one: one[0])
    taken.append(rect)
    return _label(text, at, colour, palette, anchor)


def _at_end(rect: Rect, ring: Point) -> bool:
    """Tell whether a ring stands at either end of a label, so that it could be the ring's."""
    left, top, width, height = rect
    apart = _LABEL_PX * 1.4
    level = top - height / 2 < ring[1] < top + height * 1.5
    return level and left - apart < ring[0] < left + width + apart


def _overlap(one: Rect, other: Rect) -> bool:
    return (
        one[0] < other[0] + other[2]
        and other[0] < one[0] + one[2]
        and one[1] < other[1] + other[3]
        and other[1] < one[1] + one[3]
    )


def _name(one: StandingMan, palette: Palette) -> Iterator[Shape]:
    """Set his name and number; the selected man on a plate with a stroke below."""
    (x, y), man = one.at, one.man
    left, top, width, height = one.rect
    if man.selected:
        yield Box(rect=one.rect, corner_px=5, colour=palette.ground)
        yield Box(rect=one.rect, corner_px=5, colour=see_through(palette.ink, 0.1))
        yield Box(
            rect=(left + 7, top + height - 2.5, width - 14, 2.5), corner_px=1.2,
            colour=palette.accent,
        )  # fmt: skip
    ink = palette.ink if man.graded else palette.quiet
    middle = y - 5 if man.number else y + 2
    yield Words(
        text=man.position, at=(x, middle), size_px=_NAME_PX, colour=ink, weight=600,
        anchor="centre", line="middle", halo=None if man.selected else palette.ground,
    )  # fmt: skip
    if man.number:
        yield Words(
            text=man.number, at=(x, y + 10), size_px=_NUMBER_PX, colour=palette.quiet,
            weight=500, anchor="centre", line="middle",
            halo=None if man.selected else palette.ground,
        )  # fmt: skip


def _unplaced(one: StandingMan, palette: Palette) -> Iterator[Shape]:
    """Name below the man what has no place on the picture: a fit without gap or side."""
    man = one.man
    told: list[tuple[str, Colour]] = []
    if one.owed is None and man.graded:
        told.append((man.owed_label, palette.owed_text))
    if one.did is None and man.did in ("fit", "miss"):
        told.append((man.did_label, palette.did_text))
    y = one.rect[1] + one.rect[3] + _LABEL_PX * 0.8
    for text, colour in told:
        if text:
            yield _label(text, (one.at[0], y), colour, palette)
            y += _LABEL_PX + 3
