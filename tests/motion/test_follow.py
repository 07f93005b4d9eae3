"""A man is followed while he can be told, and the track ends where he can't."""

from __future__ import annotations

import numpy as np
import pytest

from gradecut.errors import Cancelled
from gradecut.motion import follow
from gradecut.progress import CancelToken
from tests.motion.drawn_film import MAN_PX, film, frame_times, leaving, pan, standing

HIGH = float(MAN_PX[1])


def test_a_runner_is_followed() -> None:
    """A man who stands and then runs is followed to within two pixels."""
    path = leaving(80.0, 100.0, 8, speed=(2.5, 0.7))
    track = follow(film(36, [path]), 0, (80.0, 100.0), height_px=HIGH)
    true = np.array([path(number) for number in range(36)])
    assert track.frames == tuple(range(36))
    assert np.linalg.norm(track.points_px - true, axis=1).max() < 2.0
    assert not track.lost


def test_the_camera_is_taken_out() -> None:
    """With a panning camera both places are right: in each picture, and over the first."""
    path, camera = leaving(150.0, 100.0, 5, speed=(-2.0, 0.5)), pan(1.5)
    track = follow(film(30, [path], camera=camera), 0, (150.0, 100.0), height_px=HIGH)
    true = np.array([path(number) for number in range(30)])
    seen = true + np.column_stack([1.5 * np.arange(30), np.zeros(30)])
    assert np.linalg.norm(track.points_px - seen, axis=1).max() < 2.0
    assert np.linalg.norm(track.steady_px - true, axis=1).max() < 2.0


def test_a_man_who_stands_stays_where_he_is() -> None:
    """A standing man does not drift, and is trusted."""
    track = follow(film(20, [standing(120.0, 90.0)]), 0, (120.0, 90.0), height_px=HIGH)
    assert np.abs(track.points_px - (120.0, 90.0)).max() < 0.5
    assert track.confidence.min() > 0.8


def test_he_is_less_trusted_far_from_the_click() -> None:
    """Trust falls as he runs away from the click, and the track says why."""
    path = leaving(60.0, 100.0, 0, speed=(3.0, 0.0))
    track = follow(film(30, [path]), 0, (60.0, 100.0), height_px=HIGH)
    assert track.confidence[-1] < track.confidence[2] - 0.2
    assert any("click his feet again" in reason for reason in track.reasons)


def test_a_man_who_leaves_the_picture_ends_the_track() -> None:
    """The track ends at the edge of the picture, and says so."""
    path = leaving(250.0, 100.0, 0, speed=(4.0, 0.0))
    track = follow(film(40, [path]), 0, (250.0, 100.0), height_px=HIGH)
    assert track.lost
    assert 8 <= len(track.frames) < 20
    assert "He leaves the picture." in track.reasons


def test_a_man_who_vanishes_is_lost_not_invented() -> None:
    """When he is hidden for good the track ends there instead of following the grass."""

    def place(number: int) -> tuple[float, float]:
        return (120.0 + 2 * number, 90.0) if number < 15 else (-500.0, -500.0)

    track = follow(film(40, [place]), 0, (120.0, 90.0), height_px=HIGH)
    assert track.lost
    assert len(track.frames) <= 18
    assert any("can't be told" in reason for reason in track.reasons)


def test_numbers_and_times_are_those_of_the_film() -> None:
    """A piece of film handed over keeps its own frame numbers and times."""
    times = frame_times(60)[40:]
    track = follow(
        film(20, [standing(120.0, 90.0)]), 45, (120.0, 90.0), first=40, times=times, height_px=HIGH
    )
    assert track.frames == tuple(range(45, 60))
    assert track.times_s == tuple(frame_times(60)[45:])


@pytest.mark.parametrize(
    ("start", "point", "more", "said"),
    [
        (9, (120.0, 90.0), {}, "frame 9|Frame 9"),
        (0, (120.0, 90.0), {"first": 3}, "Frame 0"),
        (0, (900.0, 90.0), {}, "outside the picture"),
        (0, (1.0, 2.0, 3.0), {}, "one point"),
        (0, (120.0, 90.0), {"height_px": 2.0}, "true height"),
        (0, (120.0, 90.0), {"times": frame_times(2)}, "only 2 times"),
    ],
)
def test_wrong_use_is_refused(
    start: int, point: tuple[float, ...], more: dict[str, object], said: str
) -> None:
    """A click that is not in the film is refused with a sentence."""
    options = {"height_px": HIGH, **more}
    with pytest.raises(ValueError, match=said):
        follow(film(5, [standing(120.0, 90.0)]), start, point, **options)  # type: ignore[arg-type]


def test_it_can_be_stopped() -> None:
    """A cancel stops the work at once."""
    token = CancelToken()
    token.cancel()
    with pytest.raises(Cancelled):
        follow(film(5, [standing(120.0, 90.0)]), 0, (120.0, 90.0), height_px=HIGH, cancel=token)
