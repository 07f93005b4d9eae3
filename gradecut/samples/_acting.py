"""What everybody's body does at a given time: stance, stride, contact, the ball in his arm."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from gradecut.samples._moves import STEP_S
from gradecut.samples._poses import POSE_NAMES, pose_table
from gradecut.samples._scene import Scene
from gradecut.samples._skeleton import JOINTS, Stride, joints_of

__all__ = ["Acting", "build_acting"]

Array = NDArray[np.float64]
_MOVING_YDS = 0.35


@dataclass(frozen=True, slots=True, kw_only=True)
class Acting:
    """Bodies on the time grid of the paths.

    Attributes
    ----------
    scene : Scene
    pose : ndarray, shape (T, P, 11)
    phase, moving, running : ndarray, shape (T, P)
    sway : ndarray, shape (T, P, 3)
    """

    scene: Scene
    pose: Array
    phase: Array
    moving: Array
    running: Array
    sway: Array

    def joints_at(self, time_s: float) -> Array:
        """Return everybody's joints at a time from the snap, shape (P, J, 3), field yards."""
        paths = self.scene.paths
        place = self._blend(paths.places, time_s) + np.array(self.scene.play.ball_yd)
        stride = Stride(
            place_yd=place,
            facing_rad=self._blend(paths.facing_rad, time_s),
            velocity_yds=self._blend(paths.velocities, time_s),
            phase=self._blend(self.phase, time_s),
            moving=self._blend(self.moving, time_s),
            running=self._blend(self.running, time_s),
            sway_yd=self._blend(self.sway, time_s),
            size=np.array([man.size for man in self.scene.men]),
        )
        return joints_of(self._blend(self.pose, time_s), stride)

    def ball_at(self, time_s: float, joints: Array) -> Array:
        """Return where the ball is, shape (3,), field yards."""
        handling = self.scene.handling
        spot = np.array([*self.scene.play.ball_yd, 0.13])
        quarter = _hands(joints[self.scene.row_of("QB")])
        if time_s <= 0:
            return spot
        if time_s < handling.caught_s:
            share = time_s / handling.caught_s
            arc = 0.35 * np.sin(np.pi * share) if handling.caught_s > 0.2 else 0.0
            flown: Array = spot + (quarter - spot) * share + [0.0, 0.0, arc]
            return flown
        if handling.given_s is None or time_s < handling.given_s:
            return quarter
        back = joints[self.scene.row_of("RB")]
        share = min((time_s - handling.given_s) / 0.12, 1.0)
        carried: Array = quarter + (_tucked(back) - quarter) * share
        return carried

    def _blend(self, values: Array, time_s: float) -> Array:
        """Return values between two steps of the grid."""
        at = (time_s - float(self.scene.paths.times_s[0])) / STEP_S
        low = int(np.clip(np.floor(at), 0, len(values) - 2))
        share = float(np.clip(at - low, 0, 1))
        blended: Array = values[low] * (1 - share) + values[low + 1] * share
        return blended


def _hands(joints: Array) -> Array:
    """Return the place between a man's hands."""
    at = {name: place for place, name in enumerate(JOINTS)}
    middle: Array = (joints[at["hand_l"]] + joints[at["hand_r"]]) / 2
    return middle


def _tucked(joints: Array) -> Array:
    """Return the place under a man's right arm."""
    at = {name: place for place, name in enumerate(JOINTS)}
    arm: Array = 0.6 * joints[at["hand_r"]] + 0.4 * joints[at["elbow_r"]]
    return arm


def build_acting(scene: Scene) -> Acting:
    """Return the bodies of a play."""
    speed = np.linalg.norm(scene.paths.velocities, axis=2)
    moving = _eased((speed > _MOVING_YDS).astype(np.float64), up_s=0.05, down_s=0.12)
    rng = np.random.default_rng(8000 + scene.play.order)
    running = _eased(np.clip((speed - 1.6) / 2.4, 0, 1), up_s=0.12, down_s=0.15)
    contact = _eased(scene.paths.met, up_s=0.08, down_s=0.2)
    return Acting(
        scene=scene,
        pose=_poses(scene, moving, running, contact),
        phase=_phases(scene, speed, moving),
        moving=moving,
        running=running * (1 - 0.8 * contact),
        sway=_sway(scene, rng),
    )


def _eased(values: Array, *, up_s: float, down_s: float) -> Array:
    """Return values that rise and fall with a delay."""
    out = np.empty_like(values)
    state = values[0].copy()
    rise, fall = 1 - np.exp(-STEP_S / up_s), 1 - np.exp(-STEP_S / down_s)
    for step, wanted in enumerate(values):
        state = state + (wanted - state) * np.where(wanted > state, rise, fall)
        out[step] = state
    return out


def _phases(scene: Scene, speed: Array, moving: Array) -> Array:
    """Return the turns of each man's stride; the foot on the side he goes to lifts first."""
    phase = np.zeros(speed.shape[1])
    out = np.empty_like(speed)
    cadence = np.clip(1.55 + 0.13 * speed, 0, 2.4)
    for step in range(len(speed)):
        starting = (moving[step] < 0.08) & (speed[step] > 0)
        goes_left = scene.paths.velocities[step, :, 1] * np.cos(scene.paths.facing_rad[step]) > 0
        phase = np.where(starting, np.where(goes_left, 0.5, 0.0), phase)
        phase = phase + cadence[step] * STEP_S * (speed[step] > 0.15)
        out[step] = phase
    # Between steps the phase is blended, so it may only grow; restarts go to the next half turn.
    for step in range(1, len(out)):
        short = out[step] < out[step - 1]
        out[step:, short] += np.ceil(out[step - 1, short] - out[step, short])
    return out


