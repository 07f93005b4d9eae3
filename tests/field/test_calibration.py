import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gradecut.errors import CalibrationError
from gradecut.field import Calibration, Camera, calibrate
from gradecut.records.estimate import Miss

SIZE = (1280, 720)
SIX = np.array([(65, 20), (65, 100 / 3), (75, 20), (75, 100 / 3), (85, 20), (95, 100 / 3)])
BOX = np.array([(70 + depth, 26.7 + left) for depth in (-3, 0, 4) for left in (-6, 0, 6)])


def tower(pan: float = 0.0) -> Camera:
    """Return the camera of an end view."""
    return Camera(
        place_yd=(42.0, 26.0, 10.0),
        pan_rad=pan,
        tilt_rad=-0.3,
        roll_rad=0.01,
        focal_px=1400,
        size_px=SIZE,
    )


def seen_by(camera: Camera, places: np.ndarray) -> np.ndarray:
    """Return pixels of places on the grass."""
    return camera.project(np.column_stack([places, np.zeros(len(places))]))


def test_exact_clicks_give_back_the_field() -> None:
    """Without clicking errors the box comes back to a twentieth of a yard.

    Not exactly: what is usual of towers counts as a weak observation beside the clicks.
    """
    camera = tower()
    found = calibrate(seen_by(camera, SIX), SIX, size_px=SIZE)
    assert isinstance(found, Calibration)
    assert found
    assert found.to_field(seen_by(camera, BOX)) == pytest.approx(BOX, abs=0.05)
    assert found.to_picture(BOX) == pytest.approx(seen_by(camera, BOX), abs=0.7)
    assert found.rms_px < 0.3


def test_six_clicks_with_two_pixels_of_noise_hold_the_box_to_a_fifth_of_a_yard() -> None:
    """Median over many clickings (acceptance floor of this project, not a published value)."""
    rng = np.random.default_rng(11)
    camera = tower(0.05)
    errors = []
    for _ in range(12):
        clicks = seen_by(camera, SIX) + rng.normal(0, 2, SIX.shape)
        found = calibrate(clicks, SIX, size_px=SIZE)
        assert isinstance(found, Calibration)
        errors.append(np.linalg.norm(found.to_field(seen_by(camera, BOX)) - BOX, axis=1).mean())
    assert np.median(errors) < 0.2


@settings(max_examples=8, deadline=None)
@given(st.floats(-0.15, 0.15), st.sampled_from([0, 1]))
def test_a_camera_found_is_the_same_whatever_the_order_of_clicks(pan: float, turn: int) -> None:
    """Clicking the far landmarks first changes nothing."""
    camera = tower(pan)
    clicks = seen_by(camera, SIX)
    order = np.roll(np.arange(6), 2 + turn)
    first = calibrate(clicks, SIX, size_px=SIZE)
    second = calibrate(clicks[order], SIX[order], size_px=SIZE)
    assert isinstance(first, Calibration)
    assert isinstance(second, Calibration)
    assert second.to_field(clicks) == pytest.approx(first.to_field(clicks), abs=0.01)


def test_the_side_view_is_found_too() -> None:
    """A tower beyond the sideline needs no other treatment."""
    camera = Camera.looking_at((60, -17, 10), (62, 27, 0), focal_px=1900, size_px=SIZE)
    marks = np.array([(55, 20), (65, 20), (55, 100 / 3), (65, 100 / 3), (60, 160 / 3)])
    found = calibrate(seen_by(camera, marks), marks, size_px=SIZE)
    assert isinstance(found, Calibration)
    assert found.camera.place_yd[1] < 0
    assert found.to_field(seen_by(camera, marks)) == pytest.approx(marks, abs=0.1)


@pytest.mark.parametrize(
    ("marks", "said"),
    [
        (SIX[:3], "too few"),
        (np.repeat(SIX[:2], 3, axis=0), "too few"),
        (np.array([(x, 20.0) for x in (65, 70, 75, 80, 85, 90)]), "one line"),
    ],
)
def test_clicks_that_settle_nothing_are_a_miss_with_its_reason(
    marks: np.ndarray, said: str
) -> None:
    """Too few, or all along one line: false, and a sentence that says what to do."""
    missed = calibrate(seen_by(tower(), marks), marks, size_px=SIZE)
    assert isinstance(missed, Miss)
    assert not missed
    assert said in missed.reason


def test_a_click_named_for_the_wrong_line_is_refused_and_told() -> None:
    """Five yards off is more than a hand's error: no camera fits."""
    wrong = SIX.copy()
    wrong[1] += (10, 0)
    missed = calibrate(seen_by(tower(), SIX), wrong, size_px=SIZE)
    assert isinstance(missed, Miss)
    assert "right line" in missed.reason


def test_a_pixel_spans_more_in_depth_than_across() -> None:
    """From a low tower depth is the worse direction, and worse far off."""
    found = calibrate(seen_by(tower(), SIX), SIX, size_px=SIZE)
    assert isinstance(found, Calibration)
    near, far = found.pixel_yd(seen_by(tower(), np.array([(65.0, 26.0), (100.0, 26.0)])))
    assert near[1] > 2 * near[0]
    assert far[1] > near[1]


def test_lists_of_different_length_are_an_error() -> None:
    """That is a mistake of the caller, not of the clicking."""
    with pytest.raises(CalibrationError, match="5 clicks"):
        calibrate(SIX[:5], SIX, size_px=SIZE)
    with pytest.raises(CalibrationError, match="finite"):
        calibrate([[0, 1, 2]] * 6, SIX, size_px=SIZE)
