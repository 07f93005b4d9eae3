"""Plane-to-plane maps: homographies by the normalised direct linear transform."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gradecut.errors import CalibrationError

__all__ = ["apply_homography", "find_homography"]

_LEAST_POINTS = 4


def find_homography(source: ArrayLike, target: ArrayLike) -> NDArray[np.float64]:
    """Find the homography that carries points of one plane to another.

    Four points are met exactly; more are met in the least-squares sense of the normalised DLT
    (Hartley and Zisserman, Multiple View Geometry, 2nd edition 2004, algorithm 4.2).

    Parameters
    ----------
    source, target : array_like, shape (N, 2)
        The same N >= 4 points, row by row, each plane in its own unit.

    Returns
    -------
    ndarray, shape (3, 3), float64
        Scaled so that its last entry is 1.

    Raises
    ------
    CalibrationError
        When there are fewer than four points, the lists differ in length, or three of four
        points lie on one line so that no single map fits.

    Examples
    --------
    >>> square = [(0, 0), (1, 0), (1, 1), (0, 1)]
    >>> find_homography(square, [(0, 0), (4, 1), (6, 5), (1, 3)]).round(4).tolist()[0]
    [3.25, 0.875, 0.0]
    """
    a, b = _points(source), _points(target)
    if len(a) != len(b):
        raise CalibrationError(
            f"{len(a)} points can't be matched with {len(b)}; give each point its partner."
        )
    if len(a) < _LEAST_POINTS:
        raise CalibrationError(f"{len(a)} points are too few for a map; give at least four.")
    (na, ta), (nb, tb) = _normalised(a), _normalised(b)
    x, y, u, v = na[:, 0], na[:, 1], nb[:, 0], nb[:, 1]
    one, zero = np.ones_like(x), np.zeros_like(x)
    rows = np.concatenate(
        [
            np.stack([x, y, one, zero, zero, zero, -u * x, -u * y, -u], axis=1),
            np.stack([zero, zero, zero, x, y, one, -v * x, -v * y, -v], axis=1),
        ]
    )
    _, strength, basis = np.linalg.svd(rows)
    if strength[7] < 1e-9 * strength[0]:
        raise CalibrationError(
            "Too many of the points lie on one line for a map; choose some to its side."
        )
    whole = np.linalg.inv(tb) @ basis[-1].reshape(3, 3) @ ta
    if abs(whole[2, 2]) < 1e-12 * np.abs(whole).max():
        raise CalibrationError("The map sends the origin to the horizon; choose other points.")
    scaled: NDArray[np.float64] = whole / whole[2, 2]
    return scaled


def apply_homography(matrix: NDArray[np.float64], points: ArrayLike) -> NDArray[np.float64]:
    """Carry points, shape (N, 2), through a homography; NaN where one meets the horizon."""
    given = _points(points)
    carried = np.column_stack([given, np.ones(len(given))]) @ matrix.T
    depth = np.where(np.abs(carried[:, 2:]) > 1e-12, carried[:, 2:], np.nan)
    flat: NDArray[np.float64] = carried[:, :2] / depth
    return flat


def _points(values: ArrayLike) -> NDArray[np.float64]:
    """Return points as an (N, 2) array of finite numbers."""
    points = np.asarray(values, dtype=np.float64)
    if points.ndim != 2 or points.shape[1] != 2 or not np.isfinite(points).all():
        raise CalibrationError("Points come as rows of two finite numbers.")
    return points


def _normalised(points: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return points about 0 with mean distance sqrt 2, and the map that brought them there."""
    centre = points.mean(axis=0)
    spread = float(np.linalg.norm(points - centre, axis=1).mean())
    if spread < 1e-12:
        raise CalibrationError("The points all coincide; choose points that lie apart.")
    scale = np.sqrt(2) / spread
    matrix = np.array(
        [[scale, 0, -scale * centre[0]], [0, scale, -scale * centre[1]], [0, 0, 1]],
        dtype=np.float64,
    )
    return (points - centre) * scale, matrix
