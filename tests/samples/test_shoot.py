from fractions import Fraction

import numpy as np

from gradecut.samples._figures import SUN
from gradecut.samples._plays import load_plays
from gradecut.samples._scene import build_scene
from gradecut.samples._shoot import frame_times
from gradecut.samples._tower import man_tower
from gradecut.samples._turf import practice_field


def test_steady_film_has_exact_times() -> None:
    """Picture 60 of the 59.94 clip begins at 60 x 1001/60000 s."""
    times = frame_times(load_plays()[7].filmed("end"))
    assert times[60] == Fraction(60 * 1001, 60000)


def test_the_variable_film_jitters_as_a_phone_does() -> None:
    """About thirty a second, steps of several lengths, and now and then a picture lost."""
    times = frame_times(load_plays()[8].filmed("end"))
    steps = np.diff([float(time) for time in times])
    assert times[0] == 0
    assert steps.min() > 0.02
    assert len(set(steps.round(6))) >= 4
    assert 0.06 < steps.max() < 0.07
    assert 27 < len(times) / float(times[-1]) < 32


def test_the_cameraman_pans_slowly_and_his_hand_shakes() -> None:
    """He turns slower than a head turns, and never stands quite still."""
    play = load_plays()[2]
    tower = man_tower(build_scene(play), play.filmed("end"))
    rate = np.degrees(np.abs(np.diff(tower.view[:, 0]) / np.diff(tower.times_s)))
    assert rate.max() < 15
    before = tower.view[tower.times_s < -0.5, :2]
    assert (before.std(axis=0) * tower.view[0, 3] > 0.3).all()


def test_paint_lies_on_the_lines_and_grass_between() -> None:
    """The field from above is bright on the 40-yard line and green beside it."""
    turf = practice_field()

    def tone(x_yd: float, y_yd: float) -> np.ndarray:
        u, v, _ = turf.to_texture @ (x_yd, y_yd, 1.0)
        part = turf.picture[round(v) - 1 : round(v) + 2, round(u) - 1 : round(u) + 2]
        return part.reshape(-1, 3).mean(axis=0)

    for y_yd in (5.0, 26.7, 48.0):
        assert tone(50.0, y_yd).min() > 150
        red, green, blue = tone(52.5, y_yd)
        assert green > red > blue
    assert tone(52.0, 20.0 - 0.3).min() > 150  # a hash of the NCAA row


def test_the_sun_stands_behind_the_tower() -> None:
    """Backs of the offence are lit in the end view; shadows fall downfield."""
    assert SUN[0] < 0 < SUN[2]
