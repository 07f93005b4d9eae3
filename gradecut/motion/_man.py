"""What one man looks like from picture to picture: a cluster of corners and a patch."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["Man", "Sighting"]

Array = NDArray[np.float64]
Grey = NDArray[np.uint8]

_HALF_WIDE, _TOP, _BOTTOM = 0.16, 0.97, 0.3  # of his height: where his trunk and head are
_MOST_CORNERS = 24
_FEW_CORNERS = 4
_BACK_PX = 1.0
_STRAY = 0.09  # of his height: a corner that far off the others is not on his trunk
_SEARCH = 0.12
_SURE, _FRESH = 0.6, 0.82


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighting:
    """Where he was found in one picture.

    Attributes
    ----------
    point_px : ndarray, shape (2,)
        His feet.
    likeness : float
        How well the patch agrees, -1 to 1.
    corners : int
        How many of his corners were followed.
    """

    point_px: Array
    likeness: float
    corners: int


class Man:
    """Holds his last picture, corners and patch; finds him in the next picture."""

    def __init__(self, grey: Grey, point_px: Array, height_px: float) -> None:
        self._grey = grey
        self._point = point_px.astype(np.float64)
        self._height = height_px
        self._speed = np.zeros(2)
        self._corners = self._fresh_corners()
        self._patch = self._cut(grey, self._point)

    @property
    def point_px(self) -> Array:
        """Where his feet were last, pixels."""
        return self._point.copy()

    def find(self, grey: Grey, motion: Array) -> Sighting | None:
        """Find him in the next picture.

        Parameters
        ----------
        grey : ndarray, shape (H, W), uint8
        motion : ndarray, shape (3, 3)
            The camera's motion: pixels of the last picture to pixels of this one.

        Returns
        -------
        Sighting or None
            None when he has left the picture.
        """
        self._height *= _local_scale(motion, self._point)
        still = _carried(motion, self._point[None])[0]
        moved, corners = self._follow_corners(grey, motion)
        guess = still + (self._speed if moved is None else moved)
        match = self._match(grey, guess)
        if match is None:
            return None
        shift, likeness = match
        # His corners know best how he moves; where they fail, the patch leads.
        point = guess + shift if moved is None and likeness > _SURE else guess
        self._speed = 0.5 * self._speed + 0.5 * (point - still)
        self._grey, self._point = grey, point
        if len(self._corners) < _MOST_CORNERS // 2 and likeness > _SURE:
            self._corners = self._fresh_corners()
        if _SURE < likeness < _FRESH:
            patch = self._cut(grey, point)
            self._patch = self._patch if patch is None else patch
        return Sighting(point_px=point.copy(), likeness=likeness, corners=corners)

    def _box(self, point: Array) -> tuple[int, int, int, int]:
        """Return left, top, right, bottom of his trunk and head."""
        x, y = point
        half, high = _HALF_WIDE * self._height, self._height
        return round(x - half), round(y - _TOP * high), round(x + half), round(y - _BOTTOM * high)

    def _cut(self, grey: Grey, point: Array) -> Grey | None:
        """Return the picture of his trunk and head; None when part of it is out of the picture."""
        left, top, right, bottom = self._box(point)
        if left < 0 or top < 0 or right > grey.shape[1] or bottom > grey.shape[0]:
            return None
        return grey[top:bottom, left:right].copy()

    def _fresh_corners(self) -> NDArray[np.float32]:
        """Return corners on his trunk and head, shape (N, 1, 2)."""
        mask = np.zeros(self._grey.shape, dtype=np.uint8)
        left, top, right, bottom = np.maximum(self._box(self._point), 0)
        mask[top:bottom, left:right] = 1
        # OpenCV gives None for no corner, whatever its type hints say.
        found: object = cv2.goodFeaturesToTrack(
            self._grey, _MOST_CORNERS, 0.02, max(2.0, 0.04 * self._height), mask=mask, blockSize=3
        )
        if not isinstance(found, np.ndarray):
            return np.empty((0, 1, 2), dtype=np.float32)
        return found.astype(np.float32)

    def _follow_corners(self, grey: Grey, motion: Array) -> tuple[Array | None, int]:
        """Follow his corners; return his own motion beyond the camera's, and how many agree."""
        old = self._corners
        if len(old) < _FEW_CORNERS:
            return None, len(old)
        still = _carried(motion, old.reshape(-1, 2))
        guess = (still + self._speed).astype(np.float32).reshape(-1, 1, 2)
        window = (max(9, int(0.16 * self._height) | 1),) * 2
        new, seen, _ = cv2.calcOpticalFlowPyrLK(
            self._grey, grey, old, guess.copy(), winSize=window, maxLevel=2,
            flags=cv2.OPTFLOW_USE_INITIAL_FLOW,
        )  # fmt: skip
        back, seen_back, _ = cv2.calcOpticalFlowPyrLK(
            grey, self._grey, new, old.copy(), winSize=window, maxLevel=2,
            flags=cv2.OPTFLOW_USE_INITIAL_FLOW,
        )  # fmt: skip
        strayed = np.linalg.norm(back - old, axis=2).ravel()
        own = new.reshape(-1, 2) - still
        good = (seen.ravel() == 1) & (seen_back.ravel() == 1) & (strayed < _BACK_PX)
        if np.count_nonzero(good) < _FEW_CORNERS:
            self._corners = new[good]
            return None, int(np.count_nonzero(good))
        middle = np.median(own[good], axis=0)
        good &= np.linalg.norm(own - middle, axis=1) < _STRAY * self._height
        self._corners = self._within(new[good], _carried(motion, self._point[None])[0] + middle)
        if not good.any():
            return None, 0
        return np.asarray(np.median(own[good], axis=0)), int(np.count_nonzero(good))

    def _within(self, corners: NDArray[np.float32], point: Array) -> NDArray[np.float32]:
        """Return the corners still on his trunk and head."""
        left, top, right, bottom = self._box(point)
        slack = 0.05 * self._height
        x, y = corners[:, 0, 0], corners[:, 0, 1]
        inside = (x > left - slack) & (x < right + slack) & (y > top - slack) & (y < bottom + slack)
        return corners[inside]

    def _match(self, grey: Grey, guess: Array) -> tuple[Array, float] | None:
        """Return how far from a guess his patch fits best, and how well.

        The score is the normalised cross-correlation of zero-mean patches (Lewis 1995, Fast
        normalized cross-correlation; from memory).
        """
        height, width = grey.shape
        if not (0 <= guess[0] < width and 0 <= guess[1] < height):
            return None
        if self._patch is None:
            self._patch = self._cut(grey, guess)
            return None if self._patch is None else (np.zeros(2), 0.0)
        reach = max(2, round(_SEARCH * self._height))
        left, top, _, _ = self._box(guess)
        rows, columns = self._patch.shape
        x0, y0 = left - reach, top - reach
        if x0 < 0 or y0 < 0 or left + columns + reach > width or top + rows + reach > height:
            return None
        area = grey[y0 : top + rows + reach, x0 : left + columns + reach]
        scores = cv2.matchTemplate(area, self._patch, cv2.TM_CCOEFF_NORMED)
        _, likeness, _, place = cv2.minMaxLoc(np.nan_to_num(scores))
        return np.array(place, dtype=np.float64) - reach, float(likeness)


def _carried(matrix: Array, points: NDArray[np.floating]) -> Array:
    """Return points, shape (N, 2), carried through a map."""
    whole = np.column_stack([points, np.ones(len(points))]) @ matrix.T
    flat: Array = whole[:, :2] / whole[:, 2:]
    return flat


def _local_scale(matrix: Array, point: Array) -> float:
    """Return how much larger a map shows what lies at a point."""
    corners = _carried(matrix, point + np.array([(-1.0, 0.0), (1.0, 0.0), (0.0, -1.0), (0.0, 1.0)]))
    across, down = corners[1] - corners[0], corners[3] - corners[2]
    return float(np.sqrt(abs(across[0] * down[1] - across[1] * down[0])) / 2)
