"""Where his men stand on the picture: the ring each owes, the disc where he went, his name."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import count
from typing import Literal

from gradecut.drawing._look_layout import OPEN_NAME, Layout, around, sign
from gradecut.drawing._look_names import kept_in, names_apart
from gradecut.drawing.lettering import text_width_px, wrap_text
from gradecut.drawing.shapes import Point, Rect
from gradecut.records.people import Side
from gradecut.records.picture import LookPicture, PictureMan

__all__ = ["NAME_PX", "NUMBER_PX", "StandingMan", "ring_radius", "stand"]

_FIT_ROW = -0.68
NAME_PX, NUMBER_PX = 13.5, 11.5
_RING, _LEAST_RING_PX = 0.2, 5.0
_TOUCH_PX = 40.0
_WIDEST_NAME_PX = 104.0
_BOX_PX: dict[Lines, float] = {"two": 39.0, "one": 24.0, "name": 20.0}
_TRIES = 12
_ASIDE = 0.46
"""Rings in one gap stand side by side, so many linemen apart."""

Lines = Literal["two", "one", "name"]
"""How a man is written: his name above his number, both in a row, or his name alone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StandingMan:
    """A man with everything of his in pixels.

    Attributes
    ----------
    name, number : str
        As they are written, cut where they would be too long.
    rect : Rect
        Around his name; also where he takes a touch.
    owed, did : Point or None
        Middle of his ring and of his disc.
    options : tuple of Point
        Where his ring may be while facts are open.
    """

    man: PictureMan
    name: str
    number: str
    lines: Lines
    rect: Rect
    owed: Point | None
    did: Point | None
    options: tuple[Point, ...]

    @property
    def at(self) -> Point:
        """The middle of his name's box."""
        return self.rect[0] + self.rect[2] / 2, self.rect[1] + self.rect[3] / 2

    @property
    def went_elsewhere(self) -> bool:
        """Whether he went to another place than he owed."""
        return self.man.did in ("fit", "miss") and self.did is not None


def ring_radius(layout: Layout) -> float:
    """Return the radius of a ring, in pixels."""
    return max(_RING * layout.size, _LEAST_RING_PX)


def stand(picture: LookPicture, layout: Layout) -> list[StandingMan]:
    """Give every man his places; rings in one gap stand side by side, names keep apart.

    Rings are placed before discs, so that none of them moves while men are graded.
    """
    used: list[Point] = []
    owed = [
        _fit_place(man.owed_gap, man.owed_side, man.owed_landmark, layout, used)
        for man in picture.men
    ]
    did = [_did_place(man, ring, layout, used) for man, ring in zip(picture.men, owed, strict=True)]
    radius = ring_radius(layout) + 2
    fits = [(x - radius, y - radius, 2 * radius, 2 * radius) for x, y in used]
    lines, rects = _name_boxes(picture, layout, fits)
    return [
        StandingMan(
            man=man,
            name=_written(man)[0],
            number=_written(man)[1] if lines != "name" else "",
            lines=lines,
            rect=rect,
            owed=ring,
            did=disc,
            options=_options(man, layout),
        )
        for man, rect, ring, disc in zip(picture.men, rects, owed, did, strict=True)
    ]


def _options(man: PictureMan, layout: Layout) -> tuple[Point, ...]:
    places = (_fit_place(gap, side, None, layout, []) for gap, side in man.owed_options)
    return tuple(place for place in places if place is not None)


# ---------------------------------------------------------------- rings and discs


def _fit_place(
    gap: str | None,
    side: Side | None,
    landmark: str | None,
    layout: Layout,
    used: list[Point],
) -> Point | None:
    """Return the middle of a fit: its gap, or outside everything for a landmark with a side."""
    if side is None or not (gap or landmark):
        return None
    across = layout.gap_across(gap, side) if gap else None
    if across is None:
        across = sign(side) * (layout.outer[side] + 0.3)
    return _free_place(layout.at(across, _FIT_ROW), side, layout, used)


def _free_place(
    start: Point, side: Side, layout: Layout, used: list[Point], *, deeper: bool = False
) -> Point:
    """Return the first place from a start on where no other ring or disc lies, and use it.

    A second ring stands beside the first, away from the ball, and a third one deeper: what is
    short of a ring then lies behind no other.
    """
    apart = 2 * ring_radius(layout) + 3
    aside = max(_ASIDE * layout.unit, apart)
    columns = 1 if deeper else 2
    place = start
    for number in range(_TRIES):
        row, column = divmod(number, columns)
        place = layout.off(start, across_px=sign(side) * column * aside, down_px=-row * apart)
        if all(_away(place, other) >= apart - 0.5 for other in used):
            break
    used.append(place)
    return place


