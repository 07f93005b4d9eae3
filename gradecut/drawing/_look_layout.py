"""Where everything of a look stands on the picture, in pixels."""

from __future__ import annotations

from dataclasses import dataclass

from gradecut.drawing.shapes import Point, Rect
from gradecut.records.people import Side
from gradecut.records.picture import LookPicture, Seen

__all__ = ["LETTERS", "OPEN_NAME", "Layout", "Spot", "lay_out", "sideways", "sign"]

LETTERS = "ABCDE"
_SPLIT_YD = 1.45
"""From one lineman's middle to the next, roughly; the picture is a diagram, not a map."""
_DEPTH = 0.5
"""Of a yard of depth, in spacings of linemen."""
_ROWS = 7.7
"""How deep the picture is in spacings."""
_BELOW_LINE = 3.05
"""Of these, what lies on the offence's side of the line of scrimmage."""
_NAME_UP_PX = 17.0
"""From the middle of a man's name to the far edge of its box."""
NEAREST_NAME, OPEN_NAME = 2.1, 2.6
"""Rows from the line to a name: at least, and while his spot is not known."""
_COLUMNS = 11.3
_FLATTEST = 1.5
"""In a low picture linemen stand further apart than rows, by this factor at the most."""
_STEEPEST = 1.6
"""In a high picture rows stand further apart than linemen, by this factor at the most."""
_DEEPEST = 1.6
"""Seen from the side, rows stand further apart than linemen, by this factor at the most."""
_NARROWEST = 0.8
"""Linemen come this much nearer at the most to keep it free."""
_LABEL_ROOM_PX = 76.0
"""Kept free beside the outermost ring, for what is owed in it."""
_NAME_ROOM_PX = 74.0
"""Seen from the side, kept free for names at the far end."""
_FIGURE = 1.15
"""How far figures outgrow the rows there, at the most."""
_LARGEST_SPACING_PX = 42.0
_SPARE_BELOW = 0.7
"""In a picture higher than it needs, the share of the spare room on the offence's side."""
_PAD_PX = 5.0
_RING_ASIDE = 0.3
"""Seen from the side, kept free beyond the outermost gap for a second ring in it."""
WIDEST = 5.25
"""The outermost receiver, in linemen from the ball."""
_RECEIVERS = 0.85
_TURNS: dict[int, tuple[Point, Point]] = {
    0: ((1, 0), (0, 1)),
    90: ((0, 1), (-1, 0)),
    180: ((-1, 0), (0, -1)),
    270: ((0, -1), (1, 0)),
}
"""Where the offence's right and its own side lie on the picture, for each turn."""


def sign(side: Side) -> int:
    """Return -1 for left and 1 for right, as the offence faces the line."""
    return -1 if side == "left" else 1


def sideways(turn: int) -> bool:
    """Tell whether the line of scrimmage stands upright on the picture."""
    return turn % 180 == 90


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """Where one man of the offence stands.

    Attributes
    ----------
    across, down : float
        In linemen to the offence's right, and in rows to its own side of the line.
    known : Seen
        Whether film confirmed it; "open" where he may as well stand elsewhere, or not be there.
    """

    name: str
    side: Side | None
    across: float
    down: float
    known: Seen = "seen"


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Measures of one picture.

    Attributes
    ----------
    turn : int
        0, 90, 180 or 270 degrees clockwise.
    field : Rect
        What is left for the look itself, without title and key.
    unit : float
        From one lineman to the next, in pixels.
    rise : float
        From one row to the next, in pixels.
    size : float
        What rings, discs and the men of the offence are sized by.
    ball : Point
        Where the ball lies, on the line of scrimmage.
    outer : dict of side to int
        The outermost gap that is lettered there, as a number from 1 (A).
    wordless : bool
        So low that words would lie under the names.
    """

    turn: int
    field: Rect
    unit: float
    rise: float
    size: float
    ball: Point
    outer: dict[Side, int]
    wordless: bool = False

    @property
    def back(self) -> Point:
        """The direction to the offence's side of the line, of length one."""
        return _TURNS[self.turn][1]

    @property
    def right(self) -> Point:
        """The direction to the offence's right, of length one."""
        return _TURNS[self.turn][0]

    @property
    def sideways(self) -> bool:
        """Whether the line of scrimmage stands upright."""
        return sideways(self.turn)

    def at(self, across: float, down: float) -> Point:
        """Return the place of so many linemen to the right and rows behind the line."""
        (rx, ry), (bx, by) = _TURNS[self.turn]
        x, y = across * self.unit, down * self.rise
        return self.ball[0] + rx * x + bx * y, self.ball[1] + ry * x + by * y

    def off(self, place: Point, *, across_px: float = 0.0, down_px: float = 0.0) -> Point:
        """Return a place moved by pixels along the line and away from it."""
        (rx, ry), (bx, by) = _TURNS[self.turn]
        return (
            place[0] + rx * across_px + bx * down_px,
            place[1] + ry * across_px + by * down_px,
        )

    def behind(self, place: Point) -> float:
        """Return how far a place lies on the offence's side of the line, in pixels."""
        bx, by = self.back
        return (place[0] - self.ball[0]) * bx + (place[1] - self.ball[1]) * by

    def along(self, place: Point) -> float:
        """Return how far a place lies to the offence's right of the ball, in pixels."""
        rx, ry = self.right
        return (place[0] - self.ball[0]) * rx + (place[1] - self.ball[1]) * ry

    def gap_across(self, gap: str, side: Side) -> float | None:
        """Return the middle of a gap in linemen from the ball; None for one without a letter."""
        place = LETTERS.find(gap) if len(gap) == 1 else -1
        return None if place < 0 else sign(side) * (place + 0.5)

    def man_at(self, at_yd: tuple[float, float]) -> Point:
        """Return where a man stands, not nearer to the line than names may be."""
        across, depth = at_yd
        return self.at(across / _SPLIT_YD, -max(depth * _DEPTH, NEAREST_NAME))

    def gap_rect(self, gap: str, side: Side) -> Rect:
        """Return where a gap takes a touch."""
        middle = self.gap_across(gap, side) or 0.0
        return around((self.at(middle - 0.5, -1.1), self.at(middle + 0.5, 0.85)))


