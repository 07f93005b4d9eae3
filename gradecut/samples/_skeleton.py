"""From a pose, a place and a stride to the joints of a man."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["JOINTS", "Stride", "joints_of"]

Array = NDArray[np.float64]

JOINTS: tuple[str, ...] = (
    "pelvis",
    "chest",
    "neck",
    "head",
    *(f"{part}_{side}" for side in ("l", "r") for part in ("shoulder", "elbow", "hand")),
    *(f"{part}_{side}" for side in ("l", "r") for part in ("hip", "knee", "ankle", "toe")),
)
_THIGH_YD, _SHIN_YD, _UPPER_ARM_YD, _FOREARM_YD = 0.5, 0.49, 0.34, 0.34
_TRUNK_YD, _SHOULDER_YD, _HIP_YD = 0.6, 0.25, 0.1


@dataclass(frozen=True, slots=True, kw_only=True)
class Stride:
    """How men move at one instant; every array has a row for each man.

    Attributes
    ----------
    place_yd : ndarray, shape (P, 2)
        Hips over the grass.
    facing_rad : ndarray, shape (P,)
    velocity_yds : ndarray, shape (P, 2)
        Yards a second.
    phase : ndarray, shape (P,)
        Turns of the stride: whole numbers put the left foot down in front.
    moving : ndarray, shape (P,)
        0 standing, 1 striding.
    running : ndarray, shape (P,)
        0 hands still, 1 arms swinging.
    sway_yd : ndarray, shape (P, 3)
        Fidgets of the hips: forward, left, up.
    size : ndarray, shape (P,)
        Height, as a share of the common one.
    """

    place_yd: Array
    facing_rad: Array
    velocity_yds: Array
    phase: Array
    moving: Array
    running: Array
    sway_yd: Array
    size: Array


def joints_of(pose: Array, stride: Stride) -> Array:
    """Return the joints of every man.

    Parameters
    ----------
    pose : ndarray, shape (P, 11)
        Blended pose numbers.
    stride : Stride

    Returns
    -------
    ndarray, shape (P, len(JOINTS), 3), float64
        Field yards.
    """
    frame = _frame_of(stride)
    pelvis, chest, neck, head = _trunk(pose, stride, frame)
    spine = neck - pelvis
    swing = stride.running * stride.moving * np.sin(2 * np.pi * stride.phase)
    twist = (-0.22 * swing)[:, None]
    across = frame.left * np.cos(twist) + frame.forward * np.sin(twist)
    parts = [pelvis, chest, neck, head]
    for sign, first in ((1.0, 5), (-1.0, 8)):
        shoulder = neck - 0.07 / _TRUNK_YD * spine + sign * frame.size * _SHOULDER_YD * across
        hand = pose[:, first : first + 3]
        parts += _arm(hand, frame, sign=sign, beat=-sign * swing, shoulder=shoulder)
    for sign, turn in ((1.0, 0.0), (-1.0, 0.5)):
        parts += _leg(pose, stride, frame, sign=sign, turn=turn, pelvis=pelvis)
    return np.stack(parts, axis=1)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Frame:
    """Every man's own directions, shape (P, 3), and his size, shape (P, 1)."""

    ground: Array
    forward: Array
    left: Array
    up: Array
    size: Array

    def at(self, where: Array) -> Array:
        """Return places given as forward, left and up, shape (P, 3), in field yards."""
        placed: Array = self.ground + self.size * (
            self.forward * where[:, :1] + self.left * where[:, 1:2] + self.up * where[:, 2:3]
        )
        return placed


def _frame_of(stride: Stride) -> _Frame:
    """Return the directions of every man."""
    count = len(stride.facing_rad)
    cos, sin, zero = np.cos(stride.facing_rad), np.sin(stride.facing_rad), np.zeros(count)
    return _Frame(
        ground=np.column_stack([stride.place_yd, zero]),
        forward=np.stack([cos, sin, zero], axis=1),
        left=np.stack([-sin, cos, zero], axis=1),
        up=np.tile([0.0, 0.0, 1.0], (count, 1)),
        size=stride.size[:, None],
    )