def _sway(scene: Scene, rng: np.random.Generator) -> Array:
    """Return fidgets: slow weight shifts, quicker breathing, a few quick twitches."""
    times = scene.paths.times_s
    count = len(scene.men)
    sway = np.zeros((len(times), count, 3))
    for rate, size in ((0.25, 0.016), (0.6, 0.012), (1.4, 0.006), (3.1, 0.0022)):
        turn = rng.uniform(0, 2 * np.pi, (count, 3))
        beat = rng.uniform(0.75, 1.3, (count, 3)) * rate
        wave = np.sin(2 * np.pi * beat[None] * times[:, None, None] + turn[None])
        sway += size * wave * np.array([1.0, 1.0, 0.5])
    calm = np.array([0.45 if man.stance in {"three", "snapper"} else 1.0 for man in scene.men])
    sway *= calm[None, :, None]
    for man in range(count):
        for _ in range(int(rng.integers(0, 3))):
            when, axis = rng.uniform(-3.2, -0.4), int(rng.integers(0, 3))
            bump = np.exp(-(((times - when) / 0.14) ** 2))
            sway[:, man, axis] += rng.uniform(-0.05, 0.05) * bump
    return sway


def _poses(scene: Scene, moving: Array, running: Array, contact: Array) -> Array:
    """Return everybody's blended pose over time."""
    table = pose_table()
    at = {name: place for place, name in enumerate(POSE_NAMES)}
    times = scene.paths.times_s
    stance = table[[at[man.stance] for man in scene.men]]
    lively = np.array([man.side != "official" for man in scene.men])
    started = _started(scene)
    after = np.clip((times[:, None] - started[None, :]) / 0.24, 0, 1)
    after = after * after * (3 - 2 * after) * lively[None, :]
    settled = np.broadcast_to(table[at["ready"]], (len(scene.men), table.shape[1])).copy()
    for row, man in enumerate(scene.men):
        if man.name in {"QB", "official"} or man.stance in {"stand", "deep"}:
            settled[row] = table[at["deep"]]
    pose = stance[None] * (1 - after[..., None]) + settled[None] * after[..., None]
    pose = _mixed(pose, table[at["run"]], np.maximum(running, 0.35 * moving * (after < 0.5)))
    hands = contact * after
    hands[:, scene.row_of("RB")] = 0
    pose = _mixed(pose, table[at["block"]], 0.9 * hands)
    return _with_ball(scene, pose, table, at)


def _started(scene: Scene) -> Array:
    """Return when each man leaves his stance after the snap, seconds."""
    times, speed = scene.paths.times_s, np.linalg.norm(scene.paths.velocities, axis=2)
    late = (speed > 0.2) & (times[:, None] > 0)
    first = np.where(late.any(axis=0), times[np.argmax(late, axis=0)], np.inf)
    first[scene.row_of("C")] = 0.0
    first[scene.row_of("QB")] = min(first[scene.row_of("QB")], 0.25)
    return first


def _mixed(pose: Array, other: Array, share: Array) -> Array:
    """Return a pose moved some share of the way to another."""
    mixed: Array = pose * (1 - share[..., None]) + other * share[..., None]
    return mixed


def _with_ball(scene: Scene, pose: Array, table: Array, at: dict[str, int]) -> Array:
    """Let the quarterback catch, hand over or keep, the back carry, and the stopped go down."""
    times = scene.paths.times_s
    handling = scene.handling
    quarter, back = scene.row_of("QB"), scene.row_of("RB")
    given = handling.given_s if handling.given_s is not None else 1.05

    def lay(man: int, name: str, share: Array) -> None:
        pose[:, man] = _mixed(pose[:, man], table[at[name]], np.clip(share, 0, 1))

    held = np.clip((times - 0.02) / 0.1, 0, 1) * np.clip((given + 0.1 - times) / 0.1, 0, 1)
    lay(quarter, "gun" if handling.caught_s > 0.2 else "under", held * (times < given - 0.3))
    mesh = np.exp(-(((times - given) / 0.22) ** 4))
    lay(quarter, "give", mesh)
    lay(back, "give", mesh * 0.8)
    carrier = back if handling.given_s is not None else quarter
    lay(carrier, "carry", np.clip((times - given - 0.05) / 0.2, 0, 1) * 0.95)
    if handling.given_s is None:
        lay(back, "carry", np.clip((times - given - 0.05) / 0.2, 0, 1) * 0.9)
    for man in _piled(scene):
        lay(man, "down", np.clip((times - 1.3) / 0.35, 0, 1))
    for man, share in _stopped(scene, carrier).items():
        lay(man, "wrap", np.clip(share * 2, 0, 1))
        if scene.play.tempo == "live":
            lay(man, "down", np.clip(share * 2 - 0.8, 0, 1))
    return pose


def _piled(scene: Scene) -> tuple[int, ...]:
    """Return who goes down in the pile at the hole, before the back is there."""
    if scene.play.order != 7:
        return ()
    return scene.row_of("Port"), scene.row_of("Y")


def _stopped(scene: Scene, carrier: int) -> dict[int, Array]:
    """Return who is in the tackle, each with how far he is in it over time, 0 to 1."""
    times, places = scene.paths.times_s, scene.paths.places
    when = int(np.searchsorted(times, scene.down_s))
    far = np.linalg.norm(places[when] - places[when, carrier], axis=1)
    near = [row for row in np.argsort(far) if scene.men[row].side == "defence" and far[row] < 1.5]
    late = np.clip((times - scene.down_s + 0.15) / 0.5, 0, 1)
    taking = [*near[:2], carrier]
    if not near:
        return {}
    return {int(row): late * (0.9 if scene.men[row].side == "defence" else 1.0) for row in taking}
