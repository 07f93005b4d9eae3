"""How one small picture differs from the one before: camera, men, or another place altogether."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

__all__ = ["PairFacts", "compare_pictures", "unlike_when_laid"]

Array = NDArray[np.float64]
Grey = NDArray[np.uint8]

_CORNERS, _LEAST_CORNERS = 150, 10
_AGREED_SHARE = 0.3
_RANSAC_PX = 1.0
_LEAST_OVERLAP = 0.3
_GOOD_ENOUGH = 0.15
_SLIDE = 0.2


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PairFacts:
    """What changed between two pictures.

    Attributes
    ----------
    pan_xy : tuple of float
        How far the picture slid right and down, as a share of its width.
    laid : ndarray, shape (3, 3), float64
        Carries pixels of the first picture to pixels of the second.
    unlike : float
        0 where they agree then, 1 where they have nothing in common; between, the more men
        moved by themselves the larger.
    """

    pan_xy: tuple[float, float]
    laid: Array
    unlike: float


def compare_pictures(before: Grey, after: Grey) -> PairFacts:
    """Say what changed between two small pictures of one size.

    Parameters
    ----------
    before, after : ndarray, shape (h, w), uint8

    Raises
    ------
    ValueError
        When their sizes differ.
    """
    if before.shape != after.shape:
        raise ValueError("Pictures of one film must all have one size.")
    best: PairFacts | None = None
    for ways in (_by_corners, _by_sliding, _not_at_all):
        matrix = ways(before, after)
        facts = None if matrix is None else _facts_of(before, after, matrix)
        if facts is not None and (best is None or facts.unlike < best.unlike):
            best = facts
        if best is not None and best.unlike < _GOOD_ENOUGH:
            break
    return best or PairFacts(pan_xy=(0.0, 0.0), laid=np.eye(3), unlike=1.0)


def _facts_of(before: Grey, after: Grey, laid: Array) -> PairFacts | None:
    """Return what a camera's motion leaves unexplained; None when it leaves hardly any picture."""
    unlike = unlike_when_laid(before, after, laid)
    if unlike is None:
        return None
    height, width = before.shape
    slid = laid @ (width / 2, height / 2, 1.0) - (width / 2, height / 2)
    pan_xy = (float(slid[0]) / width, float(slid[1]) / width)
    whole = np.vstack([laid, (0.0, 0.0, 1.0)])
    return PairFacts(pan_xy=pan_xy, laid=whole, unlike=unlike)


def unlike_when_laid(before: Grey, after: Grey, laid: Array) -> float | None:
    """Return how unlike two pictures are, one laid over the other by a map of shape (2, 3).

    None when hardly any picture is left to compare.
    """
    first, second, seen = _laid_over(before, after, laid)
    return _unlike(first, second, seen) if np.mean(seen) >= _LEAST_OVERLAP else None


def _by_corners(before: Grey, after: Grey) -> Array | None:
    """Return the turn, zoom and shift most corners agree on, shape (2, 3)."""
    corners = cv2.goodFeaturesToTrack(before, _CORNERS, 0.01, 4)
    if corners is None or len(corners) < _LEAST_CORNERS:
        return None
    there, seen, _ = cv2.calcOpticalFlowPyrLK(
        before, after, corners, np.empty_like(corners), winSize=(13, 13), maxLevel=3
    )
    good = seen.ravel() == 1
    if np.count_nonzero(good) < _LEAST_CORNERS:
        return None
    matrix, agreed = cv2.estimateAffinePartial2D(
        corners[good], there[good], method=cv2.RANSAC, ransacReprojThreshold=_RANSAC_PX
    )
    count = 0 if matrix is None else int(np.count_nonzero(agreed))
    if count < max(_LEAST_CORNERS, _AGREED_SHARE * len(corners)):
        return None
    return np.asarray(matrix, dtype=np.float64)


def _by_sliding(before: Grey, after: Grey) -> Array | None:
    """Return the shift that lays the middle of one picture best over the other.

    Grass has few corners, and the lines of a field look alike: whole pixels, but never lost.
    """
    height, width = before.shape
    x, y = int(_SLIDE * width), int(_SLIDE * height)
    middle = before[y : height - y, x : width - x]
    if middle.size == 0 or int(middle.max()) == int(middle.min()):
        return None
    likeness = cv2.matchTemplate(after, middle, cv2.TM_CCOEFF_NORMED)
    _, _, _, (best_x, best_y) = cv2.minMaxLoc(likeness)
    return np.array([[1.0, 0.0, best_x - x], [0.0, 1.0, best_y - y]])


def _not_at_all(_before: Grey, _after: Grey) -> Array | None:
    """Return no motion."""
    return np.eye(2, 3)


def _laid_over(
    before: Grey, after: Grey, matrix: Array
) -> tuple[NDArray[np.float32], NDArray[np.float32], NDArray[np.bool_]]:
    """Return the first picture laid over the second, both alike in light, and where both show."""
    size = (before.shape[1], before.shape[0])
    laid = cv2.warpAffine(before, matrix, size).astype(np.float32)
    seen = cv2.warpAffine(np.full(before.shape, 255, np.uint8), matrix, size) > 250
    second = after.astype(np.float32)
    if not seen.any():
        return laid, second, seen
    # Clouds and cameras change the light of a whole picture; no man has moved by that.
    gain = float(laid[seen].std() + 1.0) / float(second[seen].std() + 1.0)
    second = (second - float(np.median(second[seen]))) * gain + float(np.median(laid[seen]))
    return laid, second, np.asarray(seen)


def _unlike(
    first: NDArray[np.float32], second: NDArray[np.float32], seen: NDArray[np.bool_]
) -> float:
    """Return one minus the correlation of two pictures where both show, a little blurred."""
    if np.count_nonzero(seen) < seen.size * 0.1:
        return 1.0
    one, other = (cv2.GaussianBlur(part, (0, 0), 1.5)[seen] for part in (first, second))
    one, other = one - one.mean(), other - other.mean()
    spread = float(np.sqrt(np.sum(one**2) * np.sum(other**2)))
    if spread < seen.size * 0.5:  # two pictures without anything in them
        return 0.0
    return 1.0 - float(np.sum(one * other)) / spread
