import numpy as np
import pytest

from gradecut.samples._poses import POSE_NAMES, pose_table
from gradecut.samples._skeleton import JOINTS, Stride, joints_of

AT = {name: place for place, name in enumerate(JOINTS)}


def stride(count: int, *, speed: float = 0.0, phase: float = 0.0) -> Stride:
    """Return men side by side who run along +x."""
    moving = np.full(count, float(speed > 0))
    return Stride(
        place_yd=np.column_stack([np.zeros(count), np.arange(count, dtype=np.float64)]),
        facing_rad=np.zeros(count),
        velocity_yds=np.column_stack([np.full(count, speed), np.zeros(count)]),
        phase=np.full(count, phase),
        moving=moving,
        running=moving,
        sway_yd=np.zeros((count, 3)),
        size=np.ones(count),
    )


def test_bones_keep_their_length_in_every_pose() -> None:
    """Nobody's thigh stretches, whatever he does."""
    joints = joints_of(pose_table(), stride(len(POSE_NAMES)))
    for first, second, long in (("hip", "knee", 0.5), ("knee", "ankle", 0.49)):
        for side in ("l", "r"):
            bone = joints[:, AT[f"{first}_{side}"]] - joints[:, AT[f"{second}_{side}"]]
            assert np.linalg.norm(bone, axis=1) == pytest.approx(np.full(len(joints), long))


def test_men_who_stand_have_both_feet_on_the_grass_beside_their_place() -> None:
    """The truth's place is the middle between the feet."""
    standing = [name for name in POSE_NAMES if name != "down"]
    table = pose_table()[[POSE_NAMES.index(name) for name in standing]]
    joints = joints_of(table, stride(len(standing)))
    ankles = joints[:, [AT["ankle_l"], AT["ankle_r"]]]
    assert ankles[..., 2].max() < 0.2
    middle = ankles.mean(axis=1)[:, :2]
    assert np.abs(middle - stride(len(standing)).place_yd).max() < 0.1


def test_left_is_left() -> None:
    """A man who faces along +x has his left hand at the larger y."""
    joints = joints_of(pose_table(), stride(len(POSE_NAMES)))
    aside = joints[:, AT["shoulder_l"], 1] - joints[:, AT["shoulder_r"], 1]
    assert aside.min() > 0.3


def test_a_runner_has_one_foot_down_and_one_swinging() -> None:
    """Half a turn later it is the other foot."""
    run = pose_table()[[POSE_NAMES.index("run")]]
    early = joints_of(run, stride(1, speed=5.0, phase=0.25))[0]
    late = joints_of(run, stride(1, speed=5.0, phase=0.75))[0]
    assert early[AT["ankle_l"], 2] < early[AT["ankle_r"], 2] - 0.1
    assert late[AT["ankle_r"], 2] < late[AT["ankle_l"], 2] - 0.1
