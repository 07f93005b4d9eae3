"""What the rule books say of the field, level by level; every number can be overridden.

Coordinates, here and everywhere in gradecut: x counts yards from one end line (0 to 120, goal
lines at 10 and 110), y counts yards from the inside edge of one sideline (0 to 53 1/3), z is
height. Facing along +x, a larger y lies to the left.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from gradecut.errors import CalibrationError

__all__ = ["LEVELS", "Level", "level_named"]

_FEET_PER_YARD = 3
_INCHES_PER_YARD = 36


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """The dimensions of one level of play.

    Attributes
    ----------
    name : str
        NFHS, NCAA or NFL, or a staff's own.
    length_ft, width_ft : Fraction
        Between the inside edges of the boundary lines, end zones included.
    end_zone_yd : Fraction
        From goal line to end line.
    hash_from_sideline_ft : Fraction
        From the nearer sideline to the hash marks.
    upright_gap_ft, crossbar_top_ft : Fraction
        Inside to inside of the uprights; top of the crossbar above the ground.
    number_top_yd : Fraction
        From the sideline to the edge of the painted numbers that is nearer the middle.
    number_height_yd, number_width_yd : Fraction
        Across the field and along it, of one numeral.
    line_width_yd, goal_line_width_yd, border_width_yd, hash_length_yd : Fraction
        Painted widths (of the boundary at least so much), and the length of a hash mark.
    ball_length_in : tuple of Fraction
        Shortest and longest ball, in inches; the neutral zone is as long as the ball.
    source : str
        Where the numbers were read.
    """

    name: str
    hash_from_sideline_ft: Fraction
    upright_gap_ft: Fraction
    number_top_yd: Fraction
    source: str
    length_ft: Fraction = Fraction(360)
    width_ft: Fraction = Fraction(160)
    end_zone_yd: Fraction = Fraction(10)
    crossbar_top_ft: Fraction = Fraction(10)
    number_height_yd: Fraction = Fraction(2)
    number_width_yd: Fraction = Fraction(4, 3)
    line_width_yd: Fraction = Fraction(4, 36)
    goal_line_width_yd: Fraction = Fraction(8, 36)
    border_width_yd: Fraction = Fraction(4, 36)
    hash_length_yd: Fraction = Fraction(24, 36)
    ball_length_in: tuple[Fraction, Fraction] = (Fraction(87, 8), Fraction(183, 16))

    @property
    def length_yd(self) -> float:
        """Return the length in yards, end zones included."""
        return float(self.length_ft / _FEET_PER_YARD)

    @property
    def width_yd(self) -> float:
        """Return the width in yards."""
        return float(self.width_ft / _FEET_PER_YARD)

    @property
    def hash_y_yd(self) -> tuple[float, float]:
        """Return y of the two rows of hash marks, the nearer to y = 0 first."""
        near = self.hash_from_sideline_ft / _FEET_PER_YARD
        return float(near), float(self.width_ft / _FEET_PER_YARD - near)

    @property
    def upright_y_yd(self) -> tuple[float, float]:
        """Return y of the inside faces of the uprights."""
        middle, half = self.width_ft / 2, self.upright_gap_ft / 2
        return float((middle - half) / _FEET_PER_YARD), float((middle + half) / _FEET_PER_YARD)

    @property
    def ball_length_yd(self) -> tuple[float, float]:
        """Return the shortest and longest ball in yards."""
        short, long = self.ball_length_in
        return float(short / _INCHES_PER_YARD), float(long / _INCHES_PER_YARD)

    @property
    def goal_x_yd(self) -> tuple[float, float]:
        """Return x of the two goal lines."""
        return float(self.end_zone_yd), float(self.length_ft / _FEET_PER_YARD - self.end_zone_yd)

    def with_changes(self, **changes: Fraction | tuple[Fraction, Fraction] | str) -> Level:
        """Return a level of the same book with some numbers of a staff's own field.

        Raises
        ------
        CalibrationError
            On a name that is no dimension.
        """
        unknown = sorted(set(changes) - set(type(self).__dataclass_fields__))
        if unknown:
            raise CalibrationError(
                f"The field has no dimension called {unknown[0]!r}; "
                f"known are {', '.join(sorted(type(self).__dataclass_fields__))}."
            )
        return replace(self, **changes)  # type: ignore[arg-type]  # names were checked above


LEVELS: dict[str, Level] = {
    "NFHS": Level(
        name="NFHS",
        hash_from_sideline_ft=Fraction(160, 3),
        upright_gap_ft=Fraction(70, 3),
        number_top_yd=Fraction(9),
        source="NFHS Football Rules Book, Rule 1-1-2 and field diagram (hash 53 ft 4 in, uprights "
        "23 ft 4 in: secondary sources agree); numbers at 9 yd, their size and the ball "
        "from memory",
    ),
    "NCAA": Level(
        name="NCAA",
        hash_from_sideline_ft=Fraction(60),
        upright_gap_ft=Fraction(37, 2),
        number_top_yd=Fraction(9),
        source="NCAA Football Rules and Interpretations, Rule 1-2-1 (a, b, i, k), 1-2-2, 1-2-5 "
        "and 2-12-7 (text of 2016-17)",
    ),
    "NFL": Level(
        name="NFL",
        hash_from_sideline_ft=Fraction(283, 4),
        upright_gap_ft=Fraction(37, 2),
        number_top_yd=Fraction(14),
        border_width_yd=Fraction(2),
        ball_length_in=(Fraction(11), Fraction(45, 4)),
        source="Official Playing Rules of the NFL, Rule 1 section 1 (hash 70 ft 9 in, number "
        "bottoms at 12 yd and 2 yd long: copies of the text agree); goal line from memory",
    ),
}


def level_named(name: str) -> Level:
    """Return the level of a name, in any case.

    Raises
    ------
    CalibrationError
        On a name that is none of NFHS, NCAA, NFL.
    """
    level = LEVELS.get(name.strip().upper())
    if level is None:
        raise CalibrationError(
            f"No level of play is called {name!r}; use one of {', '.join(LEVELS)}."
        )
    return level