def _away(one: Point, other: Point) -> float:
    return float(((one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2) ** 0.5)


def _did_place(
    man: PictureMan, owed: Point | None, layout: Layout, used: list[Point]
) -> Point | None:
    """Return where he went; what has no place of its own stands short of his ring."""
    same_gap = (man.did_gap, man.did_side) == (man.owed_gap, man.owed_side)
    if man.did == "as owed" or (man.did == "fit" and man.did_gap and same_gap):
        return owed
    if man.did not in ("fit", "miss"):
        return None
    landmark = man.did_label if man.did == "fit" else None
    place = _fit_place(man.did_gap, man.did_side, landmark, layout, used)
    if place is None and owed is not None:
        short = max(0.62 * layout.rise, 2 * ring_radius(layout) + 4)
        start = layout.off(owed, down_px=-short)
        place = _free_place(start, man.owed_side or "right", layout, used, deeper=True)
    return place


# ---------------------------------------------------------------- names


def _written(man: PictureMan) -> tuple[str, str]:
    """Return his name and number, or what stands in for it where nobody is known."""
    name = wrap_text(man.position, NAME_PX, _WIDEST_NAME_PX, weight=600, most=1)
    instead = "" if man.named == "named" else man.named
    return (name[0] if name else ""), man.number or instead


def _name_boxes(picture: LookPicture, layout: Layout, fits: list[Rect]) -> tuple[Lines, list[Rect]]:
    """Give every name a box, written as fully as leaves them apart."""
    forms: tuple[Lines, ...] = ("one", "name") if layout.sideways else ("two", "one", "name")
    spots = _spots(picture, layout)
    for lines in forms:
        wanted = [
            _box(man, spot, lines, layout) for man, spot in zip(picture.men, spots, strict=True)
        ]
        found = names_apart(wanted, _room_of_names(layout), fits, down=layout.sideways)
        if found is not None:
            return lines, found
    return forms[-1], [kept_in(one, _room_of_names(layout)) for one in wanted]


def _box(man: PictureMan, spot: Point, lines: Lines, layout: Layout) -> Rect:
    """Return the box a name would have at its spot; from the side it lies behind the spot."""
    name, number = _written(man)
    wide = text_width_px(name, NAME_PX, 600)
    beside = text_width_px(number, NUMBER_PX, 500)
    if lines == "one" and number:
        wide += 5 + beside
    elif lines == "two":
        wide = max(wide, beside)
    wide, high = max(wide + 14, _TOUCH_PX), _BOX_PX[lines]
    x, y = layout.off(spot, down_px=-wide / 2 + 8) if layout.sideways else (spot[0], spot[1] + 2.5)
    return x - wide / 2, y - high / 2, wide, high


def _room_of_names(layout: Layout) -> Rect:
    """Return the defence's side of the line, behind the fits."""
    left, top, width, height = layout.field
    near = -layout.rise * _FIT_ROW + ring_radius(layout) + 3
    far = max(
        -layout.behind(corner)
        for corner in ((left + 2, top), (left + width - 2, top), (left + 2, top + height),
                       (left + width - 2, top + height))
    )  # fmt: skip
    first, last = layout.along((left + 2, top)), layout.along((left + width - 2, top + height))
    near = min(near, far)
    return around(
        tuple(
            layout.off(layout.ball, across_px=across, down_px=-deep)
            for across in (first, last)
            for deep in (near, far)
        )
    )


def _spots(picture: LookPicture, layout: Layout) -> list[Point]:
    """Return where names go: his spot, else above the fit he owes, else on his own side."""
    aside = {side: count() for side in ("left", "right", None)}
    many = {side: sum(_homeless(man, layout) and man.own_side == side for man in picture.men)
            for side in aside}  # fmt: skip
    found = []
    for man in picture.men:
        if man.at_yd is not None:
            found.append(layout.man_at(man.at_yd))
            continue
        across = _above_fit(man, layout)
        if across is None:
            share = (next(aside[man.own_side]) + 1) / (many[man.own_side] + 1)
            across = {"left": -3.6, "right": 0.4, None: -1.6}[man.own_side] + share * 3.2
        found.append(layout.at(across, -OPEN_NAME))
    return found


def _homeless(man: PictureMan, layout: Layout) -> bool:
    return man.at_yd is None and _above_fit(man, layout) is None


def _above_fit(man: PictureMan, layout: Layout) -> float | None:
    """Return how far across the fit he owes lies, or the middle of those he may owe.

    Where these lie on both sides, those on his own count. Who lined up at the other side is not
    above what he owes.
    """
    if man.stood is not None:
        return None
    if man.owed_gap and man.owed_side:
        return layout.gap_across(man.owed_gap, man.owed_side)
    if man.owed_landmark and man.owed_side:
        return sign(man.owed_side) * (layout.outer[man.owed_side] + 0.3)
    on_his = [one for one in man.owed_options if one[1] == man.own_side]
    places = [layout.gap_across(gap, side) for gap, side in on_his or man.owed_options]
    known = [place for place in places if place is not None]
    return sum(known) / len(known) if known else None
