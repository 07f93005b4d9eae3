"""The shipped clips: what is in them, and that this code draws them."""

import json
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from gradecut.errors import Cancelled
from gradecut.field import Camera
from gradecut.film import open_film
from gradecut.progress import CancelToken
from gradecut.samples import clips_folder, draw_samples
from gradecut.samples._plays import load_plays
from gradecut.samples._shoot import Shoot
from gradecut.samples.drawing import clip_names

NAMES = clip_names()
IDS = [f"{angle}{order:02d}" for angle, order in NAMES]


def clip_path(angle: str, order: int) -> Path:
    """Return a shipped clip."""
    return clips_folder() / angle / f"{order:02d}.mp4"


def truth(angle: str, order: int) -> dict:  # type: ignore[type-arg]
    """Return the truth beside a clip."""
    path = clip_path(angle, order).with_suffix(".truth.json")
    return json.loads(path.read_text(encoding="utf-8"))  # type: ignore[no-any-return]


@pytest.mark.parametrize(("angle", "order"), NAMES, ids=IDS)
def test_a_clip_opens_with_the_rate_and_length_its_truth_tells(angle: str, order: int) -> None:
    """1280 by 720, the stated rate (none for the variable one), every picture there."""
    told = truth(angle, order)
    with open_film(clip_path(angle, order)) as film:
        assert (film.width, film.height) == (1280, 720)
        assert film.frame_count == told["frames"]
        assert film.rate == (None if told["rate"] is None else Fraction(told["rate"]))
        snap = film.time_of(told["snap_frame"])
        before = film.time_of(told["snap_frame"] - 1)
    assert before < told["snap_time_s"] <= snap + Fraction(1, 1000)


@pytest.mark.parametrize(("angle", "order"), NAMES, ids=IDS)
def test_feet_that_the_truth_puts_in_the_picture_are_in_it(angle: str, order: int) -> None:
    """The twenty-two and the ball show at the snap through the truth's own camera."""
    told = truth(angle, order)
    lens = told["camera"]
    frame = told["snap_frame"]
    camera = Camera(
        place_yd=tuple(lens["place_yd"]),
        pan_rad=lens["pan_urad"][frame] / 1e6,
        tilt_rad=lens["tilt_urad"][frame] / 1e6,
        roll_rad=lens["roll_urad"][frame] / 1e6,
        focal_px=lens["focal_mpx"][frame] / 1e3,
        size_px=tuple(lens["size_px"]),
    )
    row = round(told["snap_time_s"] / told["grid_s"])
    feet = np.array([(man["x_yd"][row], man["y_yd"][row], 0.0) for man in told["men"]])
    seen = camera.project(feet)
    inside = ((seen > 0) & (seen < lens["size_px"])).all(axis=1)
    graded = [man["man"] in {"Keel", "Bow", "Port"} for man in told["men"]]
    assert inside[graded].all()
    assert inside.sum() >= 17
    assert all(len(lens[part]) == told["frames"] for part in ("pan_urad", "focal_mpx"))


@pytest.mark.parametrize(("angle", "order"), NAMES, ids=IDS)
def test_the_truth_says_who_stepped_when(angle: str, order: int) -> None:
    """Two seconds stand before the snap, three after; every first step follows the snap."""
    told = truth(angle, order)
    assert told["snap_time_s"] > 2
    assert len(told["men"]) == 23
    for man in told["men"]:
        assert man["first_step_s"] is None or man["first_step_s"] > told["snap_time_s"]
    for fit in told["fits"]:
        assert fit["first_step_s"] - told["snap_time_s"] == pytest.approx(
            fit["reaction_s"], abs=2e-4
        )


def test_both_angles_of_a_play_tell_the_same_story() -> None:
    """Side and end views differ in camera and clock, not in what anybody did."""
    for order in (1, 5, 6, 11):
        end, side = truth("end", order), truth("side", order)
        for one, other in zip(end["fits"], side["fits"], strict=True):
            one.pop("first_step_s")
            other.pop("first_step_s")
            assert one == other


def test_one_man_is_out_of_the_picture_when_his_fit_comes() -> None:
    """On the last play the camera follows the back, and Bow can't be graded for it."""
    told = truth("end", 12)
    lens, row = told["camera"], round((told["snap_time_s"] + 1.9) / told["grid_s"])
    with open_film(clip_path("end", 12)) as film:
        frame = next(
            number
            for number in range(film.frame_count)
            if film.time_of(number) >= told["snap_time_s"] + 1.9
        )
    camera = Camera(
        place_yd=tuple(lens["place_yd"]),
        pan_rad=lens["pan_urad"][frame] / 1e6,
        tilt_rad=lens["tilt_urad"][frame] / 1e6,
        focal_px=lens["focal_mpx"][frame] / 1e3,
        size_px=tuple(lens["size_px"]),
    )
    bow = next(man for man in told["men"] if man["man"] == "Bow")
    assert camera.project([(bow["x_yd"][row], bow["y_yd"][row], 1.0)])[0, 0] > 1280


def test_three_pictures_drawn_twice_are_equal() -> None:
    """Generation is deterministic: order of drawing and a fresh start change nothing."""
    play = load_plays()[6]
    first, second = Shoot(play, "end"), Shoot(play, "end")
    early = [first.frame(number) for number in (5, 90, 140)]
    late = [second.frame(number) for number in (140, 90, 5)][::-1]
    for one, other in zip(early, late, strict=True):
        assert np.array_equal(one, other)


@pytest.mark.parametrize(("angle", "order"), [("end", 4), ("side", 6)])
def test_the_shipped_clips_come_from_this_code(angle: str, order: int) -> None:
    """A picture drawn anew differs from the shipped one by compression only."""
    shoot = Shoot(load_plays()[order - 1], angle)
    number = len(shoot.times_s) // 2
    with open_film(clip_path(angle, order)) as film:
        shipped = film.frame(number).astype(np.float64)
    assert np.abs(shipped - shoot.frame(number)).mean() < 6


def test_drawing_stops_when_asked_and_leaves_nothing_half_done(tmp_path: Path) -> None:
    """A cancelled drawing leaves no film."""
    cancel = CancelToken()
    cancel.cancel()
    with pytest.raises(Cancelled):
        draw_samples(tmp_path, cancel=cancel, clips=[("end", 7)])
    assert not list(tmp_path.rglob("*.mp4"))
