from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.film import open_film
from gradecut.film.decoding.picture import PictureMaker
from gradecut.film.serving.small_copies import enlarge, rough_size, shrink, small_width
from tests.film.torture import FILMS, number_on


@pytest.mark.parametrize(
    ("size", "width"),
    [((1920, 1080), 960), ((3840, 2160), 960), ((2160, 3840), 540), ((1280, 720), 640)],
)
def test_a_copy_is_half_the_film_and_at_most_960_px(size: tuple[int, int], width: int) -> None:
    """At most half the film, and at most 960 px on its long side."""
    assert small_width(*size) == width


@pytest.mark.parametrize("name", ["closed", "turned", "upside_down", "mirrored", "ten_bit"])
def test_a_copy_looks_like_the_frame(shelf: dict[str, Path], name: str) -> None:
    """Enlarged, a copy of a small film stands upright, has its size, colours and number."""
    with open_film(shelf[name]) as film:
        packed = shrink(
            PictureMaker(film.index.facts), film.native(21), small_width(film.width, film.height)
        )
        assert packed is not None
        rough = enlarge(packed, film.width, film.height)
        true = film.frame(21)
    assert rough.shape == true.shape
    assert rough.dtype == np.uint8
    assert number_on(rough) == 21 + FILMS[name][1].first_number
    soft = cv2.GaussianBlur(true, (0, 0), 1.5).astype(float)
    assert np.abs(soft - cv2.GaussianBlur(rough, (0, 0), 1.5)).mean() < 4


@given(width=st.integers(1, 8192), height=st.integers(1, 8192))
def test_a_rough_picture_has_the_films_shape_and_at_most_1920_px(width: int, height: int) -> None:
    """As large as the film, or 1920 px on its long side and in the film's proportions."""
    rough = rough_size(width, height)
    if max(width, height) <= 1920:
        assert rough == (width, height)
    else:
        assert max(rough) == 1920
        share = 1920 / max(width, height)
        for had, has in zip((width, height), rough, strict=True):
            assert abs(has - had * share) <= 0.5 or has == 1


@pytest.mark.parametrize(
    ("size", "shape"), [((3840, 2160), (1080, 1920, 3)), ((2160, 3840), (1920, 1080, 3))]
)
def test_4k_comes_rough_in_hd(size: tuple[int, int], shape: tuple[int, int, int]) -> None:
    """A copy of 4K, lying or upright, is enlarged to half its width and height."""
    width = small_width(*size)
    ramp = np.tile(np.linspace(0, 255, width, dtype=np.uint8), (width * size[1] // size[0], 1))
    _, packed = cv2.imencode(".jpg", np.dstack([ramp] * 3))
    rough = enlarge(packed.tobytes(), *size)
    assert rough.shape == shape
    assert rough.dtype == np.uint8
    assert rough.flags.c_contiguous
    across = np.linspace(0, 255, shape[1])
    assert np.abs(rough.mean(axis=(0, 2)) - across).max() < 3, "left is left, right is right"
