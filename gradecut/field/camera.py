"""A pinhole camera in field yards: square pixels, picture centre as principal point.

The model is x = K [R | t] X (Hartley and Zisserman, Multiple View Geometry, 2nd edition 2004,
chapter 6). Rows of R are the camera's right, down and forward in field coordinates; the picture
has u to the right and v down, in pixels.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gradecut.errors import CalibrationError

__all__ = ["Camera", "ground_to_picture"]

_NEAREST_YD = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Camera:
    """Where a camera stands and where it looks.

    Attributes
    ----------
    place_yd : tuple of float
        x, y, z of the lens in field yards.
    pan_rad : float
        Direction of view on the ground: 0 along +x, a quarter turn along +y.
    tilt_rad : float
        Above the horizon; towers look down, so it is negative.
    roll_rad : float
        Turn of the picture about the line of view, clockwise as seen.
    focal_px : float
        Focal length in pixels: larger is closer in.
    size_px : tuple of int
        Width and height of the picture.

    Examples
    --------
    >>> camera = Camera.looking_at((-12, 80 / 3, 12), (40, 80 / 3, 0), focal_px=1800,
    ...                            size_px=(1920, 1080))
    >>> camera.project([[40, 80 / 3, 0]]).round(3).tolist()
    [[960.0, 540.0]]
    """

    place_yd: tuple[float, float, float]
    pan_rad: float
    tilt_rad: float
    focal_px: float
    size_px: tuple[int, int]
    roll_rad: float = 0.0

    @classmethod
    def looking_at(
        cls,
        place_yd: tuple[float, float, float],
        target_yd: tuple[float, float, float],
        *,
        focal_px: float,
        size_px: tuple[int, int],
        roll_rad: float = 0.0,
    ) -> Camera:
        """Return a camera whose picture centre shows a point of the field.

        Raises
        ------
        CalibrationError
            When camera and target stand over one another or coincide.
        """
        dx, dy, dz = (b - a for a, b in zip(place_yd, target_yd, strict=True))
        along = float(np.hypot(dx, dy))
        if along < 1e-9:
            raise CalibrationError(
                "A camera straight above its target has no up; move one of them a yard."
            )
        return cls(
            place_yd=place_yd,
            pan_rad=float(np.arctan2(dy, dx)),
            tilt_rad=float(np.arctan2(dz, along)),
            focal_px=focal_px,
            size_px=size_px,
            roll_rad=roll_rad,
        )

    @property
    def k(self) -> NDArray[np.float64]:
        """Return the (3, 3) matrix of the lens, in pixels."""
        width, height = self.size_px
        return np.array(
            [[self.focal_px, 0, width / 2], [0, self.focal_px, height / 2], [0, 0, 1]],
            dtype=np.float64,
        )

    @property
    def r(self) -> NDArray[np.float64]:
        """Return the (3, 3) rotation: rows right, down, forward in field coordinates."""
        cp, sp = np.cos(self.pan_rad), np.sin(self.pan_rad)
        ct, st = np.cos(self.tilt_rad), np.sin(self.tilt_rad)
        right = np.array([sp, -cp, 0.0])
        forward = np.array([cp * ct, sp * ct, st])
        down = np.cross(forward, right)
        cr, sr = np.cos(self.roll_rad), np.sin(self.roll_rad)
        return np.stack([cr * right + sr * down, -sr * right + cr * down, forward])

    @property
    def t(self) -> NDArray[np.float64]:
        """Return the (3,) shift of x = K [R | t] X."""
        return -self.r @ np.array(self.place_yd, dtype=np.float64)

    def project(self, points_yd: ArrayLike) -> NDArray[np.float64]:
        """Return where points of the field show in the picture.

        Parameters
        ----------
        points_yd : array_like, shape (N, 3)
            Field yards, height included.

        Returns
        -------
        ndarray, shape (N, 2), float64
            Pixels; NaN for points behind the lens.
        """
        points = np.asarray(points_yd, dtype=np.float64).reshape(-1, 3)
        seen = (points - np.array(self.place_yd)) @ self.r.T
        depth = np.where(seen[:, 2] > _NEAREST_YD, seen[:, 2], np.nan)
        centre = np.array(self.size_px, dtype=np.float64) / 2
        flat: NDArray[np.float64] = seen[:, :2] / depth[:, None] * self.focal_px + centre
        return flat

    def to_ground(self, points_px: ArrayLike) -> NDArray[np.float64]:
        """Return where sight lines meet the grass.

        Parameters
        ----------
        points_px : array_like, shape (N, 2)
            Pixels.

        Returns
        -------
        ndarray, shape (N, 2), float64
            Field yards; NaN for points at or above the horizon.
        """
        points = np.asarray(points_px, dtype=np.float64).reshape(-1, 2)
        centre = np.array(self.size_px, dtype=np.float64) / 2
        rays = np.column_stack([(points - centre) / self.focal_px, np.ones(len(points))]) @ self.r
        falling = np.where(rays[:, 2] < -1e-9, rays[:, 2], np.nan)
        reach = -self.place_yd[2] / falling
        ground: NDArray[np.float64] = np.array(self.place_yd[:2]) + rays[:, :2] * reach[:, None]
        return ground


def ground_to_picture(camera: Camera) -> NDArray[np.float64]:
    """Return the (3, 3) homography from ground yards (x, y, 1) to pixels, scaled to h33 = 1."""
    matrix = camera.k @ np.column_stack([camera.r[:, 0], camera.r[:, 1], camera.t])
    scaled: NDArray[np.float64] = matrix / matrix[2, 2]
    return scaled
