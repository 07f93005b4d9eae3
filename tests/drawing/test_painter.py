from __future__ import annotations

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from gradecut.drawing import Box, Disc, Fill, Ring, Shape, Stroke, Words, lay_over, paint

WHITE = (255, 255, 255, 255)
SKY = (86, 180, 233, 255)

SHAPES: dict[str, Shape] = {
    "stroke": Stroke(points=((12, 30), (40, 22.5), (52, 44)), width_px=2.5, colour=SKY),
    "dashes": Stroke(points=((8, 50), (60, 50)), width_px=2, colour=SKY, dash=(6, 4)),
    "disc": Disc(centre=(30.3, 31.7), radius_px=9, colour=SKY),
    "ring": Ring(centre=(32, 32), rx_px=20, ry_px=9, width_px=3, colour=SKY),
    "fill": Fill(points=((10, 10), (50, 16), (30, 52)), colour=(86, 180, 233, 120)),
    "box": Box(rect=(12, 14, 40, 20), corner_px=6, colour=SKY),
    "words": Words(
        text="Keel 52", at=(32, 32), size_px=13, colour=WHITE, anchor="centre", line="middle",
        halo=(10, 12, 15, 200),
    ),
}  # fmt: skip


def black(width: int = 64, height: int = 64, channels: int = 3) -> NDArray[np.uint8]:
    """Return a black, or wholly transparent, picture."""
    return np.zeros((height, width, channels), np.uint8)


def coverage(picture: NDArray[np.uint8]) -> float:
    """Return how many pixels' worth of white there is."""
    return float(picture[..., 0].sum()) / 255


@pytest.mark.parametrize("scale", [1.0, 1.25, 1.5, 2.0, 3.0])
def test_a_disc_has_its_area_and_place_at_every_scale(scale: float) -> None:
    """Device pixel ratios change the size of a disc, not its place or share of the picture."""
    side = round(64 * scale)
    picture = black(side, side)
    paint(picture, [Disc(centre=(30.25, 33.5), radius_px=10, colour=WHITE)], scale=scale)
    assert coverage(picture) == pytest.approx(pi * (10 * scale) ** 2, rel=0.05)
    ys, xs = np.mgrid[0:side, 0:side] + 0.5
    weight = picture[..., 0].astype(float)
    assert (xs * weight).sum() / weight.sum() == pytest.approx(30.25 * scale, abs=0.15)
    assert (ys * weight).sum() / weight.sum() == pytest.approx(33.5 * scale, abs=0.15)


@pytest.mark.parametrize("width_px", [1.0, 1.5, 2.0, 3.25])
def test_lines_may_be_a_fraction_of_a_pixel_wide(width_px: float) -> None:
    """A line covers its length times its width, to a fifth of a pixel."""
    picture = black(120, 20)
    paint(picture, [Stroke(points=((-50, 10), (170, 10)), width_px=width_px, colour=WHITE)])
    assert coverage(picture) / 120 == pytest.approx(width_px, abs=0.2)


@pytest.mark.parametrize("name", SHAPES)
@settings(deadline=None)
@given(dx=st.integers(-90, 90), dy=st.integers(-90, 90))
def test_moving_the_picture_moves_the_paint(name: str, dx: int, dy: int) -> None:
    """A shape cut off by the edge looks like its part of the whole, wherever the edge is."""
    whole = black(264, 264)
    paint(whole, [moved(SHAPES[name], 100, 100)])
    part = black()
    paint(part, [moved(SHAPES[name], dx, dy)])
    wanted = whole[100 - dy : 164 - dy, 100 - dx : 164 - dx]
    assert np.abs(wanted.astype(int) - part).max() <= 24


