"""Small pictures of a whole film: upright, at even times, and quick to find."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from gradecut.errors import Cancelled, FilmError
from gradecut.film import open_film, sample_pictures
from gradecut.progress import CancelToken
from tests.film.torture import Making, make_film


@pytest.fixture(scope="module")
def film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a film of four seconds, a key every 12 frames, with B-frames."""
    making = Making(count=120, options={"g": "12", "bf": "2"})
    return make_film(tmp_path_factory.mktemp("film") / "long.mp4", making)


@pytest.mark.parametrize("every", [Fraction(1, 5), Fraction(1, 2), Fraction(1)])
def test_pictures_come_at_even_times(film: Path, every: Fraction) -> None:
    """Each is the first one at or after its time, or a key close by."""
    with open_film(film) as opened:
        times = [
            (pts - opened.pts_of(0)) * opened.time_base
            for pts, _ in sample_pictures(film, every_s=every, width_px=48)
        ]
    assert times[0] == 0
    gaps = [later - earlier for earlier, later in pairwise(times)]
    assert all(every * Fraction(1, 2) <= gap <= every + Fraction(2, 5) for gap in gaps)
    assert abs(len(times) - 4 / every) <= 1


def test_pictures_are_those_of_the_film(film: Path) -> None:
    """Every one looks like the frame whose timestamp it bears."""
    with open_film(film) as opened:
        for pts, small in sample_pictures(film, every_s=Fraction(1, 3), width_px=96):
            frame = opened.frame(opened.frame_at_pts(pts))
            grey = frame.mean(axis=2)[1::2, 1::2]
            assert np.corrcoef(grey.ravel(), small.astype(float).ravel())[0, 1] > 0.9


def test_a_stretch_can_be_asked_for(film: Path) -> None:
    """Only what lies in it comes, both ends in it."""
    asked = sample_pictures(
        film, every_s=Fraction(1, 5), width_px=48, start_s=Fraction(2), stop_s=Fraction(3)
    )
    with open_film(film) as opened:
        times = [float((pts - opened.pts_of(0)) * opened.time_base) for pts, _ in asked]
    assert 2.0 <= times[0] < 2.1
    assert 2.7 < times[-1] <= 3.0


def test_a_turned_film_gives_upright_pictures(tmp_path: Path) -> None:
    """A phone held upright shows tall pictures here too."""
    matrix = (0, 1 << 16, 0, -(1 << 16), 0, 0, 0, 0, 1 << 30)
    turned = make_film(tmp_path / "turned.mp4", Making(count=12, matrix=matrix))
    with open_film(turned) as opened:
        tall = opened.height > opened.width
        first = opened.frame(0).mean(axis=2)
    _, small = next(sample_pictures(turned, every_s=Fraction(1), width_px=54))
    assert tall
    assert small.shape == (96, 54)
    shrunk = first.reshape(96, 2, 54, 2).mean(axis=(1, 3))
    assert np.corrcoef(shrunk.ravel(), small.astype(float).ravel())[0, 1] > 0.9


def test_asking_to_stop_stops(film: Path) -> None:
    """At the next picture."""
    cancel = CancelToken()
    pictures = sample_pictures(film, every_s=Fraction(1, 5), width_px=48, cancel=cancel)
    next(pictures)
    cancel.cancel()
    with pytest.raises(Cancelled):
        next(pictures)


def test_what_is_no_film_is_refused(tmp_path: Path) -> None:
    """With the sentence open_film has for it."""
    path = tmp_path / "notes.mp4"
    path.write_text("Tuesday, team run")
    with pytest.raises(FilmError, match="text file"):
        next(sample_pictures(path, every_s=Fraction(1), width_px=48))


def test_pictures_without_a_step_or_a_width_are_refused(film: Path) -> None:
    """They would never end."""
    with pytest.raises(ValueError, match="apart"):
        next(sample_pictures(film, every_s=Fraction(0), width_px=48))
