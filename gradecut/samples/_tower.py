"""The man on the tower: where he stands, how he follows the play, how his hands shake."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gradecut.field.camera import Camera
from gradecut.samples._moves import STEP_S
from gradecut.samples._plays import Filming
from gradecut.samples._scene import Scene

__all__ = ["SIZE_PX", "Tower", "man_tower"]

Array = NDArray[np.float64]
SIZE_PX = (1280, 720)
_FOOLED = 12  # the cameraman follows the back; the quarterback has kept the ball


@dataclass(frozen=True, slots=True, kw_only=True)
class Tower:
    """A camera over time.

    Attributes
    ----------
    place_yd : tuple of float
    times_s : ndarray, shape (T,)
        From the snap.
    view : ndarray, shape (T, 4)
        Pan, tilt, roll (radians) and focal length (pixels).
    """

    place_yd: tuple[float, float, float]
    times_s: Array
    view: Array

    def camera_at(self, time_s: float) -> Camera:
        """Return the camera at a time from the snap."""
        pan, tilt, roll, focal = (
            float(np.interp(time_s, self.times_s, self.view[:, part])) for part in range(4)
        )
        return Camera(
            place_yd=self.place_yd,
            pan_rad=pan,
            tilt_rad=tilt,
            roll_rad=roll,
            focal_px=focal,
            size_px=SIZE_PX,
        )


def man_tower(scene: Scene, filming: Filming) -> Tower:
    """Return the camera of one side, following the ball with a human delay."""
    rng = np.random.default_rng(filming.seed)
    ball = np.array(scene.play.ball_yd)
    low = scene.play.order == 7
    if filming.angle == "end":
        place = (
            float(ball[0] - 27.5 + rng.uniform(-1.5, 1.5)),
            float(ball[1] * 0.8 + 26.67 * 0.2 + rng.uniform(-1.2, 1.2)),
            8.2 if low else float(rng.uniform(9.6, 11.2)),
        )
        focal, lift = 48.5 * (27.5 + 2), 2.9
    else:
        place = (float(ball[0] + rng.uniform(-2.0, 4.0)), -17.0, float(rng.uniform(9.5, 11.0)))
        focal, lift = 47.0 * (ball[1] + 17.0), 2.6
    aim = _followed(scene) + ball
    if scene.play.order == _FOOLED:
        aim = aim + np.array([0.0, 1.1])
    pan, tilt = _towards(place, aim, lift, filming.angle)
    view = np.column_stack([pan, tilt, np.zeros_like(pan), np.full_like(pan, focal)])
    if scene.play.order == _FOOLED:
        view[:, 3] *= 1.26
    view[:, 3] *= 1 + 0.05 * np.clip((scene.paths.times_s - 0.8) / 2.2, 0, 1)
    view[:, :3] += _shake(rng, scene.paths.times_s)
    return Tower(place_yd=place, times_s=scene.paths.times_s, view=view)


def _followed(scene: Scene) -> Array:
    """Return the place the cameraman aims at: the ball, late and smoothly."""
    paths = scene.paths
    back = paths.places[:, scene.row_of("RB")]
    fooled = 3.2 if scene.play.order == _FOOLED else 0.9
    share = np.clip((paths.times_s - 0.35) / 0.9, 0, 1)[:, None]
    wish = np.where(paths.times_s[:, None] < 0, 0.0, back * share * [0.8, fooled])
    wish = np.maximum(wish, [-1.0, -30.0])
    aim, speed = np.empty_like(wish), np.zeros(2)
    state = wish[0].copy()
    for step, wanted in enumerate(wish):
        # A damped spring: he catches up without jerking.
        speed = speed + ((wanted - state) * 7.0 - speed * 4.6) * STEP_S
        state = state + speed * STEP_S
        aim[step] = state
    return aim


def _towards(
    place: tuple[float, float, float], aim: Array, lift: float, angle: str
) -> tuple[Array, Array]:
    """Return pan and tilt that put the aim in the picture, a little off its middle."""
    ahead = aim + ([lift, 0.0] if angle == "end" else [0.8, lift])
    dx, dy = ahead[:, 0] - place[0], ahead[:, 1] - place[1]
    return np.arctan2(dy, dx), np.arctan2(-place[2], np.hypot(dx, dy))


def _shake(rng: np.random.Generator, times: Array) -> Array:
    """Return the shake of the hand: slow wander and a light tremor, radians."""
    shake = np.zeros((len(times), 3))
    for rate, size in ((0.21, 1.3e-3), (0.5, 7e-4), (1.3, 3.5e-4), (3.4, 2e-4), (7.5, 1.1e-4)):
        turn = rng.uniform(0, 2 * np.pi, 3)
        beat = rng.uniform(0.8, 1.25, 3) * rate
        wave = np.sin(2 * np.pi * beat * times[:, None] + turn)
        shake += size * wave * np.array([1.0, 0.8, 0.9])
    return shake
