"""Colours by meaning, for dark and light grounds and for film.

Owed, did and right are Okabe and Ito's sky blue or blue, vermillion and bluish green
("Color Universal Design"), which people with any common colour vision tell apart; shape
says the same again: owed is hollow, did is solid. Text keeps a contrast of 4.5 to its
ground and other marks 3 (WCAG 2.2, 1.4.3 and 1.4.11), so on a light ground text is a
darker shade of its hue.
"""

from __future__ import annotations

from dataclasses import dataclass

from gradecut.drawing.shapes import Colour

__all__ = ["DARK", "LIGHT", "ON_FILM", "Palette", "contrast", "see_through"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Palette:
    """Colours by what they mean.

    Attributes
    ----------
    ground : Colour
        What everything lies on; of film, the plate behind words.
    ink, quiet : Colour
        Text: what is read first, and what stands back.
    line, faint : Colour
        Figures of the offence and lines; what is only hinted at.
    owed, did, right, accent : Colour
        Rings, discs and strokes.
    owed_text, did_text, right_text, accent_text : Colour
        The same in words.
    """

    ground: Colour
    ink: Colour
    quiet: Colour
    line: Colour
    faint: Colour
    owed: Colour
    did: Colour
    right: Colour
    accent: Colour
    owed_text: Colour
    did_text: Colour
    right_text: Colour
    accent_text: Colour


DARK = Palette(
    ground=(20, 24, 30, 255),
    ink=(236, 240, 245, 255),
    quiet=(154, 163, 175, 255),
    line=(205, 212, 221, 255),
    faint=(102, 111, 124, 255),
    owed=(86, 180, 233, 255),
    did=(228, 102, 20, 255),
    right=(0, 158, 115, 255),
    accent=(244, 212, 96, 255),
    owed_text=(124, 198, 240, 255),
    did_text=(246, 150, 90, 255),
    right_text=(98, 208, 172, 255),
    accent_text=(244, 212, 96, 255),
)

LIGHT = Palette(
    ground=(252, 252, 250, 255),
    ink=(24, 28, 34, 255),
    quiet=(92, 100, 112, 255),
    line=(62, 70, 82, 255),
    faint=(138, 145, 155, 255),
    owed=(0, 114, 178, 255),
    did=(213, 94, 0, 255),
    right=(0, 158, 115, 255),
    accent=(120, 86, 0, 255),
    owed_text=(0, 98, 156, 255),
    did_text=(168, 72, 0, 255),
    right_text=(0, 112, 82, 255),
    accent_text=(110, 78, 0, 255),
)

ON_FILM = Palette(
    ground=(14, 18, 23, 255),
    ink=(255, 255, 255, 255),
    quiet=(190, 197, 206, 255),
    line=(255, 255, 255, 255),
    faint=(200, 206, 214, 255),
    owed=(86, 180, 233, 255),
    did=(228, 102, 20, 255),
    right=(0, 158, 115, 255),
    accent=(244, 212, 96, 255),
    owed_text=(150, 212, 246, 255),
    did_text=(250, 186, 124, 255),
    right_text=(122, 220, 186, 255),
    accent_text=(244, 196, 98, 255),
)


def see_through(colour: Colour, opacity: float) -> Colour:
    """Return a colour at a share (0 to 1) of its opacity."""
    red, green, blue, alpha = colour
    return red, green, blue, round(alpha * opacity)


def contrast(one: Colour, other: Colour) -> float:
    """Return the contrast ratio of two opaque colours, 1 to 21.

    (L1 + 0.05) / (L2 + 0.05) of the relative luminances, lighter first: WCAG 2.2,
    "contrast ratio" and "relative luminance".

    >>> round(contrast((0, 0, 0, 255), (255, 255, 255, 255)))
    21
    """
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: Colour) -> float:
    red, green, blue = (_linear(channel / 255) for channel in colour[:3])
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(channel: float) -> float:
    """Undo the sRGB curve; the threshold is that of WCAG 2.2."""
    return channel / 12.92 if channel <= 0.04045 else float(((channel + 0.055) / 1.055) ** 2.4)