def around(corners: tuple[Point, ...]) -> Rect:
    """Return the rectangle around places."""
    xs, ys = [x for x, _ in corners], [y for _, y in corners]
    return min(xs), min(ys), max(xs) - min(xs), max(ys) - min(ys)


def lay_out(picture: LookPicture, field: Rect, *, titled: bool, wordless: bool = False) -> Layout:
    """Fit a look into what title and key leave of a picture.

    Parameters
    ----------
    field : Rect
        What they leave.
    titled : bool
        A title stands above, which names must not reach.
    """
    outer = _outer(picture)
    if sideways(picture.turn):
        return _from_the_side(picture, field, outer, wordless=wordless)
    left, top, width, height = field
    rise = min(width / _COLUMNS, height / _ROWS)
    if titled and picture.men:
        room = (height - _NAME_UP_PX) / (_BELOW_LINE + _deepest(picture))
        rise = max(min(_STEEPEST * width / _COLUMNS, room), 1.0)
    beside = (width / 2 - _LABEL_ROOM_PX) / (max(outer.values()) - 0.04)
    widest = width / _COLUMNS
    unit = min(widest, max(rise, min(_FLATTEST * rise, beside)))
    if rise > widest:
        unit = min(widest, max(beside, _NARROWEST * widest))
    spare = 0.0
    if titled and picture.men:
        used = (_BELOW_LINE + _deepest(picture)) * rise + _NAME_UP_PX
        spare = max(height - used, 0.0) * _SPARE_BELOW
    line_y = top + height - _BELOW_LINE * rise - spare
    if picture.turn == 180:
        line_y = top + _BELOW_LINE * rise + spare
    return Layout(
        turn=picture.turn, field=field, unit=unit, rise=rise, size=min(unit, _FIGURE * rise),
        ball=(left + width / 2, line_y), outer=outer, wordless=wordless,
    )  # fmt: skip


def _from_the_side(
    picture: LookPicture, field: Rect, outer: dict[Side, int], *, wordless: bool
) -> Layout:
    """Fit a look with its line upright: as wide as its gaps, no wider."""
    left, top, width, height = field
    ring = _RING_ASIDE if picture.men else 0.0
    reach = {side: max(outer[side] + ring, _widest(picture, side)) for side in outer}
    unit = min((height - 2 * _PAD_PX) / sum(reach.values()), _LARGEST_SPACING_PX)
    deep = _BELOW_LINE + 0.2 + (_deepest(picture) if picture.men else _ROWS - _BELOW_LINE)
    room = width - (_NAME_ROOM_PX if picture.men else 0.0)
    rise = max(min(room / deep, _DEEPEST * unit, _LARGEST_SPACING_PX), 1.0)
    spare_y = height - unit * sum(reach.values())
    spare_x = max(room - rise * deep, 0.0) / 2
    first: Side = "left" if picture.turn == 90 else "right"
    behind = left + spare_x + (_BELOW_LINE + 0.2) * rise
    x = behind if picture.turn == 90 else left + width - (behind - left)
    return Layout(
        turn=picture.turn, field=field, unit=unit, rise=rise, size=min(unit, rise),
        ball=(x, top + spare_y / 2 + reach[first] * unit), outer=outer, wordless=wordless,
    )  # fmt: skip


def _widest(picture: LookPicture, side: Side) -> float:
    """Return how far receivers reach on a side, in linemen, where there is little room."""
    spots = receiver_places(picture, side, sideways=True)
    return max(spots) + 0.4 if spots else 0.0


def receiver_places(picture: LookPicture, side: Side, *, sideways: bool) -> list[float]:
    """Return where the men split wide stand, in linemen from the ball, the outermost first."""
    count = (picture.receivers_left if side == "left" else picture.receivers_right) or 0
    surface = (picture.surface_left if side == "left" else picture.surface_right) or 3
    inner = surface + _RECEIVERS
    widest = inner + 0.8 * (count - 1) if sideways else WIDEST
    step = min(_RECEIVERS, (widest - inner) / max(count - 1, 1))
    return [widest - step * number for number in range(count)]


def _outer(picture: LookPicture) -> dict[Side, int]:
    """Return how many gaps are lettered on each side."""
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
    return outer


def _deepest(picture: LookPicture) -> float:
    """Return how many rows from the line the farthest name stands."""
    return max(
        OPEN_NAME if man.at_yd is None else max(min(man.at_yd[1] * _DEPTH, 6.0), NEAREST_NAME)
        for man in picture.men
    )
