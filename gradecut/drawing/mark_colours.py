"""The safe colours a mark on film can be given, by name.

They are of the set of Okabe and Ito ("Color Universal Design", 2008), which people with any
common colour vision tell apart. Sky blue, bluish green and vermillion stand for owed, right
and did, and orange is too near to did, so none of these is given away: a colour chosen by hand
is never taken for a meaning. What the mark means is told by its shape all the same.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from gradecut.drawing.palette import contrast
from gradecut.drawing.shapes import Colour

__all__ = ["MARK_COLOURS", "edge_of", "words_on"]

MARK_COLOURS: Mapping[str, Colour] = MappingProxyType(
    {
        "yellow": (240, 228, 66, 255),
        "reddish purple": (204, 121, 167, 255),
        "blue": (0, 114, 178, 255),
        "black": (0, 0, 0, 255),
    }
)

_WHITE: Colour = (255, 255, 255, 255)
_BLACK: Colour = (0, 0, 0, 255)
_DARK_EDGE: Colour = (6, 9, 12, 150)
_LIGHT_EDGE: Colour = (255, 255, 255, 190)
_DARK_BELOW = 5.5
"""A line whose contrast to black is less than this is edged with light."""


def edge_of(colour: Colour) -> Colour:
    """Return what a line is edged with, so that it reads on grass and on white paint."""
    opaque = (*colour[:3], 255)
    return _LIGHT_EDGE if contrast(opaque, _BLACK) < _DARK_BELOW else _DARK_EDGE


def words_on(colour: Colour) -> Colour:
    """Return black or white, whichever reads better on a colour."""
    return max(_WHITE, _BLACK, key=lambda ink: contrast(ink, colour))
