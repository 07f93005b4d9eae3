import numpy as np
import pytest

from gradecut.samples._lineup import line_up
from gradecut.samples._plays import load_plays
from gradecut.samples._scene import LINEBACKERS, Scene, build_scene

SCENES: dict[int, Scene] = {}


def scene_of(order: int) -> Scene:
    """Return a play's scene, built once."""
    if order not in SCENES:
        SCENES[order] = build_scene(load_plays()[order - 1])
    return SCENES[order]


@pytest.mark.parametrize("play", load_plays(), ids=lambda play: str(play.number))
def test_eleven_play_eleven_and_the_surface_is_as_scripted(play) -> None:  # type: ignore[no-untyped-def]
    """Attached blockers, guard out, stand on each side as the script says."""
    spots = line_up(play)
    sides = [spot.side for spot in spots.values()]
    assert (sides.count("offence"), sides.count("defence"), sides.count("official")) == (11, 11, 1)
    for side, sign in (("left", 1), ("right", -1)):
        attached = [
            name
            for name, spot in spots.items()
            if spot.side == "offence" and spot.at[0] > -2.4 and 1.0 < sign * spot.at[1] < 6.5
        ]
        assert len(attached) == play.surface[side]


@pytest.mark.parametrize("order", [1, 5, 7, 12])
def test_nobody_outruns_a_man(order: int) -> None:
    """Linebackers keep below 10 yards a second, everybody below 11 (reference brief, B4)."""
    paths = scene_of(order).paths
    assert np.linalg.norm(paths.velocities, axis=2).max() < 10


@pytest.mark.parametrize("order", [1, 5, 7, 12])
def test_each_linebacker_steps_after_the_snap_in_his_own_time(order: int) -> None:
    """0.2 to 0.5 s, but for the one late man, whose first step takes more than 0.7 s."""
    scene = scene_of(order)
    steps = {name: scene.first_move_s(name) for name in LINEBACKERS}
    for name, step in steps.items():
        assert step is not None
        if scene.took[name].late:
            assert step > 0.7
        else:
            assert 0.2 <= step <= 0.5
    assert len(set(steps.values())) == 3


def test_a_man_in_motion_moves_before_the_snap_and_then_is_set() -> None:
    """On play 9 the wing changes sides; he is still again before the ball moves."""
    scene = scene_of(9)
    row = scene.row_of("H")
    speed = np.linalg.norm(scene.paths.velocities[:, row], axis=1)
    times = scene.paths.times_s
    assert speed[times < -1].max() > 3
    assert speed[(times > -0.4) & (times < 0)].max() < 0.1


@pytest.mark.parametrize(
    ("order", "position", "inside", "outside"),
    [(1, "Keel", "C", "RG"), (2, "Port", "LG", "LT"), (11, "Keel", "RT", "TE")],
)
def test_a_right_fit_shows_between_the_two_men_of_its_gap(
    order: int, position: str, inside: str, outside: str
) -> None:
    """When he gets there the gap's two blockers stand on either side of him."""
    scene = scene_of(order)
    at = scene.paths.places[np.searchsorted(scene.paths.times_s, 1.8)]
    he, a, b = (at[scene.row_of(name), 1] for name in (position, inside, outside))
    assert min(a, b) < he < max(a, b)
