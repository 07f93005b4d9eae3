"""The empty stage: grass and scenery as one camera sees them."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.field.camera import Camera, ground_to_picture
from gradecut.samples._scenery import Screen, far_screen
from gradecut.samples._turf import Turf

__all__ = ["Stage", "build_stage", "show_stage"]

_FADE_ROWS = 60


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """Grass and scenery, ready to be seen from one side.

    Attributes
    ----------
    turf : Turf
    screen : Screen
    near_yd : float
        Up to this distance the fine grass is shown, beyond it the softened one.
    """

    turf: Turf
    screen: Screen
    near_yd: float


def build_stage(angle: str, turf: Turf) -> Stage:
    """Return the stage as "end" or "side" shows it."""
    return Stage(turf=turf, screen=far_screen(angle), near_yd=38.0)


def show_stage(stage: Stage, camera: Camera) -> NDArray[np.uint8]:
    """Return the empty stage, shape (H, W, 3), uint8 RGB."""
    width, height = camera.size_px
    fade = _row_at(camera, stage.near_yd)
    horizon = _row_at(camera, 400.0)
    film = np.full((height, width, 3), 216, dtype=np.uint8)
    ground = ground_to_picture(camera) @ np.linalg.inv(stage.turf.to_texture)
    split = int(np.clip(fade, 0, height))
    top = int(np.clip(horizon - 2, 0, height))
    half = np.diag([2.0, 2.0, 1.0])
    half[:2, 2] = 0.5
    if split + _FADE_ROWS > top:
        low = min(split + _FADE_ROWS, height)
        film[top:low] = _warped(stage.turf.far, ground @ half, (width, low - top), top)
    if split < height:
        fine = _warped(stage.turf.picture, ground, (width, height - split), split)
        _fade_in(film[split:], fine)
    _hang(film, stage.screen, camera)
    return film


def _row_at(camera: Camera, distance_yd: float) -> float:
    """Return the row of the picture that shows the grass at a distance."""
    x, y, _ = camera.place_yd
    point = (
        x + distance_yd * np.cos(camera.pan_rad),
        y + distance_yd * np.sin(camera.pan_rad),
        0.0,
    )
    return float(camera.project([point])[0, 1])


def _warped(
    source: NDArray[np.uint8], matrix: NDArray[np.float64], size: tuple[int, int], first_row: int
) -> NDArray[np.uint8]:
    """Return some rows of the picture, from the field seen from above."""
    shift = np.array([[1.0, 0, 0], [0, 1, -first_row], [0, 0, 1]])
    shown = cv2.warpPerspective(
        source, shift @ matrix, size, flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    return np.asarray(shown, dtype=np.uint8)


def _fade_in(under: NDArray[np.uint8], fine: NDArray[np.uint8]) -> None:
    """Lay the fine grass over the soft one, fading in from its first row."""
    rows = min(_FADE_ROWS, len(fine))
    share = (np.arange(rows, dtype=np.float32) / rows)[:, None, None]
    mixed = under[:rows] * (1 - share) + fine[:rows] * share
    under[:rows] = mixed.astype(np.uint8)
    under[rows:] = fine[rows:]


def _hang(film: NDArray[np.uint8], screen: Screen, camera: Camera) -> None:
    """Show the screen behind the field, where the picture reaches it."""
    matrix = screen.homography(camera)
    width = film.shape[1]
    height_px, width_px = screen.picture.shape[:2]
    feet = cv2.perspectiveTransform(
        np.array([[(0.0, height_px), (width_px, height_px)]], dtype=np.float64), matrix
    )[0]
    along = (np.arange(width) - feet[0, 0]) / (feet[1, 0] - feet[0, 0])
    foot = feet[0, 1] + along * (feet[1, 1] - feet[0, 1])
    low = int(np.ceil(foot.max())) + 1
    if low <= 0:
        return
    low = min(low, film.shape[0])
    shown = cv2.warpPerspective(
        screen.picture,
        matrix,
        (width, low),
        flags=cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_REPLICATE,
    )
    over = np.arange(low)[:, None] < foot[None, :]
    cv2.copyTo(shown, over.astype(np.uint8), film[:low])
