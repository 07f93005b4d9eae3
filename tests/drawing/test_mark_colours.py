"""Colours for marks are safe, are no meaning's, and leave what is meant to the shape."""

from __future__ import annotations

import numpy as np
import pytest
from colorspacious import deltaE
from numpy.typing import NDArray

from gradecut.drawing import MARK_COLOURS, ON_FILM, Colour, contrast, mark_shapes, paint
from gradecut.drawing.mark_colours import edge_of, words_on
from gradecut.records.marks import Mark, MarkKind, Meaning
from gradecut.timebase import Pts
from tests.drawing.test_film_marks import POINTS, SIZE
from tests.drawing.test_palette import COLOUR_VISION, TOLD_APART, as_seen

OKABE_ITO = {
    # Okabe and Ito, "Color Universal Design (CUD)" (2008), the table of eight colours.
    "black": (0, 0, 0),
    "orange": (230, 159, 0),
    "sky blue": (86, 180, 233),
    "bluish green": (0, 158, 115),
    "yellow": (240, 228, 66),
    "blue": (0, 114, 178),
    "vermillion": (213, 94, 0),
    "reddish purple": (204, 121, 167),
}
GROUNDS: dict[str, Colour] = {
    # What film is made of: grass in sun and shade, paint, a dark and a white jersey.
    "grass": (52, 110, 48, 255),
    "dry grass": (120, 130, 70, 255),
    "shade": (22, 44, 24, 255),
    "paint": (238, 240, 236, 255),
    "dark jersey": (16, 34, 62, 255),
    "white jersey": (214, 214, 218, 255),
}
MEANINGS: tuple[Meaning, ...] = ("owed", "did", "plain")
WITH_MEANING = [kind for kind in POINTS if kind != "text"]


def painted(kind: MarkKind, meaning: Meaning, colour: str, text: str = "") -> NDArray[np.uint8]:
    """Paint a mark on grass."""
    mark = Mark(
        angle_id="end", kind=kind, points=POINTS[kind], from_pts=Pts(0), to_pts=Pts(0),
        meaning=meaning, colour=colour, text=text,
    )  # fmt: skip
    film = np.empty((SIZE[1], SIZE[0], 3), np.uint8)
    film[:] = GROUNDS["grass"][:3]
    paint(film, mark_shapes(mark, size_px=SIZE))
    return film


@pytest.mark.parametrize("name", MARK_COLOURS)
def test_every_colour_is_of_the_published_set(name: str) -> None:
    """By its name it is the very colour of the set."""
    assert MARK_COLOURS[name][:3] == OKABE_ITO[name]


@pytest.mark.parametrize("vision", COLOUR_VISION)
@pytest.mark.parametrize("name", MARK_COLOURS)
def test_no_colour_is_taken_for_a_meaning(name: str, vision: str) -> None:
    """It differs clearly from owed, did, right and plain, and from the others, for everybody."""
    others = {"owed": ON_FILM.owed, "did": ON_FILM.did, "right": ON_FILM.right}
    others |= {"plain": ON_FILM.line} | {k: v for k, v in MARK_COLOURS.items() if k != name}
    own = as_seen(MARK_COLOURS[name], vision)
    apart = {
        other: float(deltaE(own, as_seen(hue, vision), input_space="sRGB1"))
        for other, hue in others.items()
    }
    assert min(apart.values()) >= TOLD_APART, apart


@pytest.mark.parametrize("ground", GROUNDS)
@pytest.mark.parametrize("name", ["", *MARK_COLOURS])
def test_line_or_edge_is_seen_on_whatever_film_shows(name: str, ground: str) -> None:
    """Either the line or what it is edged with keeps 3 to 1 (WCAG 2.2, 1.4.11)."""
    line = MARK_COLOURS.get(name, ON_FILM.line)
    edge = edge_of(line)
    share = edge[3] / 255
    below = GROUNDS[ground]
    red, green, blue = (
        round(share * one + (1 - share) * other)
        for one, other in zip(edge[:3], below[:3], strict=True)
    )
    seen = (red, green, blue, 255)
    assert max(contrast(line, below), contrast(seen, below), contrast(line, seen)) >= 3


@pytest.mark.parametrize("name", MARK_COLOURS)
def test_words_on_a_colour_can_be_read(name: str) -> None:
    """They keep 4.5 to 1 on the plate of that colour (WCAG 2.2, 1.4.3)."""
    assert contrast(words_on(MARK_COLOURS[name]), MARK_COLOURS[name]) >= 4.5


@pytest.mark.parametrize("name", ["", *MARK_COLOURS])
@pytest.mark.parametrize("kind", WITH_MEANING)
def test_shape_alone_tells_what_is_meant(kind: MarkKind, name: str) -> None:
    """In one colour, owed, did and plain are three different drawings."""
    seen = [painted(kind, meaning, name or "yellow").astype(int) for meaning in MEANINGS]
    for one, other in ((0, 1), (0, 2), (1, 2)):
        differing = np.abs(seen[one] - seen[other]).max(axis=2) > 40
        assert np.count_nonzero(differing) > 40


@pytest.mark.parametrize("name", MARK_COLOURS)
def test_words_alone_carry_a_sign_of_what_is_meant(name: str) -> None:
    """A ring before what is owed, a disc before what was done, nothing before plain words."""
    seen = [painted("text", meaning, name, "edge").astype(int) for meaning in MEANINGS]
    assert np.abs(seen[0] - seen[1]).max() > 90
    assert np.abs(seen[0] - seen[2]).max() > 90


def test_a_coloured_mark_is_in_its_colour_and_not_in_that_of_what_it_means() -> None:
    """What he did drawn in purple has no orange in it; without a colour it has."""
    hues = {
        name: {shape.colour[:3] for shape in mark_shapes(
            Mark(angle_id="end", kind="ring", points=((50, 50),), from_pts=Pts(0), to_pts=Pts(0),
                 meaning="did", colour=name), size_px=SIZE)}
        for name in ("", "reddish purple")
    }  # fmt: skip
    assert ON_FILM.did[:3] in hues[""]
    assert ON_FILM.did[:3] not in hues["reddish purple"]
    assert MARK_COLOURS["reddish purple"][:3] in hues["reddish purple"]