def moved(shape: Shape, dx: float, dy: float) -> Shape:
    """Return a shape moved."""
    match shape:
        case Stroke():
            points = tuple((x + dx, y + dy) for x, y in shape.points)
            return Stroke(
                points=points, width_px=shape.width_px, colour=shape.colour, dash=shape.dash
            )
        case Fill():
            return Fill(
                points=tuple((x + dx, y + dy) for x, y in shape.points), colour=shape.colour
            )
        case Disc():
            return Disc(
                centre=(shape.centre[0] + dx, shape.centre[1] + dy), radius_px=shape.radius_px,
                colour=shape.colour,
            )  # fmt: skip
        case Ring():
            return Ring(
                centre=(shape.centre[0] + dx, shape.centre[1] + dy), rx_px=shape.rx_px,
                ry_px=shape.ry_px, width_px=shape.width_px, colour=shape.colour,
            )  # fmt: skip
        case Box():
            left, top, width, height = shape.rect
            return Box(
                rect=(left + dx, top + dy, width, height), corner_px=shape.corner_px,
                colour=shape.colour,
            )  # fmt: skip
        case Words():
            return Words(
                text=shape.text, at=(shape.at[0] + dx, shape.at[1] + dy), size_px=shape.size_px,
                colour=shape.colour, anchor=shape.anchor, line=shape.line, halo=shape.halo,
            )  # fmt: skip


@pytest.mark.parametrize("name", SHAPES)
def test_an_overlay_laid_on_looks_like_painting_at_once(name: str) -> None:
    """Reels may paint marks once and lay them on frame after frame."""
    rng = np.random.default_rng(7)
    film = rng.integers(0, 256, (64, 64, 3), np.uint8)
    at_once = film.copy()
    paint(at_once, [SHAPES[name]])
    overlay = black(channels=4)
    paint(overlay, [SHAPES[name]])
    lay_over(film, overlay)
    assert np.abs(film.astype(int) - at_once).max() <= 3


@pytest.mark.parametrize("name", SHAPES)
def test_painting_again_gives_the_same_picture(name: str) -> None:
    """What is kept between paintings changes nothing, also at another scale between."""
    first, between, again = black(), black(128, 128), black()
    paint(first, [SHAPES[name]])
    paint(between, [SHAPES[name]], scale=2)
    paint(again, [SHAPES[name]])
    assert first.any()
    assert np.array_equal(first, again)


def test_translucent_paint_lets_the_film_through() -> None:
    """A fill of half opacity lies halfway between its colour and the film."""
    picture = np.full((40, 40, 3), 200, np.uint8)
    corners = ((5, 5), (35, 5), (35, 35), (5, 35))
    paint(picture, [Fill(points=corners, colour=(0, 100, 255, 128))])
    assert picture[20, 20].tolist() == pytest.approx([100, 150, 228], abs=1)
    assert picture[2, 2].tolist() == [200, 200, 200]


def test_a_ring_is_hollow_and_a_disc_solid() -> None:
    """Owed and did are told apart by shape in the very pixels."""
    ring, disc = black(), black()
    paint(ring, [Ring(centre=(32, 32), rx_px=12, ry_px=12, width_px=3, colour=WHITE)])
    paint(disc, [Disc(centre=(32, 32), radius_px=12, colour=WHITE)])
    assert ring[32, 32, 0] == 0
    assert ring[32, 44, 0] > 200
    assert disc[32, 32, 0] == 255


@pytest.mark.parametrize(
    ("anchor", "left", "right"), [("left", 100, 170), ("centre", 60, 140), ("right", 30, 100)]
)
def test_words_stand_at_their_anchor(anchor: str, left: int, right: int) -> None:
    """Text begins, is centred, or ends at its anchor, and stands on its baseline."""
    picture = black(200, 60)
    words = Words(text="HHHHHH", at=(100, 40), size_px=15, colour=WHITE, anchor=anchor)  # type: ignore[arg-type]
    paint(picture, [words])
    columns = np.flatnonzero(picture[..., 0].max(axis=0) > 60)
    rows = np.flatnonzero(picture[..., 0].max(axis=1) > 60)
    assert left - 1 <= columns.min()
    assert columns.max() <= right + 1
    assert abs(int(rows.max()) - 39) <= 1
    if anchor == "centre":
        assert (columns.min() + columns.max()) / 2 == pytest.approx(99.5, abs=1.5)


@pytest.mark.parametrize("shape", [(10, 10), (10, 10, 2)])
def test_another_kind_of_picture_is_refused(shape: tuple[int, ...]) -> None:
    """Painting on something that is no RGB or RGBA picture says so."""
    with pytest.raises(ValueError, match="picture to paint on"):
        paint(np.zeros(shape, np.uint8), [])
