"""From clicked landmarks to a camera: a pinhole of seven numbers, fitted by least squares.

Where the lens stands (three numbers), where it looks (three) and how close in (one). Six clicks
near one line leave a free homography almost undetermined; a camera with square pixels and a
centred picture is not so easily led astray.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product
from typing import Literal

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gradecut.errors import CalibrationError
from gradecut.field.camera import Camera
from gradecut.field.homography import find_homography
from gradecut.records.estimate import Miss

__all__ = ["Calibration", "calibrate"]

Array = NDArray[np.float64]

_LEAST_CLICKS = 4
_LEAST_SPREAD_YD = 1.0
_MOST_DOUBT_YD = 2.0
_FAR_PX = 1e4
_USUAL_HIGH_YD, _HIGH_SPREAD, _ROLL_RAD = 9.0, 0.7, 0.06
_STARTS = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """Field and picture brought together for one frame.

    Attributes
    ----------
    camera : Camera
        The camera that fits the clicks best.
    residuals_px : ndarray, shape (N, 2)
        Where the camera shows each landmark, minus where it was clicked.
    rms_px : float
        Root mean square length of the residuals.
    doubt_yd : float
        Largest standard error of the clicked places on the field, given the clicking error.
    """

    camera: Camera
    residuals_px: Array
    rms_px: float
    doubt_yd: float

    def __bool__(self) -> Literal[True]:
        """Stand as true, as a Miss stands as false."""
        return True

    def to_field(self, points_px: ArrayLike) -> Array:
        """Return where points of the picture lie on the grass.

        Only feet map correctly: anything above the grass lands behind its true place.

        Parameters
        ----------
        points_px : array_like, shape (N, 2)
            Pixels, y down.

        Returns
        -------
        ndarray, shape (N, 2), float64
            Field yards; NaN at or above the horizon.
        """
        return self.camera.to_ground(points_px)

    def to_picture(self, points_yd: ArrayLike) -> Array:
        """Return where places of the field show in the picture.

        Parameters
        ----------
        points_yd : array_like, shape (N, 2) or (N, 3)
            Field yards; without a third number, on the grass.

        Returns
        -------
        ndarray, shape (N, 2), float64
            Pixels, y down; NaN behind the lens.
        """
        points = np.atleast_2d(np.asarray(points_yd, dtype=np.float64))
        if points.shape[1] == 2:
            points = np.column_stack([points, np.zeros(len(points))])
        return self.camera.project(points)

    def pixel_yd(self, points_px: ArrayLike) -> Array:
        """Return how many yards one pixel spans at points of the picture.

        Returns
        -------
        ndarray, shape (N, 2), float64
            The smallest span and the largest: across, and in depth.
        """
        points = np.atleast_2d(np.asarray(points_px, dtype=np.float64))
        steps = [
            (self.to_field(points + shift) - self.to_field(points - shift))
            for shift in (np.array([0.5, 0.0]), np.array([0.0, 0.5]))
        ]
        spans = np.linalg.svd(np.nan_to_num(np.stack(steps, axis=2)), compute_uv=False)
        known = np.asarray(np.isfinite(steps[0] + steps[1]).all(axis=1))
        spans_yd: Array = np.where(known[:, None], spans[:, ::-1], np.nan)
        return spans_yd


def calibrate(
    points_px: ArrayLike,
    points_yd: ArrayLike,
    *,
    size_px: tuple[int, int],
    click_px: float = 2.0,
) -> Calibration | Miss:
    """Fit a camera to landmarks clicked in one frame.

    Parameters
    ----------
    points_px : array_like, shape (N, 2)
        Where the landmarks were clicked, pixels, y down.
    points_yd : array_like, shape (N, 2)
        Where they lie on the field, yards, in the same order.
    size_px : tuple of int
        Width and height of the frame.
    click_px : float
        Standard error of one click in each direction.

    Returns
    -------
    Calibration or Miss
        A Miss, with its reason, for fewer than four clicks, clicks almost on one line, clicks
        that no camera fits, or a camera that the clicks leave too uncertain.

    Raises
    ------
    CalibrationError
        When clicks and landmarks differ in number or are no rows of two finite numbers.
    """
    clicks, marks = _checked(points_px), _checked(points_yd)
    if len(clicks) != len(marks):
        raise CalibrationError(
            f"{len(clicks)} clicks don't match {len(marks)} landmarks; name each click's landmark."
        )
    refusal = _too_little(clicks, marks)
    if refusal is not None:
        return refusal
    best, jacobian = _fitted(clicks, marks, size_px, click_px)
    camera = _camera(best, size_px)
    flat = np.column_stack([marks, np.zeros(len(marks))])
    residuals = camera.project(flat) - clicks
    if not np.isfinite(residuals).all():
        return Miss("No camera shows these landmarks where they were clicked; check their names.")
    lengths = np.linalg.norm(residuals, axis=1)
    rms = float(np.sqrt(np.mean(lengths**2)))
    if rms > 4.0 * click_px:
        worst = int(np.argmax(lengths))
        return Miss(
            f"No camera fits these clicks: they miss by {rms:.0f} pixels, click {worst + 1} by "
            f"{lengths[worst]:.0f}; check that each is named for the right line."
        )
    doubt = _doubt_yd(best, jacobian, camera, clicks)
    if not doubt < _MOST_DOUBT_YD:
        return Miss(
            "These clicks leave the camera too uncertain; add clicks farther apart, in depth too."
        )
    return Calibration(camera=camera, residuals_px=residuals, rms_px=rms, doubt_yd=doubt)


def _checked(values: ArrayLike) -> Array:
    """Return points as an (N, 2) array."""
    points = np.asarray(values, dtype=np.float64)
    if points.size == 0:
        return points.reshape(0, 2)
    if points.ndim != 2 or points.shape[1] != 2 or not np.isfinite(points).all():
        raise CalibrationError("Clicks and landmarks come as rows of two finite numbers.")
    return points


def _too_little(clicks: Array, marks: Array) -> Miss | None:
    """Return why the clicks can't be enough, if they can't."""
    apart = len(np.unique(marks.round(3), axis=0))
    if apart < _LEAST_CLICKS:
        return Miss(f"{apart} landmarks are too few; click at least four, better six.")
    for points, least in ((marks, _LEAST_SPREAD_YD), (clicks, 6.0)):
        spread = np.linalg.svd(points - points.mean(axis=0), compute_uv=False)
        if spread[1] / np.sqrt(len(points)) < least:
            return Miss("The clicks lie almost on one line; click some on another line too.")
    return None


def _camera(numbers: Array, size_px: tuple[int, int]) -> Camera:
    """Return the camera of seven numbers: x, y, log z, pan, tilt, roll, log focal length."""
    x, y, log_z, pan, tilt, roll, log_f = (float(number) for number in numbers)
    return Camera(
        place_yd=(x, y, float(np.exp(np.clip(log_z, -5, 8)))),
        pan_rad=float(np.arctan2(np.sin(pan), np.cos(pan))),
        tilt_rad=tilt,
        roll_rad=roll,
        focal_px=float(np.exp(np.clip(log_f, 1, 14))),
        size_px=size_px,
    )


def _fitted(
    clicks: Array, marks: Array, size_px: tuple[int, int], click_px: float
) -> tuple[Array, Array]:
    """Return the seven numbers that fit best, and the slope of the weighted residuals there.

    What is usual of towers and tripods (a few degrees of roll, some yards of height) counts as
    two weak observations beside the clicks: it settles what few clicks leave open.
    """
    from scipy.optimize import least_squares

    flat = np.column_stack([marks, np.zeros(len(marks))])

    def misses(numbers: Array) -> Array:
        seen = _camera(numbers, size_px).project(flat) - clicks
        held = np.clip(np.nan_to_num(seen, nan=_FAR_PX), -_FAR_PX, _FAR_PX).ravel() / click_px
        usual = [(numbers[2] - np.log(_USUAL_HIGH_YD)) / _HIGH_SPREAD, numbers[5] / _ROLL_RAD]
        return np.concatenate([held, usual])

    starts = _starts(clicks, marks, size_px)
    costs = [float(np.sum(np.minimum(misses(start) ** 2, 2.5e5))) for start in starts]
    best = None
    for place in np.argsort(costs)[:_STARTS]:
        found = least_squares(misses, starts[place], method="lm", x_scale=_SCALES, max_nfev=400)
        if best is None or found.cost < best.cost:
            best = found
        if best.cost < len(clicks):
            break  # it fits as well as clicks can; no other camera is looked for
    if best is None:
        raise CalibrationError("There is no camera to start from; click other landmarks.")
    return np.asarray(best.x, dtype=np.float64), np.asarray(best.jac, dtype=np.float64)


_SCALES = np.array([5.0, 5.0, 0.2, 0.1, 0.1, 0.05, 0.2])


def _starts(clicks: Array, marks: Array, size_px: tuple[int, int]) -> list[Array]:
    """Return cameras to start from: what the homography says, then towers all round."""
    starts = _from_homography(clicks, marks, size_px)
    middle = np.array([*marks.mean(axis=0), 0.0])
    turns = np.arange(12) * np.pi / 6
    for turn, far, high, zoom in product(turns, (25.0, 50.0), (6.0, 14.0), (0.9, 1.6, 3.0)):
        place = (middle[0] - far * np.cos(turn), middle[1] - far * np.sin(turn), high)
        tilt = -np.arctan2(high, far)
        starts.append(np.array([*place[:2], np.log(high), turn, tilt, 0.0,
                                np.log(zoom * size_px[0])]))  # fmt: skip
    return starts


def _from_homography(clicks: Array, marks: Array, size_px: tuple[int, int]) -> list[Array]:
    """Return the camera a plain homography stands for, where it stands for one.

    The focal length follows from the columns of a rotation being of one length and at right
    angles (Zhang 2000, A flexible new technique for camera calibration; from memory).
    """
    centre = np.array(size_px, dtype=np.float64) / 2
    try:
        matrix = find_homography(marks, clicks - centre)
    except CalibrationError:
        return []
    first, second = matrix[:, 0], matrix[:, 1]
    squares = []
    with np.errstate(divide="ignore", invalid="ignore"):
        squares.append(-(first[0] * second[0] + first[1] * second[1]) / (first[2] * second[2]))
        squares.append(
            (second[0] ** 2 + second[1] ** 2 - first[0] ** 2 - first[1] ** 2)
            / (first[2] ** 2 - second[2] ** 2)
        )
    found = []
    for square in squares:
        if np.isfinite(square) and 1e4 < square < 1e9:
            found.append(_posed(matrix, float(np.sqrt(square)), marks))
    return found


def _posed(matrix: Array, focal: float, marks: Array) -> Array:
    """Return the seven numbers of a homography with a known focal length."""
    plain = np.diag([1 / focal, 1 / focal, 1.0]) @ matrix
    plain /= np.sqrt(np.linalg.norm(plain[:, 0]) * np.linalg.norm(plain[:, 1]))
    if plain[2] @ np.array([*marks.mean(axis=0), 1.0]) < 0:
        plain = -plain
    columns = np.column_stack([plain[:, 0], plain[:, 1], np.cross(plain[:, 0], plain[:, 1])])
    left, _, right = np.linalg.svd(columns)
    turned = left @ right
    place = -turned.T @ plain[:, 2]
    forward = turned[2]
    pan, tilt = np.arctan2(forward[1], forward[0]), np.arcsin(np.clip(forward[2], -1, 1))
    level = np.array([np.sin(pan), -np.cos(pan), 0.0])
    roll = np.arctan2(turned[0] @ np.cross(forward, level), turned[0] @ level)
    high = np.log(max(abs(place[2]), 0.5))
    return np.array([place[0], place[1], high, pan, tilt, roll, np.log(focal)])


def _doubt_yd(numbers: Array, jacobian: Array, camera: Camera, clicks: Array) -> float:
    """Return the largest standard error of the clicked places, yards."""
    steps = 1e-4 * _SCALES
    slopes = []
    for part, step in enumerate(steps):
        moved = numbers.copy()
        moved[part] += step
        slopes.append((_camera(moved, camera.size_px).to_ground(clicks) - camera.to_ground(clicks))
                      / step)  # fmt: skip
    slope = np.stack(slopes, axis=2)
    spread = np.linalg.pinv(jacobian.T @ jacobian, rcond=1e-14)
    variance = np.einsum("nik,kl,nil->n", slope, spread, slope)
    return float(np.sqrt(np.max(variance))) if np.isfinite(variance).all() else float("inf")
