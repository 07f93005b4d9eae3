"""The pinhole; values in tests/data/field_checks.json (constructed from x = K [R | t] X)."""

import json
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.errors import CalibrationError
from gradecut.field import Camera, apply_homography, ground_to_picture

CHECKS = {
    check["id"]: check
    for check in json.loads(
        (Path(__file__).parents[1] / "data" / "field_checks.json").read_text(encoding="utf-8")
    )
}


def camera_of(name: str) -> Camera:
    """Return the camera of a check."""
    given_ = CHECKS[name]["inputs"]
    return Camera.looking_at(
        tuple(given_["camera_xyz_yd"]),
        tuple(given_["look_at"]),
        focal_px=given_["f_px"],
        size_px=(1920, 1080),
    )


@pytest.mark.parametrize("name", ["E.cam.pressbox", "E.cam.endzone"])
def test_hash_corners_show_where_the_worked_example_says(name: str) -> None:
    """Four corners of the field land on the pixels of the example."""
    check = CHECKS[name]
    points = [(*point, 0.0) for point in check["inputs"]["field_points"]]
    seen = camera_of(name).project(points)
    assert seen == pytest.approx(np.array(check["expected"]), abs=check["tolerance"])


@pytest.mark.parametrize("name", ["E.cam.pressbox", "E.cam.endzone"])
def test_pixels_lead_back_to_the_field(name: str) -> None:
    """Through the four pixels of the example two other places come back."""
    check, back = CHECKS[name], CHECKS[f"{name}.back"]
    camera = camera_of(name)
    assert camera.to_ground(check["expected"]) == pytest.approx(
        np.array(check["inputs"]["field_points"]), abs=1e-4
    )
    places = np.column_stack([back["expected"], np.zeros(2)])
    assert camera.to_ground(camera.project(places)) == pytest.approx(
        np.array(back["expected"]), abs=back["tolerance"]
    )


@given(st.floats(-0.5, 0.5), st.floats(-0.6, -0.15), st.floats(-0.1, 0.1), st.floats(800, 3000))
def test_the_ground_map_agrees_with_the_camera(
    pan: float, tilt: float, roll: float, focal: float
) -> None:
    """The homography of the grass and the camera show a point at one pixel."""
    camera = Camera(
        place_yd=(20.0, 26.0, 10.0),
        pan_rad=pan,
        tilt_rad=tilt,
        roll_rad=roll,
        focal_px=focal,
        size_px=(1280, 720),
    )
    places = np.array([(50.0, 20.0), (60.0, 33.0), (45.0, 26.0)])
    seen = camera.project(np.column_stack([places, np.zeros(3)]))
    assert apply_homography(ground_to_picture(camera), places) == pytest.approx(seen, rel=1e-6)
    assert camera.to_ground(seen) == pytest.approx(places, rel=1e-6)


def test_what_lies_behind_the_lens_has_no_pixel() -> None:
    """A missing place is NaN, never a mirrored one."""
    seen = camera_of("E.cam.endzone").project([(-30.0, 26.0, 0.0), (40.0, 26.0, 0.0)])
    assert np.isnan(seen[0]).all()
    assert np.isfinite(seen[1]).all()


def test_the_sky_does_not_lie_on_the_grass() -> None:
    """A pixel above the horizon has no place on the field."""
    assert np.isnan(camera_of("E.cam.endzone").to_ground([(960, 0), (960, 540)])[0]).all()


def test_left_of_the_offence_shows_on_the_left() -> None:
    """Facing along +x, the larger y shows at the smaller u, and higher things at smaller v."""
    camera = camera_of("E.cam.endzone")
    left, right, high = camera.project([(40, 30, 0), (40, 20, 0), (40, 20, 2)])
    assert left[0] < right[0]
    assert high[1] < right[1]


def test_a_camera_over_its_target_is_refused() -> None:
    """Straight down there is no up in the picture."""
    with pytest.raises(CalibrationError, match="straight above"):
        Camera.looking_at((5, 5, 9), (5, 5, 0), focal_px=900, size_px=(640, 360))
