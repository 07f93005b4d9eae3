"""What a reel says between and below its plays: title cards and captions."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from gradecut.drawing.lettering import CAPITAL, wrap_text
from gradecut.drawing.painter import paint
from gradecut.drawing.palette import DARK, ON_FILM, Palette, see_through
from gradecut.drawing.shapes import Box, Shape, Words

__all__ = ["caption_shapes", "title_card"]

_MOST_CAPTION_LINES = 3


def caption_shapes(text: str, size_px: tuple[int, int]) -> tuple[Shape, ...]:
    """Set a caption on a band along the bottom of a picture.

    Parameters
    ----------
    text : str
        Broken into at most three lines; empty for no band.
    size_px : (width, height)
        Of the picture.
    """
    width, height = size_px
    size = max(height / 26, 9.0)
    inset = width * 0.045
    lines = wrap_text(text, size, width - 2 * inset, weight=500, most=_MOST_CAPTION_LINES)
    if not lines:
        return ()
    leading = size * 1.4
    room = size * 0.85
    band = 2 * room + size * CAPITAL + leading * (len(lines) - 1)
    top = height - band
    shapes: list[Shape] = [
        Box(rect=(0, top, width, band), corner_px=0, colour=see_through(ON_FILM.ground, 0.86))
    ]
    for number, line in enumerate(lines):
        y = top + room + size * CAPITAL + leading * number
        shapes.append(Words(text=line, at=(inset, y), size_px=size, colour=ON_FILM.ink))
    return tuple(shapes)


def title_card(
    title: str, lines: Sequence[str], size_px: tuple[int, int], palette: Palette = DARK
) -> NDArray[np.uint8]:
    """Set a title card: a title, a short rule, and what is to be seen.

    Parameters
    ----------
    title : str
        Broken into at most two lines.
    lines : sequence of str
        Smaller, below; empty ones are left out.
    size_px : (width, height)
        Of the card.
    palette : Palette
        Ground and inks.

    Returns
    -------
    (H, W, 3) uint8
        RGB.
    """
    width, height = size_px
    card = np.empty((height, width, 3), np.uint8)
    card[:] = palette.ground[:3]
    paint(card, _title_shapes(title, lines, size_px, palette))
    return card


def _title_shapes(
    title: str, lines: Sequence[str], size_px: tuple[int, int], palette: Palette
) -> list[Shape]:
    width, height = size_px
    large, small = height / 12.5, height / 27
    left, room = width * 0.115, width * 0.77
    head = wrap_text(title, large, room, weight=600, most=2)
    told = [
        part for line in lines if line for part in wrap_text(line, small, room, weight=400, most=2)
    ]
    leads = [large * 1.22] * len(head) + [small * 1.55] * len(told)
    gap = height / 14 if told else 0.0
    y = (height - sum(leads) - gap) / 2
    shapes: list[Shape] = []
    for line in head:
        y += large * 1.22
        shapes.append(
            Words(
                text=line, at=(left, y - large * 0.3), size_px=large, colour=palette.ink, weight=600
            )
        )
    if told:
        rule = (left, y + gap * 0.32, height * 0.075, max(height / 240, 1.0))
        shapes.append(Box(rect=rule, corner_px=rule[3] / 2, colour=palette.accent))
        y += gap
    for line in told:
        y += small * 1.55
        shapes.append(
            Words(
                text=line, at=(left, y - small * 0.3), size_px=small, colour=palette.quiet,
                weight=400,
            )
        )  # fmt: skip
    return shapes
