from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
import pytest

from gradecut.film import open_film
from gradecut.film.decoding.picture import PictureMaker
from gradecut.film.serving.small_copies import enlarge, shrink, small_width
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
    """Enlarged, a copy stands upright, has the film's size and colours and its number."""
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