def _trunk(pose: Array, stride: Stride, frame: _Frame) -> tuple[Array, Array, Array, Array]:
    """Return pelvis, chest, neck and head."""
    sway, size = stride.sway_yd, frame.size
    bob = 0.035 * stride.moving * np.cos(4 * np.pi * stride.phase)
    pelvis = frame.at(np.column_stack([sway[:, :2], pose[:, 0] + sway[:, 2] + bob]))
    pitch = (pose[:, 1] + sway[:, 0] * 0.8)[:, None]
    look = pitch - pose[:, 2:3] + 0.1
    spine = frame.forward * np.sin(pitch) + frame.up * np.cos(pitch)
    gaze = frame.forward * np.sin(look) + frame.up * np.cos(look)
    neck = pelvis + size * _TRUNK_YD * spine
    head = neck + size * (0.1 * spine + 0.12 * gaze)
    return pelvis, pelvis + size * 0.5 * _TRUNK_YD * spine, neck, head


def _arm(hand: Array, frame: _Frame, *, sign: float, beat: Array, shoulder: Array) -> list[Array]:
    """Return shoulder, elbow and hand."""
    target = frame.at(hand + np.stack([0.3 * beat, -0.05 * sign * beat, 0.12 * beat], axis=1))
    bend = frame.left * (0.75 * sign) - frame.up * 0.7 - frame.forward * 0.5
    upper, lower = frame.size * _UPPER_ARM_YD, frame.size * _FOREARM_YD
    elbow, end = _two_bones(shoulder, target, (upper, lower), bend)
    return [shoulder, elbow, end]


def _leg(
    pose: Array, stride: Stride, frame: _Frame, *, sign: float, turn: float, pelvis: Array
) -> list[Array]:
    """Return hip, knee, ankle and toe."""
    forward, left, up, size = frame.forward, frame.left, frame.up, frame.size
    along, lift = _footfall(stride, turn)
    spread, stagger = pose[:, 3:4], pose[:, 4:5]
    stand = frame.ground + size * (left * (sign * spread) + forward * (sign * stagger))
    foot = stand + along + up * (0.09 + lift)[:, None]
    hip = pelvis + size * sign * _HIP_YD * left
    bend = forward + left * (0.22 * sign)
    knee, ankle = _two_bones(hip, foot, (size * _THIGH_YD, size * _SHIN_YD), bend)
    droop = np.clip(lift * 2.2, 0, 0.8)[:, None]
    toe = ankle + 0.2 * size * (forward * (1 - 0.5 * droop) - up * droop) + left * (0.05 * sign)
    toe[:, 2] = np.maximum(toe[:, 2] - 0.05, 0.03)
    return [hip, knee, ankle, toe]


def _footfall(stride: Stride, turn: float) -> tuple[Array, Array]:
    """Return where a foot is along the way he goes, and how high.

    Half the turn the foot stands on the grass while the body passes over it, half the turn it
    swings forward.
    """
    speed = np.linalg.norm(stride.velocity_yds, axis=1)
    way = stride.velocity_yds / np.maximum(speed, 1e-6)[:, None]
    theta = (stride.phase + turn) % 1.0
    reach = np.clip(0.1 + 0.085 * speed, 0, 0.55) * stride.moving
    swing = np.clip((theta - 0.5) * 2, 0, 1)
    smooth = swing * swing * (3 - 2 * swing)
    offset = np.where(theta < 0.5, 1 - 4 * theta, -1 + 2 * smooth)
    lift = np.sin(np.pi * swing) * (0.09 + 0.035 * speed) * stride.moving
    along = np.column_stack([way * (offset * reach)[:, None], np.zeros(len(speed))])
    return along, np.clip(lift, 0, 0.36)


def _two_bones(
    root: Array, target: Array, bones_yd: tuple[Array, Array], bend: Array
) -> tuple[Array, Array]:
    """Return the middle joint and the end of a limb that reaches for a target.

    The law of cosines places the middle joint; ``bend`` says towards which side.
    """
    first_yd, second_yd = bones_yd
    span = target - root
    reach = np.linalg.norm(span, axis=1, keepdims=True)
    longest = 0.995 * (first_yd + second_yd)
    shortest = np.abs(first_yd - second_yd) + 0.12
    held = np.clip(reach, shortest, longest)
    axis = span / np.maximum(reach, 1e-6)
    end = root + axis * held
    along = (first_yd**2 - second_yd**2 + held**2) / (2 * held)
    off = np.sqrt(np.maximum(first_yd**2 - along**2, 0))
    side = bend - axis * np.sum(bend * axis, axis=1, keepdims=True)
    side /= np.maximum(np.linalg.norm(side, axis=1, keepdims=True), 1e-6)
    return root + axis * along + side * off, end
