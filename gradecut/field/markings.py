"""Everything painted on the grass, as rectangles and numerals in yards."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gradecut.field.levels import LEVELS, Level

__all__ = ["Numeral", "Stripe", "landmarks_of", "numerals_of", "stripes_of"]

_INCH_YD = 1 / 36
_YARD_LINE_STOPS_YD = 4 * _INCH_YD
_INBOUND_MARK_YD = 24 * _INCH_YD


@dataclass(frozen=True, slots=True, kw_only=True)
class Stripe:
    """One painted rectangle.

    Attributes
    ----------
    kind : str
        "border", "goal", "yard line", "hash" or "short mark".
    x0_yd, y0_yd, x1_yd, y1_yd : float
        Its corners, lower first.
    """

    kind: str
    x0_yd: float
    y0_yd: float
    x1_yd: float
    y1_yd: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Numeral:
    """One painted digit, standing upright as seen from its own sideline.

    Attributes
    ----------
    digit : str
        "0" to "5".
    bottom_left_yd, bottom_right_yd, top_left_yd : tuple of float
        Corners of its box as a reader at the sideline sees them.
    """

    digit: str
    bottom_left_yd: tuple[float, float]
    bottom_right_yd: tuple[float, float]
    top_left_yd: tuple[float, float]


def stripes_of(level: Level = LEVELS["NCAA"]) -> tuple[Stripe, ...]:
    """Return every painted line of a level, boundary first.

    The boundary is painted outside the field; a goal line lies wholly in its end zone; yard
    lines every 5 yards stop 4 inches from the sideline; marks at every yard stand at the hashes
    and the sidelines (NCAA Rule 1-2-1; marks at every yard from secondary sources).
    """
    return (*_boundary(level), *_goal_lines(level), *_yard_lines(level), *_marks(level))


def _boundary(level: Level) -> list[Stripe]:
    """Return the two sidelines and the two end lines."""
    length, width, wide = level.length_yd, level.width_yd, float(level.border_width_yd)
    boxes = (
        (-wide, -wide, length + wide, 0.0),
        (-wide, width, length + wide, width + wide),
        (-wide, 0.0, 0.0, width),
        (length, 0.0, length + wide, width),
    )
    return [_stripe("border", *box) for box in boxes]


def _goal_lines(level: Level) -> list[Stripe]:
    """Return the goal lines, each wholly inside its end zone."""
    near, far = level.goal_x_yd
    wide = float(level.goal_line_width_yd)
    return [
        _stripe("goal", near - wide, 0.0, near, level.width_yd),
        _stripe("goal", far, 0.0, far + wide, level.width_yd),
    ]


def _yard_lines(level: Level) -> list[Stripe]:
    """Return the lines at every fifth yard between the goals."""
    near, far = level.goal_x_yd
    half, stop = float(level.line_width_yd) / 2, _YARD_LINE_STOPS_YD
    return [
        _stripe("yard line", x - half, stop, x + half, level.width_yd - stop)
        for x in np.arange(near + 5, far - 1e-9, 5)
    ]


def _marks(level: Level) -> list[Stripe]:
    """Return hashes and short marks: at the single yards, and hashes across the yard lines."""
    near, far = level.goal_x_yd
    half = float(level.line_width_yd) / 2
    long, short = float(level.hash_length_yd), _INBOUND_MARK_YD
    low, high = level.hash_y_yd
    rows = (
        ("hash", low - long, low),
        ("hash", high, high + long),
        ("short mark", _YARD_LINE_STOPS_YD, _YARD_LINE_STOPS_YD + short),
        (
            "short mark",
            level.width_yd - _YARD_LINE_STOPS_YD - short,
            level.width_yd - _YARD_LINE_STOPS_YD,
        ),
    )
    singles = [x for x in np.arange(near + 1, far) if (x - near) % 5]
    marks = [_stripe(kind, x - half, y0, x + half, y1) for x in singles for kind, y0, y1 in rows]
    # Where a yard line meets the hashes, a short cross stroke along the field marks the place.
    marks += [
        _stripe("hash", x - long / 2, y - half, x + long / 2, y + half)
        for x in np.arange(near + 5, far - 1e-9, 5)
        for y in (low, high)
    ]
    return marks


def _stripe(kind: str, x0: float, y0: float, x1: float, y1: float) -> Stripe:
    """Return a stripe with plain floats."""
    return Stripe(kind=kind, x0_yd=float(x0), y0_yd=float(y0), x1_yd=float(x1), y1_yd=float(y1))


def numerals_of(level: Level = LEVELS["NCAA"]) -> tuple[Numeral, ...]:
    """Return the painted digits of the tens, along both sidelines."""
    near, _ = level.goal_x_yd
    gap = 0.25  # the yard line runs between the two digits
    tall, wide = float(level.number_height_yd), float(level.number_width_yd)
    top = float(level.number_top_yd)
    numerals: list[Numeral] = []
    for tens in range(1, 10):
        x = near + 10 * tens
        text = f"{10 * min(tens, 10 - tens)}"
        for side in (1, -1):
            # Standing at the sideline y = 0 one looks along +y, so +x lies to the right.
            base = top - tall if side > 0 else level.width_yd - top + tall
            for place, digit in enumerate(text):
                left = (gap if place else -gap - wide) * side + x
                right = left + wide * side
                numerals.append(
                    Numeral(
                        digit=digit,
                        bottom_left_yd=(left, base),
                        bottom_right_yd=(right, base),
                        top_left_yd=(left, base + tall * side),
                    )
                )
    return tuple(numerals)


def landmarks_of(level: Level = LEVELS["NCAA"]) -> NDArray[np.float64]:
    """Return the points a coach clicks: every fifth yard at both hashes and both sidelines.

    Returns
    -------
    ndarray, shape (N, 2), float64
        Field yards; the middle of the painted yard line at the hash row or the sideline.
    """
    near, far = level.goal_x_yd
    xs = np.arange(near, far + 1e-9, 5)
    ys = (0.0, *level.hash_y_yd, level.width_yd)
    return np.array([(x, y) for x in xs for y in ys], dtype=np.float64)
