"""The picture of a look: X's and O's from behind the offence, and what each man owed and did."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gradecut.drawing._look_layout import KEY_LINE_PX, KEY_PX, LETTERS, Layout, lay_out
from gradecut.drawing._look_men import draw_front, draw_men, stand
from gradecut.drawing._look_offence import draw_offence
from gradecut.drawing._scaling import scale_rect, scale_shape
from gradecut.drawing.lettering import text_width_px, wrap_text
from gradecut.drawing.look_words import look_facts
from gradecut.drawing.palette import Palette
from gradecut.drawing.shapes import Disc, Rect, Ring, Shape, Words
from gradecut.records.people import Side
from gradecut.records.picture import LookPicture

__all__ = ["DrawnLook", "look_shapes"]

_KEY_TEXT_PX = 11.0
_SIDE_PX = 20.0
_LEGEND = ("owed", "as owed", "elsewhere")
_USUAL_PX = (470.0, 330.0)
"""Up to this size type keeps its size; on larger pictures it grows with them."""
_LARGEST = 2.0
_LOW_PX = 130.0
"""Below this height the men need all of it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnLook:
    """A picture of a look, ready to be painted and touched.

    Attributes
    ----------
    shapes : tuple of Shape
        In painting order, on the palette's ground.
    men : dict of position to Rect
        Where each graded man takes a touch.
    gaps : dict of (gap, side) to Rect
        Where each gap takes a touch.
    key_px : float
        Height of the key at the bottom, which tells the facts of the look.
    """

    shapes: tuple[Shape, ...]
    men: dict[str, Rect]
    gaps: dict[tuple[str, Side], Rect]
    key_px: float


def look_shapes(
    picture: LookPicture,
    *,
    size_px: tuple[float, float],
    palette: Palette,
    title_px: float = 0.0,
) -> DrawnLook:
    """Draw a look from above, the offence below with its left on the left.

    What he owes is a hollow ring at its gap, what he did a solid disc, a miss the dashed
    line between them. What is not known is dotted where it may be, and never made up.

    Parameters
    ----------
    picture : LookPicture
        The look and his men.
    size_px : (width, height)
        Of the picture, for a device pixel ratio of one; at least about 300 x 230 to read.
        On a large picture type and lines grow too.
        A picture too low for both men and key goes without the key.
    palette : Palette
        DARK or LIGHT.
    title_px : float
        Height at the top that names keep clear of.
    """
    by = min(max(min(size_px[0] / _USUAL_PX[0], size_px[1] / _USUAL_PX[1]), 1.0), _LARGEST)
    told, beside = _told(picture, size_px[0] / by)
    low = size_px[1] - title_px < _LOW_PX
    key_px = 0.0 if low else KEY_PX if beside else KEY_PX + KEY_LINE_PX * len(told)
    inner_px = (size_px[0] / by, size_px[1] / by)
    layout = lay_out(picture, inner_px, key_px=key_px, title_px=title_px / by)
    standing = stand(picture, layout)
    shapes = (
        *draw_offence(picture, layout, palette),
        *draw_front(picture, layout, palette),
        *draw_men(standing, layout, palette),
        *(() if low else _legend(picture, layout, palette)),
        *(() if low else _facts(picture, layout, palette, told, beside=beside)),
    )
    sides: tuple[Side, Side] = ("left", "right")
    return DrawnLook(
        shapes=tuple(scale_shape(shape, by) for shape in shapes),
        men={one.man.position: scale_rect(one.rect, by) for one in standing if one.man.graded},
        gaps={
            (letter, side): scale_rect(layout.gap_rect(letter, side), by)
            for side in sides
            for letter in LETTERS[: layout.outer[side]]
        },
        key_px=key_px * by,
    )


def _told(picture: LookPicture, width_px: float) -> tuple[list[str], bool]:
    """Return the open question, or the facts of the look, in lines; and whether by the legend.

    They stand beside the legend where there is room for all of them by the longest legend
    there can be, so that they keep their place while men are graded; else on lines below.
    """
    facts = (picture.question,) if picture.question else look_facts(picture)
    told = " · ".join(facts)
    if not told:
        return [], True
    legend = sum(11 + text_width_px(name, _KEY_TEXT_PX, 500) + 20 for name in _LEGEND)
    if text_width_px(told, _KEY_TEXT_PX, 500) <= width_px - 2 * _SIDE_PX - legend:
        return [told], True
    room = width_px - 2 * _SIDE_PX
    if room < 60:
        return [], True
    if picture.question:
        return list(wrap_text(told, _KEY_TEXT_PX, room, most=2)), False
    return _lines_of(facts, room), False


def _lines_of(facts: tuple[str, ...], room_px: float) -> list[str]:
    """Fill lines with facts, never breaking one that fits a line."""
    lines: list[str] = []
    for fact in facts:
        longer = f"{lines[-1]} · {fact}" if lines else fact
        if lines and text_width_px(longer, _KEY_TEXT_PX, 500) <= room_px:
            lines[-1] = longer
        else:
            lines.append(wrap_text(fact, _KEY_TEXT_PX, room_px, most=1)[0])
    return lines


def _legend(picture: LookPicture, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Tell what ring and disc mean."""
    x, y, radius = _SIDE_PX, layout.size_px[1] - layout.key_px + KEY_PX / 2, 5.0
    shapes: tuple[Shape, ...] = (
        Ring(centre=(0, 0), rx_px=radius, ry_px=radius, width_px=2, colour=palette.owed),
        Disc(centre=(0, 0), radius_px=4, colour=palette.right),
        Disc(centre=(0, 0), radius_px=4, colour=palette.did),
    )
    needed = (
        any(man.owed_label or man.owed_options for man in picture.men),
        any(man.did == "as owed" for man in picture.men),
        any(man.did in ("fit", "miss") for man in picture.men),
    )
    for text, shape, wanted in zip(_LEGEND, shapes, needed, strict=True):
        if wanted:
            yield _moved(shape, x, y)
            yield _small(text, (x + 11, y), palette)
            x += 11 + text_width_px(text, _KEY_TEXT_PX, 500) + 20


def _facts(
    picture: LookPicture, layout: Layout, palette: Palette, told: list[str], *, beside: bool
) -> Iterator[Shape]:
    """Set the look in words, or the open question: beside the legend or below it."""
    width, height = layout.size_px
    colour = palette.accent_text if picture.question else palette.quiet
    y = height - layout.key_px + KEY_PX / 2
    for number, line in enumerate(told, start=0 if beside else 1):
        yield Words(
            text=line, at=(width - _SIDE_PX if beside else _SIDE_PX - 5, y + number * KEY_LINE_PX),
            size_px=_KEY_TEXT_PX, colour=colour, weight=500,
            anchor="right" if beside else "left", line="middle",
        )  # fmt: skip


def _moved(shape: Shape, x: float, y: float) -> Shape:
    match shape:
        case Ring():
            return Ring(
                centre=(x, y), rx_px=shape.rx_px, ry_px=shape.ry_px, width_px=shape.width_px,
                colour=shape.colour,
            )  # fmt: skip
        case Disc():
            return Disc(centre=(x, y), radius_px=shape.radius_px, colour=shape.colour)
        case _:
            return shape


def _small(text: str, at: tuple[float, float], palette: Palette) -> Words:
    return Words(
        text=text, at=at, size_px=_KEY_TEXT_PX, colour=palette.quiet, weight=500, line="middle"
    )
