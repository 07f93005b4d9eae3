"""The camera's motion is found, and men on the field do not pull it along."""

from __future__ import annotations

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from gradecut.motion import follow_camera
from gradecut.motion.camera_motion import grey_of
from tests.motion.drawn_film import SIZE_PX, film, leaving, pan, texture

SPOTS = np.array([(60.0, 40.0), (250.0, 40.0), (160.0, 90.0), (60.0, 150.0), (250.0, 150.0)])


def carried(matrix: NDArray[np.float64], points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Carry points through a map."""
    return cv2.perspectiveTransform(points.reshape(-1, 1, 2), matrix).reshape(-1, 2)


def test_a_still_camera_is_still() -> None:
    """On a tripod every frame lies where the first lies, to a tenth of a pixel."""
    motion = follow_camera(film(8))
    for matrix in motion.to_first:
        assert np.abs(carried(matrix, SPOTS) - SPOTS).max() < 0.1
    assert motion.placed.all()


def test_a_pan_with_zoom_is_undone() -> None:
    """A panning, closing-in camera is undone to a third of a pixel, across new keyframes."""
    camera = pan(-4.0, zoom=0.004)
    motion = follow_camera(film(30, camera=camera))
    for number, matrix in enumerate(motion.to_first):
        seen = carried(camera(number), SPOTS)
        inside = ((seen > 5) & (seen < np.array(SIZE_PX) - 5)).all(axis=1)
        assert np.abs(carried(matrix, seen) - SPOTS)[inside].max() < 0.34


def test_men_who_run_do_not_pull_the_camera() -> None:
    """Ten men running one way leave a still camera still."""
    men = [leaving(20.0 + 28 * n, 60.0 + 9 * n, 0, speed=(2.0, 0.0)) for n in range(10)]
    motion = follow_camera(film(15, men))
    assert np.abs(carried(motion.to_first[-1], SPOTS) - SPOTS).max() < 0.3


def test_a_blank_frame_is_told_and_bridged() -> None:
    """A frame that shows nothing is not placed; the next good one is placed again."""
    frames = list(film(6, camera=pan(1.0)))
    frames[3] = np.zeros_like(frames[3])
    motion = follow_camera(frames)
    assert motion.placed.tolist() == [True, True, True, False, True, True]
    assert motion.inliers[3] == 0
    assert np.abs(carried(motion.to_first[5], SPOTS + np.array((5.0, 0.0))) - SPOTS).max() < 0.3


def test_large_film_is_measured_in_its_own_pixels() -> None:
    """Work at half size still answers in pixels of the film, without a shift."""
    first = texture(3, (960, 540), 4.0)
    shift = np.array([[1, 0, 12.0], [0, 1, -6.0], [0, 0, 1]])
    second = np.asarray(cv2.warpPerspective(first, shift, (960, 540)), dtype=np.uint8)
    motion = follow_camera([first, second])
    there = carried(motion.to_first[1], np.array([(400.0, 200.0), (12.0, 530.0)]))
    assert there == pytest.approx(np.array([(388.0, 206.0), (0.0, 536.0)]), abs=0.3)
    assert grey_of(first)[1] == 0.5


def test_film_that_changes_size_is_refused() -> None:
    """Frames of two sizes are refused with a sentence that says what to do."""
    with pytest.raises(ValueError, match="one size; cut the film there"):
        follow_camera([texture(1, (320, 180), 2.0), texture(1, (300, 180), 2.0)])


def test_no_frame_and_no_picture_are_refused() -> None:
    """Nothing, or an array that is no picture, is refused."""
    with pytest.raises(ValueError, match="at least one"):
        follow_camera([])
    with pytest.raises(ValueError, match="RGB bytes"):
        follow_camera([np.zeros((180, 320, 4), np.uint8)])
