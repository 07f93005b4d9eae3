"""Films one play from one tower, picture by picture."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from gradecut.field.camera import Camera
from gradecut.samples._acting import Acting, build_acting
from gradecut.samples._figures import cast_shadows, paint_men
from gradecut.samples._finish import Finish
from gradecut.samples._kit import dress
from gradecut.samples._plays import Filming, Play
from gradecut.samples._scene import build_scene
from gradecut.samples._shape import Faces, ball_faces, faces_of
from gradecut.samples._stage import Stage, build_stage, show_stage
from gradecut.samples._tower import SIZE_PX, Tower, man_tower
from gradecut.samples._turf import Turf, practice_field

__all__ = ["Shoot", "frame_times"]

_TICK = Fraction(1, 600)
_SHUTTER = 0.45  # share of a picture's time that the shutter is open


@lru_cache(maxsize=1)
def _turf() -> Turf:
    """Return the field, painted once for all clips."""
    return practice_field()


@lru_cache(maxsize=2)
def _stage(angle: str) -> Stage:
    """Return the stage of one side, built once."""
    return build_stage(angle, _turf())


def frame_times(filming: Filming) -> tuple[Fraction, ...]:
    """Return when each picture begins, seconds from the first."""
    if not filming.variable:
        count = int(filming.stop_s * filming.rate)
        return tuple(Fraction(number) / filming.rate for number in range(count))
    # A phone: thirty a second more or less, in ticks of 1/600 s, with a picture lost now and then.
    rng = np.random.default_rng(filming.seed)
    times, ticks = [], 0
    while ticks * _TICK < filming.stop_s:
        times.append(ticks * _TICK)
        ticks += int(rng.choice([19, 20, 20, 20, 20, 21, 22, 40], p=_PHONE))
    return tuple(times)


_PHONE = np.array([0.17, 0.2, 0.2, 0.2, 0.1, 0.08, 0.02, 0.03])


class Shoot:
    """One play seen from one tower.

    Parameters
    ----------
    play : Play
    angle : str
        "end" or "side".
    """

    def __init__(self, play: Play, angle: str) -> None:
        self.filming = play.filmed(angle)
        self.times_s = frame_times(self.filming)
        self.scene = build_scene(play)
        self.acting: Acting = build_acting(self.scene)
        self.tower: Tower = man_tower(self.scene, self.filming)
        self._stage = _stage(angle)
        self._kit = dress(self.scene.men, 9000 + play.order)
        self._finish = Finish(
            self.filming.seed,
            SIZE_PX,
            grain=3.0 if angle == "end" else 3.4,
            warmth=float(np.random.default_rng(self.filming.seed).uniform(-0.4, 0.8)),
        )

    def from_snap_s(self, frame: int) -> float:
        """Return the time of a picture from the snap."""
        return float(self.times_s[frame]) - self.filming.snap_s

    def frames(self) -> Iterator[NDArray[np.uint8]]:
        """Yield every picture, (H, W, 3) uint8 RGB."""
        for frame in range(len(self.times_s)):
            yield self.frame(frame)

    def frame(self, number: int) -> NDArray[np.uint8]:
        """Return one picture, the same however often and in whatever order it is drawn."""
        now = self.from_snap_s(number)
        camera = self.tower.camera_at(now)
        joints = self.acting.joints_at(now)
        picture = show_stage(self._stage, camera)
        cast_shadows(picture, camera, joints)
        open_s = _SHUTTER / float(self.filming.rate)
        after = self.tower.camera_at(now + open_s)
        drift = self._drifts(camera, joints, now, open_s)
        paint_men(picture, camera, self._faces(joints, now), self._kit, drift_px=drift)
        ground = camera.to_ground([[SIZE_PX[0] / 2, SIZE_PX[1] * 0.6]])
        spot = [[*ground[0], 0.0]]
        slide = (after.project(spot) - camera.project(spot))[0]
        return self._finish.develop(picture, (float(slide[0]), float(slide[1])), number)

    def _faces(self, joints: NDArray[np.float64], now: float) -> Faces:
        """Return everybody's faces, and the ball's as the last."""
        men = self.scene.men
        faces = faces_of(
            joints, np.array([man.bulk for man in men]), tuple(man.number for man in men)
        )
        here = self.acting.ball_at(now, joints)
        there = self.acting.ball_at(now + 0.02, self.acting.joints_at(now + 0.02))
        along = there - here if np.linalg.norm(there - here) > 0.12 else np.array([1.0, 0.1, 0.05])
        ball = ball_faces(here, along, faces.corners_yd.shape[1])
        return Faces(corners_yd=np.concatenate([faces.corners_yd, ball[None]]), cloth=faces.cloth)

    def _drifts(
        self, camera: Camera, joints: NDArray[np.float64], now: float, open_s: float
    ) -> NDArray[np.float64]:
        """Return how far each man, and last the ball, moves while the shutter is open."""
        later = self.acting.joints_at(now + open_s)
        drift = camera.project(later[:, 1]) - camera.project(joints[:, 1])
        balls = np.stack(
            [self.acting.ball_at(now, joints), self.acting.ball_at(now + open_s, later)]
        )
        flown = camera.project(balls)
        return np.nan_to_num(np.vstack([drift, flown[1:] - flown[:1]]))
