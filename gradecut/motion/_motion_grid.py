"""How much each piece of the field stirs from picture to picture, with the camera held still."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.motion.camera_motion import Placing, Steadier, grey_of
from gradecut.progress import CancelToken, Progress

__all__ = ["MotionGrid", "motion_grid", "strip_along"]

Array = NDArray[np.float64]

COLUMNS, ROWS = 64, 36
_APART_S = Fraction(1, 30)
_SEEN_SHARE = 0.5
_SATURATED = 6.0  # grey levels; a man in white must not outweigh one in dark
_STRIP_SHARE = 0.05
_BODIES_SHARE = 0.03


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class MotionGrid:
    """Motion on a grid laid over the first frame.

    Attributes
    ----------
    stir : ndarray, shape (N, 36, 64), float32
        Mean change of grey since about 1/30 s before, above the median of the picture, from 0 to
        6 grey levels; NaN for the first frame, out of view, and where the camera was lost.
    times_s : ndarray, shape (N,), float64
        When each frame begins.
    placed : ndarray, shape (N,), bool
        Whether the camera's motion was found.
    to_first : ndarray, shape (N, 3, 3), float64
        Pixels of each frame to pixels of the first.
    size_px : tuple of int
        Width and height of the frames.
    """

    stir: NDArray[np.float32]
    times_s: Array
    placed: NDArray[np.bool_]
    to_first: Array
    size_px: tuple[int, int]


def motion_grid(
    frames: Iterable[NDArray[np.uint8]],
    times: Sequence[Fraction],
    *,
    progress: Progress,
    cancel: CancelToken | None,
) -> MotionGrid | None:
    """Measure how every cell stirs; None when there is no frame at all.

    Raises
    ------
    ValueError
        When frames and times differ in number, or the frames in size.
    Cancelled
        When asked to stop.
    """
    steadier, held = Steadier(), deque[tuple[Fraction, NDArray[np.uint8], NDArray[np.uint8]]]()
    stirs: list[NDArray[np.float32]] = []
    placings: list[Placing] = []
    size_px = (0, 0)
    for number, frame in enumerate(frames):
        if cancel is not None:
            cancel.check("Looking for the snap")
        if number >= len(times):
            raise ValueError(f"There are more frames than the {len(times)} times; give all times.")
        grey, share = grey_of(frame)
        placing = steadier.place_grey(grey, share)
        size_px = (frame.shape[1], frame.shape[0])
        laid, seen = _laid_over_first(grey, placing.to_first, share)
        # The newest frame at least 1/30 s back, so that fast film shows as much motion as slow.
        while len(held) > 1 and times[number] - held[1][0] >= _APART_S * Fraction(9, 10):
            held.popleft()
        stirs.append(_stir(laid, seen, held[0]) if held and placing.placed else _nothing())
        if placing.placed:
            held.append((times[number], laid, seen))
        placings.append(placing)
        progress((number + 1) / len(times), "Looking for the snap")
    if not placings:
        return None
    if len(placings) != len(times):
        raise ValueError(f"There are {len(placings)} frames but {len(times)} times; match them.")
    return MotionGrid(
        stir=np.stack(stirs),
        times_s=np.array([float(time) for time in times]),
        placed=np.array([placing.placed for placing in placings], dtype=np.bool_),
        to_first=np.stack([placing.to_first for placing in placings]),
        size_px=size_px,
    )


def strip_along(line_px: Array, size_px: tuple[int, int]) -> NDArray[np.bool_]:
    """Return the cells along a line on the grass where the men on it stand, shape (36, 64).

    Men stand on the line with their feet, so the strip lies a little higher in the picture.
    """
    width, height = size_px
    x, y = np.meshgrid(
        (np.arange(COLUMNS) + 0.5) * width / COLUMNS, (np.arange(ROWS) + 0.5) * height / ROWS
    )
    centres = np.stack([x, y], axis=-1)
    start, end = line_px - (0.0, _BODIES_SHARE * width)
    along = end - start
    part = np.clip((centres - start) @ along / max(float(along @ along), 1e-9), 0, 1)
    away = np.linalg.norm(centres - start - part[..., None] * along, axis=-1)
    return np.asarray(away < _STRIP_SHARE * width, dtype=np.bool_)


def _nothing() -> NDArray[np.float32]:
    """Return a grid on which nothing is known."""
    return np.full((ROWS, COLUMNS), np.nan, dtype=np.float32)


def _laid_over_first(
    grey: NDArray[np.uint8], to_first: Array, share: float
) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """Return a frame as the first frame's camera would show it, and where it shows anything."""
    shift = 0.5 * share - 0.5
    shrink = np.array([[share, 0, shift], [0, share, shift], [0, 0, 1]])
    matrix = shrink @ to_first @ np.linalg.inv(shrink)
    size = (grey.shape[1], grey.shape[0])
    laid = cv2.warpPerspective(grey, matrix, size)
    seen = cv2.warpPerspective(np.full(grey.shape, 255, np.uint8), matrix, size)
    return np.asarray(laid, dtype=np.uint8), np.asarray(seen > 250, dtype=np.uint8)


def _stir(
    laid: NDArray[np.uint8],
    seen: NDArray[np.uint8],
    earlier: tuple[Fraction, NDArray[np.uint8], NDArray[np.uint8]],
) -> NDArray[np.float32]:
    """Return the change since an earlier frame, cell by cell.

    The median of the picture is taken off, because a keyframe of the film's coding refreshes
    all cells at once.
    """
    both = (seen & earlier[2]).astype(np.float32)
    change = cv2.absdiff(laid, earlier[1]).astype(np.float32) * both
    size = (COLUMNS, ROWS)
    total = cv2.resize(change, size, interpolation=cv2.INTER_AREA)
    share = cv2.resize(both, size, interpolation=cv2.INTER_AREA)
    known = share > _SEEN_SHARE
    if not known.any():
        return _nothing()
    cells = np.where(known, total / np.maximum(share, 1e-6), np.nan)
    above = np.clip(cells - np.nanmedian(cells), 0.0, _SATURATED)
    return np.asarray(above, dtype=np.float32)
