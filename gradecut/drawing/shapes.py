"""Display lists: frozen shapes in pixels, origin at the top left corner, y down.

Whole coordinates lie on the edges between pixels, so the centre of the first pixel is
(0.5, 0.5). Sizes are for a device pixel ratio of one; the painter scales them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

__all__ = [
    "Box",
    "Colour",
    "Disc",
    "Fill",
    "Point",
    "Rect",
    "Ring",
    "Shape",
    "Stroke",
    "Words",
]

Point = tuple[float, float]
Rect = tuple[float, float, float, float]
"""Left, top, width and height in pixels."""
Colour = tuple[int, int, int, int]
"""Red, green, blue and opacity, 0 to 255 each; red, green and blue as if opaque."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """A line through points, with round ends.

    Attributes
    ----------
    points : tuple of Point
        Two or more.
    dash : tuple of float
        Lengths in pixels of stroke and gap in turn; empty for an unbroken line.
    closed : bool
        Whether it returns to its first point.
    """

    points: tuple[Point, ...]
    width_px: float
    colour: Colour
    dash: tuple[float, ...] = ()
    closed: bool = False

    @property
    def bounds_px(self) -> Rect:
        """The rectangle that holds it."""
        return _around(self.points, self.width_px / 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Disc:
    """A solid circle."""

    centre: Point
    radius_px: float
    colour: Colour

    @property
    def bounds_px(self) -> Rect:
        """The rectangle that holds it."""
        return _around((self.centre,), self.radius_px)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ring:
    """A hollow ellipse, its radii measured to the middle of its line."""

    centre: Point
    rx_px: float
    ry_px: float
    width_px: float
    colour: Colour
    dash: tuple[float, ...] = ()

    @property
    def bounds_px(self) -> Rect:
        """The rectangle that holds it."""
        (x, y), half = self.centre, self.width_px / 2
        return _around(((x - self.rx_px, y - self.ry_px), (x + self.rx_px, y + self.ry_px)), half)


@dataclass(frozen=True, slots=True, kw_only=True)
class Fill:
    """A filled polygon of three or more points."""

    points: tuple[Point, ...]
    colour: Colour

    @property
    def bounds_px(self) -> Rect:
        """The rectangle that holds it."""
        return _around(self.points, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A filled rectangle with round corners."""

    rect: Rect
    corner_px: float
    colour: Colour

    @property
    def bounds_px(self) -> Rect:
        """The rectangle that holds it."""
        return self.rect


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """One line of text in Inter.

    Attributes
    ----------
    at : Point
        The anchor on the baseline, or at half the height of a capital for ``line="middle"``.
    weight : int
        400 regular, 500 medium, 600 semi-bold.
    halo : Colour or None
        Painted around the letters, so that they read on any ground.
    """

    text: str
    at: Point
    size_px: float
    colour: Colour
    weight: int = 500
    anchor: Literal["left", "centre", "right"] = "left"
    line: Literal["baseline", "middle"] = "baseline"
    halo: Colour | None = None


Shape = Stroke | Disc | Ring | Fill | Box | Words


def _around(points: tuple[Point, ...], reach_px: float) -> Rect:
    """Return the rectangle around points, widened on all sides."""
    xs, ys = [x for x, _ in points], [y for _, y in points]
    left, top = min(xs) - reach_px, min(ys) - reach_px
    return left, top, max(xs) + reach_px - left, max(ys) + reach_px - top
