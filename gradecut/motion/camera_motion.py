"""How the camera moved: each frame tied to a keyframe by what stands still in both.

Chains from frame to frame drift, so corners of a keyframe are followed (pyramidal
Lucas-Kanade: Bouguet 2000, from memory) for as long as enough of them stay in view; then a new
keyframe takes over. Corners on men who move are outvoted by RANSAC (Fischler and Bolles 1981).
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["CameraMotion", "Placing", "Steadier", "follow_camera", "grey_of"]

Array = NDArray[np.float64]
Grey = NDArray[np.uint8]

_GRID = (16, 9)
_CORNERS_IN_CELL = 2
_LEAST_CORNERS = 12
_BACK_PX = 0.5
_RANSAC_PX = 0.7
_KEY_SHARE = 0.5
_KEY_OVERLAP = 0.65
_LEAST_SHARE = 0.25
_FULL_WIDTH_PX, _WORK_WIDTH_PX = 640, 960


@dataclass(frozen=True, slots=True, kw_only=True)
class Placing:
    """How one frame lies over the first.

    Attributes
    ----------
    to_first : ndarray, shape (3, 3), float64
        Carries homogeneous pixels of this frame to pixels of the first.
    inliers : int
        Corners that agree on it; 0 for a frame that could not be placed.
    placed : bool
        False when too few corners agree; ``to_first`` is then the last good one.
    """

    to_first: Array
    inliers: int
    placed: bool


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class CameraMotion:
    """How every frame of a clip lies over its first.

    Attributes
    ----------
    to_first : ndarray, shape (N, 3, 3), float64
        Each carries homogeneous pixels of its frame to pixels of the first frame.
    inliers : ndarray, shape (N,), int64
        Corners that agree; 0 where a frame could not be placed.
    placed : ndarray, shape (N,), bool
        Where a frame could not be placed its map is the last good one.
    """

    to_first: Array
    inliers: NDArray[np.int64]
    placed: NDArray[np.bool_]


def grey_of(frame: NDArray[np.uint8]) -> tuple[Grey, float]:
    """Return a frame in grey at working size, and how many working pixels one pixel makes.

    Working size is half; small film stays as it is, and 4K comes down to 960 pixels across.

    Parameters
    ----------
    frame : ndarray, shape (H, W, 3) RGB or (H, W) grey, uint8

    Raises
    ------
    ValueError
        For an array of another shape or type.
    """
    if frame.dtype != np.uint8 or frame.ndim not in (2, 3) or frame.shape[2:] not in ((), (3,)):
        raise ValueError(
            f"A frame comes as rows of RGB bytes, not as {frame.dtype} of shape {frame.shape}."
        )
    grey = frame if frame.ndim == 2 else cv2.cvtColor(frame, cv2.COLOR_RGB2GRAY)
    width = frame.shape[1]
    if width <= _FULL_WIDTH_PX:
        return np.ascontiguousarray(grey, dtype=np.uint8), 1.0
    share = min(0.5, _WORK_WIDTH_PX / width)
    size = (round(width * share), round(frame.shape[0] * share))
    return np.asarray(cv2.resize(grey, size, interpolation=cv2.INTER_AREA), dtype=np.uint8), share


class Steadier:
    """Places frames one after another; holds one keyframe and its corners."""

    def __init__(self) -> None:
        self._key: Grey | None = None
        self._corners = np.empty((0, 1, 2), dtype=np.float32)
        self._key_to_first = np.eye(3)
        self._last = np.eye(3)  # working pixels of the keyframe to the last frame placed
        self._speed = np.eye(3)

    def place(self, frame: NDArray[np.uint8]) -> Placing:
        """Place the next frame over the first one given.

        Parameters
        ----------
        frame : ndarray, shape (H, W, 3) RGB or (H, W) grey, uint8
            All frames of one size.

        Raises
        ------
        ValueError
            For a frame of another size than the first, or no picture at all.
        """
        grey, share = grey_of(frame)
        return self.place_grey(grey, share)

    def place_grey(self, grey: Grey, share: float) -> Placing:
        """Place a frame that ``grey_of`` has already made ready."""
        if self._key is None:
            self._take_key(grey, np.eye(3))
            return Placing(to_first=np.eye(3), inliers=len(self._corners), placed=True)
        if grey.shape != self._key.shape:
            raise ValueError("Frames of one clip must all have one size; cut the film there.")
        found, inliers = self._match(grey)
        if found is None:
            self._speed = np.eye(3)
            held = self._key_to_first @ np.linalg.inv(self._last)
            return Placing(to_first=_scaled(held, share), inliers=0, placed=False)
        self._speed = found @ np.linalg.inv(self._last)
        self._last = found
        to_first = self._key_to_first @ np.linalg.inv(found)
        worn = inliers < _KEY_SHARE * len(self._corners)
        if worn or _overlap(found, grey.shape) < _KEY_OVERLAP:
            self._take_key(grey, to_first)
        return Placing(to_first=_scaled(to_first, share), inliers=inliers, placed=True)

    def _take_key(self, grey: Grey, to_first: Array) -> None:
        """Follow the corners of this frame from now on."""
        self._key, self._corners = grey, _corners_of(grey)
        self._key_to_first, self._last = to_first, np.eye(3)

    def _match(self, grey: Grey) -> tuple[Array | None, int]:
        """Return the map from the keyframe to a frame, and how many corners agree on it."""
        if self._key is None or len(self._corners) < _LEAST_CORNERS:
            return None, 0
        guess = _carry(self._speed @ self._last, self._corners)
        there, seen, _ = cv2.calcOpticalFlowPyrLK(
            self._key, grey, self._corners, guess.copy(), winSize=(15, 15), maxLevel=3,
            flags=cv2.OPTFLOW_USE_INITIAL_FLOW,
        )  # fmt: skip
        back, seen_back, _ = cv2.calcOpticalFlowPyrLK(
            grey, self._key, there, self._corners.copy(), winSize=(15, 15), maxLevel=3,
            flags=cv2.OPTFLOW_USE_INITIAL_FLOW,
        )  # fmt: skip
        strayed = np.linalg.norm(back - self._corners, axis=2).ravel()
        good = (seen.ravel() == 1) & (seen_back.ravel() == 1) & (strayed < _BACK_PX)
        if np.count_nonzero(good) < _LEAST_CORNERS:
            return None, 0
        matrix, agreed = cv2.findHomography(
            self._corners[good], there[good], cv2.RANSAC, _RANSAC_PX, maxIters=500
        )
        inliers = 0 if matrix is None else int(np.count_nonzero(agreed))
        if inliers < max(_LEAST_CORNERS, _LEAST_SHARE * len(self._corners)):
            return None, 0
        return np.asarray(matrix, dtype=np.float64), inliers


def follow_camera(frames: Iterable[NDArray[np.uint8]]) -> CameraMotion:
    """Place every frame of a clip over its first.

    Parameters
    ----------
    frames : iterable of ndarray, shape (H, W, 3) RGB or (H, W) grey, uint8
        In order, all of one size; each is let go once placed.

    Returns
    -------
    CameraMotion
        Pixels of the frames as given, whatever size the work was done at.

    Raises
    ------
    ValueError
        When there is no frame, or one of another size or type.
    """
    steadier = Steadier()
    placings = [steadier.place(frame) for frame in frames]
    if not placings:
        raise ValueError("There is no frame to place; give at least one.")
    return CameraMotion(
        to_first=np.stack([placing.to_first for placing in placings]),
        inliers=np.array([placing.inliers for placing in placings], dtype=np.int64),
        placed=np.array([placing.placed for placing in placings], dtype=np.bool_),
    )


def _corners_of(grey: Grey) -> NDArray[np.float32]:
    """Return the strongest corners, spread over the picture, shape (N, 1, 2)."""
    strength = cv2.cornerMinEigenVal(grey, 5)
    peaks = np.where(strength >= cv2.dilate(strength, np.ones((7, 7), np.uint8)), strength, 0.0)
    margin = 4
    peaks[:margin], peaks[-margin:] = 0.0, 0.0
    peaks[:, :margin], peaks[:, -margin:] = 0.0, 0.0
    least = 1e-3 * float(strength.max())
    rows = np.linspace(0, grey.shape[0], _GRID[1] + 1).astype(int)
    columns = np.linspace(0, grey.shape[1], _GRID[0] + 1).astype(int)
    found = []
    for top, bottom in pairwise(rows):
        for left, right in pairwise(columns):
            cell = peaks[top:bottom, left:right]
            for place in np.argsort(cell, axis=None)[::-1][:_CORNERS_IN_CELL]:
                y, x = divmod(int(place), cell.shape[1])
                if cell[y, x] > least:
                    found.append((left + x, top + y))
    return np.array(found, dtype=np.float32).reshape(-1, 1, 2)


def _carry(matrix: Array, points: NDArray[np.float32]) -> NDArray[np.float32]:
    """Return points, shape (N, 1, 2), carried through a map."""
    return np.asarray(cv2.perspectiveTransform(points, matrix), dtype=np.float32)


def _scaled(matrix: Array, share: float) -> Array:
    """Return a map of working pixels as a map of film pixels.

    Centres of pixels lie at whole numbers, so shrinking by a share moves the origin a little.
    """
    shift = 0.5 * share - 0.5
    shrink = np.array([[share, 0, shift], [0, share, shift], [0, 0, 1]])
    whole: Array = np.linalg.inv(shrink) @ matrix @ shrink
    scaled: Array = whole / whole[2, 2]
    return scaled


def _overlap(matrix: Array, shape: tuple[int, ...]) -> float:
    """Return which share of the keyframe a frame still shows."""
    height, width = shape[:2]
    x, y = np.meshgrid(np.linspace(0, width, 9), np.linspace(0, height, 9))
    spots = np.column_stack([x.ravel(), y.ravel()]).astype(np.float32).reshape(-1, 1, 2)
    carried = _carry(matrix, spots).reshape(-1, 2)
    inside = (carried >= 0).all(axis=1) & (carried <= (width, height)).all(axis=1)
    return float(np.mean(inside))
