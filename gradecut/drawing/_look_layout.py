"""Where everything of a look stands on the picture, in pixels."""

from __future__ import annotations

from dataclasses import dataclass

from gradecut.drawing.shapes import Point, Rect
from gradecut.records.people import Side
from gradecut.records.picture import LookPicture

__all__ = ["LETTERS", "OPEN_NAME", "Layout", "Spot", "lay_out", "sign"]

LETTERS = "ABCDE"
_SPLIT_YD = 1.45
"""From one lineman's middle to the next, roughly; the picture is a diagram, not a map."""
_DEPTH = 0.5
"""Of a yard of depth, in spacings of linemen."""
_ROWS = 7.7
"""The picture's height in spacings, without its key."""
_BELOW_LINE = 3.05
"""Of these, what lies below the line of scrimmage."""
_NAME_UP_PX = 17.0
"""From the middle of a man's name to the top of its box."""
_NEAREST_NAME, OPEN_NAME = 2.1, 2.6
"""Rows from the line to a name: at least, and while his spot is not known."""
_COLUMNS = 11.3
_FLATTEST = 1.5
"""In a low picture linemen stand further apart than rows, by this factor at the most."""
_LABEL_ROOM_PX = 76.0
"""Kept free there beside the outermost ring, for what is owed in it."""
_FIGURE = 1.15
"""How far figures outgrow the rows there, at the most."""
KEY_PX, KEY_LINE_PX = 26.0, 16.0


def sign(side: Side) -> int:
    """Return -1 for left and 1 for right, as the offence faces the line."""
    return -1 if side == "left" else 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where one man of the offence stands.

    Attributes
    ----------
    certain : bool
        False where he may as well stand elsewhere, or not be there.
    """

    name: str
    side: Side | None
    at: Point
    certain: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Measures of one picture.

    Attributes
    ----------
    unit : float
        From one lineman to the next, in pixels.
    rise : float
        The same measure downwards, smaller in a low picture.
    size : float
        What rings, discs and the men of the offence are sized by.
    key_px : float
        Height of the key at the bottom.
    centre_x, line_y : float
        The ball and the line of scrimmage.
    outer : dict of side to int
        The outermost gap that is lettered there, as a number from 1 (A).
    """

    size_px: tuple[float, float]
    unit: float
    rise: float
    size: float
    key_px: float
    centre_x: float
    line_y: float
    outer: dict[Side, int]

    def across(self, spacings: float) -> float:
        """Return x at so many linemen to the right of the ball."""
        return self.centre_x + spacings * self.unit

    def down(self, spacings: float) -> float:
        """Return y so many spacings to the offence's side of the line."""
        return self.line_y + spacings * self.rise

    def gap_x(self, gap: str, side: Side) -> float | None:
        """Return the middle of a gap; None for a gap that has no letter."""
        place = LETTERS.find(gap) if len(gap) == 1 else -1
        return None if place < 0 else self.across(sign(side) * (place + 0.5))

    def man_at(self, at_yd: tuple[float, float]) -> Point:
        """Return where a man's name stands, kept inside the picture."""
        across, depth = at_yd
        x = self.across(across / _SPLIT_YD)
        y = self.line_y - max(depth, 1.0) * _DEPTH * self.rise
        return (
            min(max(x, 28.0), self.size_px[0] - 28.0),
            min(max(y, 20.0), self.down(-_NEAREST_NAME)),
        )

    def gap_rect(self, gap: str, side: Side) -> Rect:
        """Return where a gap takes a touch."""
        x = self.gap_x(gap, side)
        middle = self.centre_x if x is None else x
        top = self.down(-1.1)
        return (middle - self.unit / 2, top, self.unit, self.down(0.85) - top)


def _deepest(picture: LookPicture) -> float:
    """Return how many rows above the line the highest name stands."""
    return max(
        OPEN_NAME if man.at_yd is None else max(man.at_yd[1] * _DEPTH, _NEAREST_NAME)
        for man in picture.men
    )


def lay_out(
    picture: LookPicture,
    size_px: tuple[float, float],
    *,
    key_px: float = KEY_PX,
    title_px: float = 0.0,
) -> Layout:
    """Fit a look into a picture of a size, above a key and below a title of a height."""
    width, height = size_px
    rise = min(width / _COLUMNS, (height - key_px) / _ROWS)
    if title_px and picture.men:
        free = height - key_px - title_px - _NAME_UP_PX
        rise = max(min(rise, free / (_BELOW_LINE + _deepest(picture))), 1.0)
    line_y = height - key_px - _BELOW_LINE * rise
    named = {
        (gap, side)
        for man in picture.men
        for gap, side in (
            (man.owed_gap, man.owed_side),
            (man.did_gap, man.did_side),
            *man.owed_options,
        )
        if gap and side
    }
    outer: dict[Side, int] = {}
    sides: tuple[tuple[Side, int | None], ...] = (
        ("left", picture.surface_left),
        ("right", picture.surface_right),
    )
    for side, surface in sides:
        asked = [LETTERS.find(gap) + 1 for gap, of in named if of == side]
        outer[side] = min(max((surface or 3) + 1, 3, *asked), len(LETTERS))
    beside = (width / 2 - _LABEL_ROOM_PX) / (max(outer.values()) - 0.04)
    unit = min(width / _COLUMNS, max(rise, min(_FLATTEST * rise, beside)))
    return Layout(
        size_px=size_px, unit=unit, rise=rise, size=min(unit, _FIGURE * rise), key_px=key_px,
        centre_x=width / 2, line_y=line_y, outer=outer,
    )  # fmt: skip
