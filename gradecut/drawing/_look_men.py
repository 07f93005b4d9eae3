"""His men on the picture: the ring each owes, the disc where he went, the line between."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from gradecut.drawing._look_labels import LABEL_PX, Label, Labels
from gradecut.drawing._look_layout import Layout
from gradecut.drawing._look_places import NAME_PX, NUMBER_PX, StandingMan, ring_radius
from gradecut.drawing._outlines import curve_points
from gradecut.drawing.lettering import text_width_px
from gradecut.drawing.palette import Palette, see_through
from gradecut.drawing.shapes import Box, Colour, Disc, Point, Rect, Ring, Shape, Stroke, Words
from gradecut.records.picture import LookPicture, PictureMan

__all__ = ["draw_front", "draw_men"]

_FRONT_ROW = -0.24
_DOTS = (1.0, 3.6)
_MISS = (5.5, 4.0)
_FEW = 3
"""Lines to more places than these are drawn for the selected man only."""
_LEAD_STOPS_PX = 3.5
"""So far from words a man's line ends, rather than running on between them and a ring."""


def draw_front(picture: LookPicture, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Draw defensive linemen as faint crosses."""
    half = 0.085 * layout.size
    for gap, side in picture.front:
        across = layout.gap_across(gap, side)
        if across is not None:
            x, y = layout.at(across, _FRONT_ROW)
            for way in (-1, 1):
                ends = ((x - half, y - way * half), (x + half, y + way * half))
                yield Stroke(points=ends, width_px=1.5, colour=palette.faint)


def draw_men(standing: list[StandingMan], layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Draw his men, the selected one last and strongest."""
    ordered = sorted(standing, key=lambda one: one.man.selected)
    for one in ordered:
        yield from _lead(one, layout, palette)
    for one in ordered:
        yield from _miss_line(one, layout, palette)
    words = [] if layout.wordless else _words(ordered, _labels(ordered, layout, palette), palette)
    for rect, _ in words:
        yield Box(rect=_grown(rect, _LEAD_STOPS_PX), corner_px=4, colour=palette.ground)
    for one in ordered:
        yield from _fit(one, layout, palette)
    yield from (line for _, lines in words for line in lines)
    for one in ordered:
        yield from _name(one, palette)


# ---------------------------------------------------------------- rings, discs, lines


def _lead(one: StandingMan, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Draw a thin line from a man to where he went, or to what he owes."""
    strength = 1.0 if one.man.selected else 0.6
    dash = _DOTS if one.man.at_yd is None or one.owed is None else ()
    colour = see_through(palette.owed if one.man.graded else palette.faint, strength)
    goals = [one.owed] if one.owed is not None else _options_led_to(one)
    if one.went_elsewhere and one.did is not None:
        goals, colour = [one.did], see_through(_did_colour(one.man, palette), strength)
    for goal in goals:
        way = _way(one, goal, layout)
        if way is not None:
            yield Stroke(points=way, width_px=1.3, colour=colour, dash=dash)


def _options_led_to(one: StandingMan) -> list[Point]:
    """Return the places he may still owe, as far as lines to them can be told apart."""
    few = one.man.selected or len(one.options) <= _FEW
    return list(one.options) if few else []


def _way(one: StandingMan, goal: Point, layout: Layout) -> tuple[Point, ...] | None:
    """Return the way from a name's near edge to a ring; None where they touch."""
    _, _, wide, high = one.rect
    half = (wide if layout.sideways else high) / 2
    start = layout.off(one.at, down_px=half - 1)
    end = layout.off(goal, down_px=-(ring_radius(layout) + 2))
    reach = layout.behind(end) - layout.behind(start)
    if reach > 4:
        return curve_points(
            start, layout.off(start, down_px=reach / 2), layout.off(end, down_px=-reach / 2), end
        )
    return _between(_edge_towards(one.rect, goal), goal, 0.0, ring_radius(layout))


def _edge_towards(box: Rect, goal: Point) -> Point:
    """Return where the line from a box's middle to a place leaves the box."""
    x, y = box[0] + box[2] / 2, box[1] + box[3] / 2
    dx, dy = goal[0] - x, goal[1] - y
    share = min(
        box[2] / 2 / abs(dx) if dx else 1.0,
        box[3] / 2 / abs(dy) if dy else 1.0,
        1.0,
    )
    return x + dx * share, y + dy * share


def _miss_line(one: StandingMan, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Draw the line of a miss, from his ring to where he went."""
    radius = ring_radius(layout)
    if one.went_elsewhere and one.owed is not None and one.did is not None:
        ends = _between(one.owed, one.did, radius + 2, radius * 0.66 + 2)
        if ends is not None:
            yield Stroke(
                points=ends, width_px=2.2, colour=_did_colour(one.man, palette), dash=_MISS
            )


def _fit(one: StandingMan, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Draw the ring he owes and the disc where he went."""
    radius = ring_radius(layout)
    width = 2.6 if one.man.selected else 2.0
    owed = palette.owed if one.man.graded else palette.faint
    for place in one.options if one.owed is None else ():
        yield Ring(centre=place, rx_px=radius, ry_px=radius, width_px=1.6, colour=owed, dash=_DOTS)
    if one.owed is not None:
        yield Disc(centre=one.owed, radius_px=radius, colour=palette.ground)
        yield Ring(centre=one.owed, rx_px=radius, ry_px=radius, width_px=width, colour=owed)
    if one.did is not None:
        hue = palette.right if one.man.did == "as owed" else _did_colour(one.man, palette)
        yield Disc(centre=one.did, radius_px=radius * 0.58, colour=hue)
    elif one.man.did == "cannot grade" and one.owed is not None:
        yield Words(
            text="?", at=one.owed, size_px=LABEL_PX, colour=palette.quiet, weight=600,
            anchor="centre", line="middle", halo=palette.ground,
        )  # fmt: skip


def _did_colour(man: PictureMan, palette: Palette) -> Colour:
    """Return the hue of a disc elsewhere; another fit can be right as well."""
    return palette.right if man.did_sign == "✓" else palette.did


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


# ---------------------------------------------------------------- words


def _labels(ordered: list[StandingMan], layout: Layout, palette: Palette) -> Labels:
    """Begin setting words: names, rings and discs are taken."""
    rings = {
        place
        for one in ordered
        for place in (one.owed, one.did, *(one.options if one.owed is None else ()))
        if place is not None
    }
    half = ring_radius(layout) + 1
    return Labels(
        layout=layout,
        ground=palette.ground,
        taken=[
            *(one.rect for one in ordered),
            *((x - half, y - half, 2 * half, 2 * half) for x, y in rings),
            *(spot for one in ordered for spot in _along_miss(one)),
        ],
        rings=rings,
    )


def _along_miss(one: StandingMan) -> Iterator[Rect]:
    """Yield small places along the line of a miss, which words keep clear of."""
    if not one.went_elsewhere or one.owed is None or one.did is None:
        return
    (x0, y0), (x1, y1) = one.owed, one.did
    steps = max(int(max(abs(x1 - x0), abs(y1 - y0)) / 9), 1)
    for step in range(1, steps):
        share = step / steps
        yield x0 + (x1 - x0) * share - 3, y0 + (y1 - y0) * share - 3, 6.0, 6.0


def _words(ordered: list[StandingMan], labels: Labels, palette: Palette) -> list[Label]:
    """Name what the selected man owes and did, and every miss; the selected man first."""
    found = []
    for one in reversed(ordered):
        for text, place, colour in _told(one, palette):
            if place is None:
                set_there = labels.below(text, one.rect, colour)
            else:
                set_there = labels.beside(text, place, colour)
            if set_there is not None:
                found.append(set_there)
    return found


def _grown(rect: Rect, by: float) -> Rect:
    return rect[0] - by, rect[1] - by, rect[2] + 2 * by, rect[3] + 2 * by


def _told(one: StandingMan, palette: Palette) -> Iterator[tuple[str, Point | None, Colour]]:
    """Yield what is said of a man, and at which ring or disc; at none for below his name."""
    man = one.man
    elsewhere = man.did in ("fit", "miss")
    owed = palette.owed_text if man.graded else palette.quiet
    if one.owed is None and man.graded and man.owed_label:
        yield man.owed_label, None, owed
    if elsewhere:
        ink = palette.right_text if man.did_sign == "✓" else palette.did_text
        text = _did_words(man)
        if text:
            yield text, one.did, ink
    elif man.did == "cannot grade" and (man.selected or one.owed is None):
        yield f"? {man.did_label}".strip(), one.owed, palette.quiet
    named = man.selected or (elsewhere and not _names_owed(man))
    if one.owed is not None and man.owed_label and named and man.did != "cannot grade":
        yield man.owed_label, one.owed, owed


def _names_owed(man: PictureMan) -> bool:
    """Tell whether the words at his disc name what he owed already."""
    return man.did == "miss" and not man.selected and bool(man.did_sign)


def _did_words(man: PictureMan) -> str:
    """Say what he did instead, with the gap where the fit does not tell it."""
    if _names_owed(man):
        return f"{man.did_sign} {man.owed_label or man.did_label}".strip()
    words = man.did_label
    if words and man.did == "fit" and man.did_gap and man.did_gap not in words.split():
        words = f"{words} · {man.did_gap}"
    return f"{man.did_sign} {words}".strip() if words else ""


def _name(one: StandingMan, palette: Palette) -> Iterator[Shape]:
    """Set his name and number; the selected man on a plate with a stroke below."""
    (x, y), man = one.at, one.man
    left, top, width, height = one.rect
    if not man.selected:
        behind = (left + 4, top + 2, width - 8, height - 4)
        yield Box(rect=behind, corner_px=4, colour=palette.ground)
    else:
        yield Box(rect=one.rect, corner_px=5, colour=palette.ground)
        yield Box(rect=one.rect, corner_px=5, colour=see_through(palette.ink, 0.1))
        yield Box(
            rect=(left + 7, top + height - 2.5, width - 14, 2.5), corner_px=1.2,
            colour=palette.accent,
        )  # fmt: skip
    ink = palette.ink if man.graded and man.named != "nobody" else palette.quiet
    halo = None if man.selected else palette.ground
    wide = text_width_px(one.name, NAME_PX, 600)
    beside = 5 + text_width_px(one.number, NUMBER_PX, 500) if one.number else 0.0
    anchor: Literal["left", "centre"] = "centre" if one.lines == "two" else "left"
    if one.lines == "two":
        first, second = (x, y - 7.5 if one.number else y - 0.5), (x, y + 7.5)
    else:
        start = x - (wide + beside) / 2
        first, second = (start, y), (start + wide + 5, y)
    yield Words(
        text=one.name, at=first, size_px=NAME_PX, colour=ink, weight=600, anchor=anchor,
        line="middle", halo=halo,
    )  # fmt: skip
    if one.number:
        yield Words(
            text=one.number, at=second, size_px=NUMBER_PX, colour=palette.quiet, weight=500,
            anchor=anchor, line="middle", halo=halo,
        )  # fmt: skip
