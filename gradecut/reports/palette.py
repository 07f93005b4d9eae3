"""The few colours of sheets and pages, and the contrast they hold."""

from __future__ import annotations

__all__ = ["ALERT", "BLUE", "HAIR", "INK", "PAPER", "QUIET", "TINT", "contrast"]

INK = "#1B1F24"
QUIET = "#56606B"
HAIR = "#C9D0D6"
PAPER = "#FFFFFF"
TINT = "#F4F6F8"
BLUE = "#0072B2"
ALERT = "#D55E00"
"""Blue and vermillion of Okabe and Ito's palette (Color Universal Design); vermillion is for
lines and marks only, text is ink, quiet or blue."""


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio of two colours, from 1 to 21 (WCAG 2.2, relative luminance).

    Examples
    --------
    >>> contrast("#000000", "#FFFFFF")
    21.0
    """
    dark, light = sorted((_luminance(one), _luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def _luminance(colour: str) -> float:
    """Return the relative luminance of "#RRGGBB"."""
    channels = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in channels
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
