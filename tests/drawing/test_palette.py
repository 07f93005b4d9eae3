from __future__ import annotations

import colorsys
from dataclasses import fields
from itertools import combinations

import pytest
from colorspacious import cspace_convert, deltaE

from gradecut.drawing import DARK, LIGHT, ON_FILM, Colour, Palette, contrast

WHITE: Colour = (255, 255, 255, 255)
PALETTES = {"dark": DARK, "light": LIGHT, "film": ON_FILM}

WCAG_EXAMPLES = [
    # Contrast on white by WCAG 2.2 "contrast ratio": #767676 is the lightest grey that
    # passes 4.5, #777777 fails.
    ((118, 118, 118, 255), 4.542),
    ((119, 119, 119, 255), 4.478),
    # Okabe and Ito, "Color Universal Design" (jfly); ratios computed by the same formula
    # with another program.
    ((0, 0, 0, 255), 21.0),
    ((0, 114, 178, 255), 5.185),
    ((213, 94, 0, 255), 3.867),
    ((0, 158, 115, 255), 3.421),
    ((86, 180, 233, 255), 2.307),
    ((230, 159, 0, 255), 2.252),
]

OKABE_ITO_HUES = {
    # Hues of the same colour set, in degrees: what each meaning is built on.
    "owed": [(86, 180, 233), (0, 114, 178)],
    "did": [(230, 159, 0), (213, 94, 0)],
    "right": [(0, 158, 115)],
}


COLOUR_VISION = ("usual", "protanomaly", "deuteranomaly", "tritanomaly")
"""The three common deficiencies, each whole: red, green or blue cones missing."""
TOLD_APART = 10.0
"""A difference of one or two can just be seen side by side (common practice, no source)."""


def as_seen(colour: Colour, vision: str) -> list[float]:
    """Return a colour as it looks: Machado, Oliveira and Fernandes 2009, by colorspacious."""
    whole = [channel / 255 for channel in colour[:3]]
    if vision == "usual":
        return whole
    seen = {"name": "sRGB1+CVD", "cvd_type": vision, "severity": 100}
    return list(cspace_convert(whole, seen, "sRGB1").clip(0, 1))


def hue_deg(colour: tuple[int, ...]) -> float:
    """Return the hue of a colour in degrees."""
    red, green, blue = (channel / 255 for channel in colour[:3])
    return 360 * colorsys.rgb_to_hsv(red, green, blue)[0]


@pytest.mark.parametrize(("colour", "ratio"), WCAG_EXAMPLES)
def test_contrast_is_that_of_wcag(colour: Colour, ratio: float) -> None:
    """Contrast agrees with published and independently computed ratios."""
    assert contrast(colour, WHITE) == pytest.approx(ratio, abs=0.001)
    assert contrast(WHITE, colour) == contrast(colour, WHITE)


@pytest.mark.parametrize("name", PALETTES)
def test_every_text_colour_can_be_read(name: str) -> None:
    """Text keeps 4.5 to 1 on its ground (WCAG 2.2, 1.4.3)."""
    palette = PALETTES[name]
    texts = [f.name for f in fields(Palette) if f.name.endswith("_text")] + ["ink", "quiet"]
    ratios = {text: contrast(getattr(palette, text), palette.ground) for text in texts}
    assert min(ratios.values()) >= 4.5, ratios


@pytest.mark.parametrize("name", ["dark", "light"])
def test_every_mark_can_be_seen(name: str) -> None:
    """Rings, discs and lines keep 3 to 1 on their ground (WCAG 2.2, 1.4.11)."""
    palette = PALETTES[name]
    marks = ("line", "faint", "owed", "did", "right", "accent")
    ratios = {mark: contrast(getattr(palette, mark), palette.ground) for mark in marks}
    assert min(ratios.values()) >= 3.0, ratios


def test_plates_on_film_can_be_read_over_white_paint() -> None:
    """Words on a plate keep 4.5 to 1 even where the film below is white."""
    share = 0.82
    red, green, blue = (round(c * share + 255 * (1 - share)) for c in ON_FILM.ground[:3])
    for text in (ON_FILM.ink, ON_FILM.owed_text, ON_FILM.did_text):
        assert contrast(text, (red, green, blue, 255)) >= 4.5


@pytest.mark.parametrize("name", PALETTES)
@pytest.mark.parametrize("meaning", OKABE_ITO_HUES)
def test_meanings_keep_their_hue(name: str, meaning: str) -> None:
    """Owed, did and right stay within 8 degrees of a hue that colour-blind people tell apart."""
    own = hue_deg(getattr(PALETTES[name], meaning))
    assert min(abs(own - hue_deg(hue)) for hue in OKABE_ITO_HUES[meaning]) <= 8


@pytest.mark.parametrize("vision", COLOUR_VISION)
@pytest.mark.parametrize("name", PALETTES)
def test_meanings_are_told_apart_by_everybody(name: str, vision: str) -> None:
    """Owed, did, right, the accent and plain lines differ clearly, colour-blind or not.

    Differences in CAM02-UCS (Luo, Cui and Li 2006), by colorspacious.
    """
    palette = PALETTES[name]
    hues = {
        meaning: as_seen(getattr(palette, meaning), vision)
        for meaning in ("owed", "did", "right", "accent", "line")
    }
    apart = {
        (one, other): float(deltaE(hues[one], hues[other], input_space="sRGB1"))
        for one, other in combinations(hues, 2)
    }
    assert min(apart.values()) >= TOLD_APART, apart
