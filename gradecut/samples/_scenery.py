"""What stands behind the field: fence, trees and sky, on upright screens."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.field.camera import Camera

__all__ = ["Screen", "far_screen"]

_SCALE = 14  # pixels a yard
_HIGH_YD = 26.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """An upright painted screen behind the field.

    Attributes
    ----------
    picture : ndarray, shape (H, W, 3), uint8
        RGB; its last row stands on the ground.
    foot_yd : tuple of two points
        Where its left and right lower corners stand, as the tower sees them.
    """

    picture: NDArray[np.uint8]
    foot_yd: tuple[tuple[float, float], tuple[float, float]]

    def homography(self, camera: Camera) -> NDArray[np.float64]:
        """Return the (3, 3) map from pixels of the screen to pixels of film."""
        height, width = self.picture.shape[:2]
        (x0, y0), (x1, y1) = self.foot_yd
        corners_yd = [(x0, y0, 0), (x1, y1, 0), (x1, y1, _HIGH_YD), (x0, y0, _HIGH_YD)]
        seen = camera.project(corners_yd).astype(np.float32)
        flat = np.array([(0, height), (width, height), (width, 0), (0, 0)], dtype=np.float32)
        return np.asarray(cv2.getPerspectiveTransform(flat, seen), dtype=np.float64)


def far_screen(angle: str) -> Screen:
    """Return the screen behind the far end ("end") or the far sideline ("side")."""
    if angle == "end":
        foot = ((139.0, 130.0), (139.0, -75.0))
        seed = 5
    else:
        foot = ((-60.0, 72.0), (180.0, 72.0))
        seed = 6
    span = float(np.hypot(foot[1][0] - foot[0][0], foot[1][1] - foot[0][1]))
    return Screen(picture=_painted(span, seed), foot_yd=foot)


def _painted(span_yd: float, seed: int) -> NDArray[np.uint8]:
    """Return sky, a row of trees and a chain-link fence, out of focus."""
    rng = np.random.default_rng(seed)
    height, width = int(_HIGH_YD * _SCALE), int(span_yd * _SCALE)
    up = ((height - np.arange(height)) / _SCALE).astype(np.float32)
    haze = np.clip(up / _HIGH_YD, 0, 1)[:, None, None]
    sky = np.array([222.0, 227.0, 229.0]) * (1 - haze) + np.array([186.0, 204.0, 222.0]) * haze
    picture = np.repeat(sky, width, axis=1).astype(np.float32)
    for base, spread, tone in ((8.5, 2.2, 0.84), (6.6, 1.6, 1.0)):
        _grow_trees(picture, rng, up, base=base, spread=spread, tone=tone)
    picture[up < 2.3] = picture[up < 2.3] * 0.62 + np.array([96.0, 112.0, 84.0]) * 0.38
    _raise_fence(picture, up)
    soft = cv2.GaussianBlur(picture, (0, 0), 1.2)
    return np.clip(soft, 0, 255).astype(np.uint8)


def _grow_trees(
    picture: NDArray[np.float32],
    rng: np.random.Generator,
    up: NDArray[np.float32],
    *,
    base: float,
    spread: float,
    tone: float,
) -> None:
    """Grow one row of trees with an uneven top, lit from above."""
    height, width = picture.shape[:2]
    top = np.zeros(width, dtype=np.float32)
    for yards, weight in ((19.0, 0.8), (6.0, 0.7), (1.6, 0.3)):
        knots = rng.standard_normal((1, int(width / (yards * _SCALE)) + 4)).astype(np.float32)
        top += weight * cv2.resize(knots, (width, 1), interpolation=cv2.INTER_CUBIC)[0]
    top = base + spread * top
    leaves = cv2.GaussianBlur(rng.standard_normal((height, width)), (0, 0), 2.6) * 5.0
    clumps = cv2.GaussianBlur(rng.standard_normal((height, width)), (0, 0), 12.0) * 20.0
    light = 0.66 + 0.05 * (up[:, None] / top[None, :]) * 4 + 0.17 * leaves + 0.2 * clumps
    green = np.array([88.0, 106.0, 72.0], dtype=np.float32) * tone + (1 - tone) * 150
    inside = up[:, None] + 0.55 * leaves < top[None, :]
    picture[inside] = (np.clip(light, 0.25, 1.5)[..., None] * green)[inside]


def _raise_fence(picture: NDArray[np.float32], up: NDArray[np.float32]) -> None:
    """Raise a fence with a rail and posts."""
    mesh = up < 1.5
    picture[mesh] = picture[mesh] * 0.7 + 128.0 * 0.3
    picture[(up > 1.4) & (up < 1.6)] = 172.0
    for post in range(0, picture.shape[1], 3 * _SCALE):
        picture[up < 1.6, post : post + 1] = 160.0
