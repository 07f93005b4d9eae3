"""The picture of a look: X's and O's from behind the offence, and what each man owed and did."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from gradecut.drawing._look_layout import KEY_PX, LETTERS, Layout, lay_out
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
_USUAL_PX = (470.0, 330.0)
"""Up to this size type keeps its size; on larger pictures it grows with them."""
_LARGEST = 2.0


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
    """

    shapes: tuple[Shape, ...]
    men: dict[str, Rect]
    gaps: dict[tuple[str, Side], Rect]


def look_shapes(
    picture: LookPicture, *, size_px: tuple[float, float], palette: Palette
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
    palette : Palette
        DARK or LIGHT.
    """
    by = min(max(min(size_px[0] / _USUAL_PX[0], size_px[1] / _USUAL_PX[1]), 1.0), _LARGEST)
    layout = lay_out(picture, (size_px[0] / by, size_px[1] / by))
    standing = stand(picture, layout)
    shapes = (
        *draw_offence(picture, layout, palette),
        *draw_front(picture, layout, palette),
        *draw_men(standing, layout, palette),
        *_key(picture, layout, palette),
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
    )


def _key(picture: LookPicture, layout: Layout, palette: Palette) -> Iterator[Shape]:
    """Tell what ring and disc mean, then the look in words or the open question."""
    width, height = layout.size_px
    x, y, radius = 20.0, height - KEY_PX / 2, 5.0
    went = any(man.did in ("fit", "miss") for man in picture.men)
    right = any(man.did == "as owed" for man in picture.men)
    entries: list[tuple[str, Shape]] = []
    if any(man.owed_label or man.owed_options for man in picture.men):
        entries.append(
            (
                "owed",
                Ring(centre=(0, 0), rx_px=radius, ry_px=radius, width_px=2, colour=palette.owed),
            )
        )
    if right:
        entries.append(("as owed", Disc(centre=(0, 0), radius_px=4, colour=palette.right)))
    if went:
        entries.append(("elsewhere", Disc(centre=(0, 0), radius_px=4, colour=palette.did)))
    for text, shape in entries:
        yield _moved(shape, x, y)
        yield _small(text, (x + 11, y), palette)
        x += 11 + text_width_px(text, _KEY_TEXT_PX, 500) + 20
    colour = palette.accent_text if picture.question else palette.quiet
    told = _as_fits(picture, width - 20 - (x + 4))
    if told:
        yield Words(
            text=told, at=(width - 20, y), size_px=_KEY_TEXT_PX, colour=colour, weight=500,
            anchor="right", line="middle",
        )  # fmt: skip


def _as_fits(picture: LookPicture, room_px: float) -> str:
    """Return the open question, or as many facts of the look as there is room for."""
    if room_px < 60:
        return ""
    if picture.question:
        return wrap_text(picture.question, _KEY_TEXT_PX, room_px, most=1)[0]
    facts = look_facts(picture)
    while facts and text_width_px(" · ".join(facts), _KEY_TEXT_PX, 500) > room_px:
        facts = facts[:-1]
    return " · ".join(facts)


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
