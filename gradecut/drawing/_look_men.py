"""His men on the picture: the ring each owes, the disc where he went, the line between."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Literal

from gradecut.drawing._look_labels import LABEL_PX, Label, Labels
from gradecut.drawing._look_layout import Layout
from gradecut.drawing._look_leads import Lead, along, between, leads
from gradecut.drawing._look_places import NAME_PX, NUMBER_PX, StandingMan, ring_radius
from gradecut.drawing.lettering import text_width_px
from gradecut.drawing.palette import Palette, see_through
from gradecut.drawing.shapes import Box, Colour, Disc, Point, Rect, Ring, Shape, Stroke, Words
from gradecut.records.picture import LookPicture, PictureMan

__all__ = ["draw_front", "draw_men"]

_FRONT_ROW = -0.24
_DOTS = (1.0, 3.6)
_MISS = (5.5, 4.0)
_THIN_PX = 2.0
"""A line no wider or higher than this covers its bounds."""


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


def draw_men(
    standing: list[StandingMan], layout: Layout, palette: Palette, drawn: Sequence[Shape] = ()
) -> Iterator[Shape]:
    """Draw his men, the selected one last and strongest.

    Parameters
    ----------
    drawn : sequence of Shape
        What lies below them, which words keep clear of.
    """
    ordered = sorted(standing, key=lambda one: one.man.selected)
    found = leads(ordered, layout)
    yield from (_lead(one, palette) for one in found)
    for one in ordered:
        yield from _miss_line(one, layout, palette)
    words: list[Label] = []
    if not layout.wordless:
        ways = [rect for one in found for rect in along(one.way)]
        words = _words(ordered, _labels(ordered, layout, palette, ways, drawn), palette)
    for one in ordered:
        yield from _fit(one, layout, palette)
    yield from (line for _, lines in words for line in lines)
    for one in ordered:
        yield from _name(one, palette)


# ---------------------------------------------------------------- rings, discs, lines


def _lead(lead: Lead, palette: Palette) -> Stroke:
    """Draw a thin line from a man to where he went, or to what he owes."""
    one = lead.one
    hue = palette.owed if one.man.graded else palette.faint
    if one.went_elsewhere:
        hue = _did_colour(one.man, palette)
    return Stroke(
        points=lead.way,
        width_px=1.3,
        colour=see_through(hue, 1.0 if one.man.selected else 0.6),
        dash=_DOTS if one.man.at_yd is None or one.owed is None else (),
    )


def _miss_line(one: StandingMan, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Draw the line of a miss, from his ring to where he went."""
    radius = ring_radius(layout)
    if one.went_elsewhere and one.owed is not None and one.did is not None:
        ends = between(one.owed, one.did, radius + 2, radius * 0.66 + 2)
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


# ---------------------------------------------------------------- words


def _labels(
    ordered: list[StandingMan],
    layout: Layout,
    palette: Palette,
    ways: list[Rect],
    drawn: Sequence[Shape],
) -> Labels:
    """Begin setting words: names, rings, discs and lines are taken."""
    rings = {
        place
        for one in ordered
        for place in (one.owed, one.did, *(one.options if one.owed is None else ()))
        if place is not None
    }
    half = ring_radius(layout) + 1
    misses = [(one.owed, one.did) for one in ordered if one.went_elsewhere and one.owed and one.did]
    return Labels(
        layout=layout,
        ground=palette.ground,
        taken=[
            *(one.rect for one in ordered),
            *((x - half, y - half, 2 * half, 2 * half) for x, y in rings),
            *(rect for ends in misses for rect in along(ends)),
            *ways,
            *_covered(drawn),
        ],
        rings=rings,
    )


def _covered(drawn: Iterable[Shape]) -> Iterator[Rect]:
    """Yield what lies under shapes, lines by small places along them."""
    for shape in drawn:
        if isinstance(shape, Words):
            continue
        straight = min(shape.bounds_px[2:]) <= _THIN_PX
        if isinstance(shape, Stroke) and not shape.closed and not straight:
            yield from along(shape.points, 1.5)
        else:
            yield shape.bounds_px


def _words(ordered: list[StandingMan], labels: Labels, palette: Palette) -> list[Label]:
    """Name what the selected man owes and did, and every miss; the selected man first.

    How a man missed is never left out: it stands elsewhere, after his name, where there is no
    room by his disc.
    """
    found = []
    for one in reversed(ordered):
        for text, place, colour in _told(one, palette):
            if place is None:
                set_there = labels.below(text, one.rect, colour)
            else:
                set_there = labels.beside(text, place, colour, owner=_owner(one, place))
            if set_there is not None:
                found.append(set_there)
    return found


def _owner(one: StandingMan, place: Point) -> str:
    """Return whose disc a place is; empty for a ring, whose words the rule tells as well."""
    return one.name if one.went_elsewhere and place == one.did else ""


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
