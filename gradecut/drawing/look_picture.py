"""The picture of a look: X's and O's from above, and what each man owed and did."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gradecut.drawing._look_key import lay_out_key
from gradecut.drawing._look_layout import LETTERS, lay_out
from gradecut.drawing._look_men import draw_front, draw_men
from gradecut.drawing._look_offence import draw_offence
from gradecut.drawing._look_places import stand
from gradecut.drawing._scaling import scale_rect, scale_shape
from gradecut.drawing.palette import Palette
from gradecut.drawing.shapes import Point, Rect, Shape
from gradecut.records.people import Side
from gradecut.records.picture import LookPicture

__all__ = ["DrawnLook", "Place", "look_shapes"]

_USUAL_PX = (470.0, 330.0)
"""Up to this size type keeps its size; on larger pictures it grows with them."""
_LARGEST = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Something on the picture that takes a touch.

    Attributes
    ----------
    name : str
        A man's position, a gap's letter, or a fact's reference.
    side : "left", "right" or None
        Of a gap.
    """

    kind: Literal["man", "fact", "gap"]
    name: str
    side: Side | None = None


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
    facts : dict of reference to Rect
        Where each fact takes a touch; empty while facts are told in plain words only.
    key : Rect
        What tells the look in words, below the picture or beside it.
    """

    shapes: tuple[Shape, ...]
    men: dict[str, Rect]
    gaps: dict[tuple[str, Side], Rect]
    facts: dict[str, Rect]
    key: Rect

    @property
    def places(self) -> dict[Place, Rect]:
        """Everything that takes a touch; where two lie over each other, the first has it."""
        return {
            **{Place(kind="man", name=name): rect for name, rect in self.men.items()},
            **{Place(kind="fact", name=name): rect for name, rect in self.facts.items()},
            **{Place(kind="gap", name=gap, side=side): rect
               for (gap, side), rect in self.gaps.items()},
        }  # fmt: skip

    def place_at(self, point: Point) -> Place | None:
        """Return what takes a touch at a point; None for nothing."""
        return next((place for place, rect in self.places.items() if _holds(rect, point)), None)

    def in_key(self, point: Point) -> bool:
        """Tell whether a point lies where the look is told in words."""
        return _holds(self.key, point)


def look_shapes(
    picture: LookPicture,
    *,
    size_px: tuple[float, float],
    palette: Palette,
    title_px: float = 0.0,
) -> DrawnLook:
    """Draw a look from above, turned as it is seen; words stay upright.

    What he owes is a hollow ring at its gap, what he did a solid disc, a miss the dashed
    line between them. What film has not confirmed is drawn in dashes, and what is not known
    in dots where it may be, and never made up.

    Parameters
    ----------
    picture : LookPicture
        The look, his men, and the turn. At 0 the offence is below with its left on the left.
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
    inner_px = (size_px[0] / by, size_px[1] / by)
    key = lay_out_key(picture, inner_px, palette, title_px / by)
    wordless = key.rect[3] == 0
    layout = lay_out(picture, key.field, titled=title_px > 0, wordless=wordless)
    standing = stand(picture, layout)
    below = (
        *draw_offence(picture, layout, palette),
        *draw_front(picture, layout, palette),
    )
    shapes = (*below, *draw_men(standing, layout, palette, below), *key.shapes)
    sides: tuple[Side, Side] = ("left", "right")
    return DrawnLook(
        shapes=shapes if by == 1.0 else tuple(scale_shape(shape, by) for shape in shapes),
        men={one.man.position: scale_rect(one.rect, by) for one in standing if one.man.graded},
        gaps={
            (letter, side): scale_rect(layout.gap_rect(letter, side), by)
            for side in sides
            for letter in LETTERS[: layout.outer[side]]
        },
        facts={reference: scale_rect(rect, by) for reference, rect in key.facts.items()},
        key=scale_rect(key.rect, by),
    )


def _holds(rect: Rect, point: Point) -> bool:
    left, top, width, height = rect
    return left <= point[0] < left + width and top <= point[1] < top + height
