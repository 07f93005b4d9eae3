"""Stances and running poses, as numbers a skeleton can be built from.

A pose says where hips, hands and feet are, in yards, in the man's own frame: forward, left, up
from the grass below his hips.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["POSES", "POSE_NAMES", "Pose", "pose_table"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """One way to stand.

    Attributes
    ----------
    hip : float
        Height of the hips, yards.
    pitch, look : float
        Lean of the trunk forward, and how far the head looks up from it, radians.
    spread, stagger : float
        Half the distance between the feet, sideways and front to back, yards.
    left, right : tuple of float
        The hands: forward, left, up, yards.
    """

    hip: float
    pitch: float
    look: float
    spread: float
    stagger: float
    left: tuple[float, float, float]
    right: tuple[float, float, float]

    def numbers(self) -> NDArray[np.float64]:
        """Return the pose as 11 numbers, so that poses can be blended."""
        return np.array(
            [self.hip, self.pitch, self.look, self.spread, self.stagger, *self.left, *self.right]
        )


def _even(
    hip: float, pitch: float, spread: float, stagger: float, hand: tuple[float, float, float]
) -> Pose:
    """Return a pose with both hands alike, looking ahead."""
    forward, out, up = hand
    return Pose(
        hip=hip,
        pitch=pitch,
        look=pitch * 0.85,
        spread=spread,
        stagger=stagger,
        left=(forward, out, up),
        right=(forward, -out, up),
    )


POSES: dict[str, Pose] = {
    "three": Pose(
        hip=0.78,
        pitch=1.2,
        look=0.85,
        spread=0.27,
        stagger=0.14,
        left=(0.36, 0.26, 0.56),
        right=(0.74, -0.1, 0.06),
    ),
    "snapper": Pose(
        hip=0.76,
        pitch=1.22,
        look=0.8,
        spread=0.29,
        stagger=0.03,
        left=(0.36, 0.25, 0.55),
        right=(0.72, -0.02, 0.16),
    ),
    "two": _even(0.76, 0.68, 0.27, 0.08, (0.36, 0.22, 0.58)),
    "ready": _even(0.8, 0.58, 0.24, 0.04, (0.42, 0.2, 0.78)),
    "stand": _even(0.97, 0.16, 0.13, 0.2, (0.14, 0.27, 0.9)),
    "gun": _even(0.9, 0.3, 0.2, 0.06, (0.48, 0.1, 1.12)),
    "under": _even(0.78, 0.5, 0.2, 0.05, (0.55, 0.03, 0.66)),
    "back": _even(0.82, 0.62, 0.22, 0.05, (0.34, 0.2, 0.62)),
    "deep": _even(0.9, 0.32, 0.2, 0.12, (0.3, 0.24, 0.8)),
    "official": _even(0.99, 0.1, 0.15, 0.03, (0.1, 0.27, 0.86)),
    "run": _even(0.93, 0.3, 0.1, 0.0, (0.14, 0.27, 1.1)),
    "block": _even(0.8, 0.5, 0.22, 0.05, (0.74, 0.13, 1.18)),
    "carry": Pose(
        hip=0.92,
        pitch=0.36,
        look=0.3,
        spread=0.1,
        stagger=0.0,
        left=(0.2, 0.27, 1.08),
        right=(0.3, -0.16, 1.14),
    ),
    "wrap": _even(0.78, 0.62, 0.22, 0.1, (0.7, 0.22, 0.95)),
    "give": Pose(
        hip=0.88,
        pitch=0.32,
        look=0.3,
        spread=0.18,
        stagger=0.1,
        left=(0.55, 0.1, 0.98),
        right=(0.55, -0.06, 0.98),
    ),
    "down": _even(0.2, 1.42, 0.2, 0.1, (0.95, 0.3, 0.12)),
}
POSE_NAMES: tuple[str, ...] = tuple(POSES)


def pose_table() -> NDArray[np.float64]:
    """Return all poses, shape (poses, 11), in the order of ``POSE_NAMES``."""
    return np.stack([pose.numbers() for pose in POSES.values()])
