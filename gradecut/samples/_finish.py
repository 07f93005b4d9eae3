"""From a clean picture to film: softness, pan blur, falling-off corners, exposure, grain."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["Finish"]

_TILES = 5
_SPARE = 96


class Finish:
    """The lens and sensor of one camera.

    Parameters
    ----------
    seed : int
        For the grain.
    size_px : tuple of int
        Width and height.
    grain : float
        Strength of the grain, in grey levels.
    warmth : float
        Colour of the light, -1 cool to 1 warm.
    """

    def __init__(self, seed: int, size_px: tuple[int, int], *, grain: float, warmth: float) -> None:
        width, height = size_px
        self._rng = np.random.default_rng(seed)
        shape = (height + _SPARE, width + _SPARE)
        self._grain = [self._grown(shape, grain) for _ in range(_TILES)]
        x, y = np.meshgrid(np.linspace(-1, 1, width), np.linspace(-1, 1, height))
        fall = 1 - 0.15 * np.clip((x * x + 0.8 * y * y) / 1.8, 0, 1) ** 1.4
        self._fall = np.repeat((fall * 255).astype(np.uint8)[..., None], 3, axis=2)
        self._curve = _tone_curve(warmth)

    def _grown(self, shape: tuple[int, int], strength: float) -> NDArray[np.int16]:
        """Return one tile of grain."""
        raw = self._rng.standard_normal(shape).astype(np.float32)
        soft = cv2.GaussianBlur(raw, (0, 0), 0.75) * 2.1
        tile = np.rint(soft * strength).astype(np.int16)
        return np.repeat(tile[..., None], 3, axis=2)

    def develop(
        self, picture: NDArray[np.uint8], drift_px: tuple[float, float], frame: int
    ) -> NDArray[np.uint8]:
        """Return a picture as the camera records it.

        Parameters
        ----------
        picture : ndarray, shape (H, W, 3), uint8
        drift_px : tuple of float
            How far the whole picture slides while the shutter is open.
        frame : int
            Its number: the same frame has the same grain however often it is drawn.
        """
        soft = cv2.GaussianBlur(_panned(picture, drift_px), (0, 0), 0.62)
        fallen = cv2.multiply(soft, self._fall, scale=1 / 255)
        toned = cv2.LUT(fallen, self._curve)
        pick = np.random.default_rng((frame + 1) * 7919)
        tile = self._grain[int(pick.integers(_TILES))]
        x, y = (int(v) for v in pick.integers(0, _SPARE, 2))
        part = tile[y : y + picture.shape[0], x : x + picture.shape[1]]
        return np.asarray(cv2.add(toned, part, dtype=cv2.CV_8U), dtype=np.uint8)


def _tone_curve(warmth: float) -> NDArray[np.uint8]:
    """Return the response of the sensor, shape (256, 1, 3): lifted blacks, soft whites."""
    level = np.arange(256, dtype=np.float64) / 255
    lifted = 0.035 + 0.95 * level
    curve = lifted + 0.05 * np.sin(2 * np.pi * (lifted - 0.5)) * 0.6
    tint = np.array([1 + 0.03 * warmth, 1.0, 1 - 0.035 * warmth])
    shaped = np.clip(curve[:, None] * tint, 0, 0.975) * 255
    table: NDArray[np.uint8] = np.rint(shaped).astype(np.uint8)[:, None, :]
    return table


def _panned(picture: NDArray[np.uint8], drift_px: tuple[float, float]) -> NDArray[np.uint8]:
    """Blur a picture along the way the camera turns."""
    long = float(np.hypot(*drift_px))
    if long < 0.8:
        return picture
    taps = int(np.ceil(long)) + 1
    size = 2 * int(np.ceil(long / 2)) + 3
    kernel = np.zeros((size, size), dtype=np.float32)
    for share in np.linspace(-0.5, 0.5, taps * 4):
        x = round(size // 2 + share * drift_px[0])
        y = round(size // 2 + share * drift_px[1])
        kernel[y, x] += 1
    return np.asarray(cv2.filter2D(picture, -1, kernel / kernel.sum()), dtype=np.uint8)
