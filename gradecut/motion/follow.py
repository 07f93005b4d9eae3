"""Following one man from a click on his feet, until he is lost."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import islice

import cv2
import numpy as np
from numpy.typing import ArrayLike, NDArray

from gradecut.motion._man import Man, Sighting
from gradecut.motion.camera_motion import Steadier
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records.track import Track
from gradecut.timebase import Frame

__all__ = ["follow"]

Array = NDArray[np.float64]

_USUAL_HEIGHT = 1 / 10  # of the picture: a man in film that shows the whole formation
_UNSURE, _LOST_AFTER = 0.45, 6  # frames in a row
_ENOUGH_CORNERS = 8
_FADE, _FAR_HEIGHTS = 0.2, 1.0  # confidence lost for each of his heights away from the click


@dataclass(slots=True)
class _Trail:
    """What is known so far, picture by picture."""

    points: list[Array] = field(default_factory=list)
    steady: list[Array] = field(default_factory=list)
    confidence: list[float] = field(default_factory=list)
    doubts: dict[str, int] = field(default_factory=dict)
    unsure: int = 0
    far: int = 0

    def add(self, point: Array, to_start: Array, confidence: float) -> None:
        """Take one picture's place."""
        carried = to_start @ np.array([point[0], point[1], 1.0])
        self.points.append(point)
        self.steady.append(carried[:2] / carried[2])
        self.confidence.append(confidence)
        self.unsure = self.unsure + 1 if confidence < _UNSURE else 0

    def fade(self, height_px: float) -> None:
        """Trust a place less the farther it lies from the click.

        His trunk is followed, and between stance and run it shifts over his feet by half a yard.
        """
        gone = float(np.linalg.norm(self.steady[-1] - self.steady[0])) / height_px
        self.confidence[-1] *= float(np.clip(1.0 - _FADE * gone, 0.4, 1.0))
        if gone > _FAR_HEIGHTS:
            self.far += 1

    def drop_unsure(self) -> None:
        """Take back the last places, where he was already lost."""
        kept = max(len(self.points) - self.unsure, 1)
        del self.points[kept:], self.steady[kept:], self.confidence[kept:]


def follow(
    frames: Iterable[NDArray[np.uint8]],
    start: int,
    point_px: ArrayLike,
    *,
    first: int = 0,
    times: Sequence[Fraction] | None = None,
    height_px: float | None = None,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Track:
    """Follow one man through film from a click on his feet.

    Click between his feet: only feet show where he stands on the grass. The track ends where he
    can no longer be told from what is around him; click him again there.

    Parameters
    ----------
    frames : iterable of ndarray, shape (H, W, 3) RGB or (H, W) grey, uint8
        In order, all of one size. Those before ``start`` are passed over.
    start : int
        Number of the frame that was clicked.
    point_px : array_like, shape (2,)
        Between his feet, pixels of that frame, y down.
    first : int
        Number of the first frame handed over; 0 when the clip is given from its beginning.
    times : sequence of Fraction, optional
        When each frame handed over begins, seconds; needed to time his first step.
    height_px : float, optional
        How tall he is in that frame; a tenth of the picture's height when not told.
    progress, cancel : optional
        Told how far the work is; asks it to stop.

    Returns
    -------
    Track
        From ``start`` to the last frame in which he was found.

    Raises
    ------
    ValueError
        When the frame clicked is not among those given, the click lies outside the picture, the
        frames differ in size, or there are fewer times than frames.
    Cancelled
        When asked to stop.
    """
    rest = islice(iter(frames), max(start - first, 0), None)
    clicked = next(rest, None)
    if start < first or clicked is None:
        raise ValueError(f"Frame {start} is not among the frames given; hand that piece over too.")
    point = _checked(point_px, clicked.shape)
    high = _USUAL_HEIGHT * clicked.shape[0] if height_px is None else float(height_px)
    if not 8 <= high <= clicked.shape[0]:
        raise ValueError(f"A man {high:.0f} pixels tall can't be followed; give his true height.")
    steadier, man = Steadier(), Man(_grey(clicked), point, high)
    last = steadier.place(clicked).to_first
    trail, ending = _Trail(), ""
    trail.add(point, last, 1.0)
    expected = len(times) - (start - first) if times is not None else 0
    for frame in rest:
        if cancel is not None:
            cancel.check("Following a man")
        placing = steadier.place(frame)
        seen = man.find(_grey(frame), np.linalg.inv(placing.to_first) @ last)
        last = placing.to_first
        if seen is None:
            ending = "He leaves the picture."
            break
        trail.add(seen.point_px, last, _confidence(seen, trail, placed=placing.placed))
        trail.fade(high)
        if trail.unsure >= _LOST_AFTER:
            ending = "He can't be told from what is around him any more."
            break
        progress(min(len(trail.points) / max(expected, len(trail.points) + 1), 1.0), "Following")
    trail.drop_unsure()
    return _track(trail, start, times, offset=start - first, height_px=high, ending=ending)


def _checked(point_px: ArrayLike, shape: tuple[int, ...]) -> Array:
    """Return a click as an array, once it is known to lie in the picture."""
    point = np.asarray(point_px, dtype=np.float64)
    if point.shape != (2,) or not np.isfinite(point).all():
        raise ValueError("A click is one point: two numbers, in pixels.")
    if not (0 <= point[0] < shape[1] and 0 <= point[1] < shape[0]):
        raise ValueError("The click lies outside the picture; click between the man's feet.")
    return point


def _grey(frame: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Return a frame in grey, full size: a man is small enough as he is."""
    if frame.ndim == 2:
        return frame
    return np.asarray(cv2.cvtColor(frame, cv2.COLOR_RGB2GRAY), dtype=np.uint8)


def _confidence(seen: Sighting, trail: _Trail, *, placed: bool) -> float:
    """Return how sure a place is, noting what speaks against it."""
    share = min(1.0, seen.corners / _ENOUGH_CORNERS)
    confidence = float(np.clip(seen.likeness, 0.0, 1.0)) * (0.5 + 0.5 * share)
    for holds, why in (
        (share < 0.5, "Few points on him can be followed (turned, overlapped or blurred)."),
        (seen.likeness < 0.6, "He looks unlike himself a moment before (turned or overlapped)."),
        (not placed, "The camera was lost in some frames."),
    ):
        if holds:
            trail.doubts[why] = trail.doubts.get(why, 0) + 1
    return confidence if placed else 0.5 * confidence


def _track(
    trail: _Trail,
    start: int,
    times: Sequence[Fraction] | None,
    *,
    offset: int,
    height_px: float,
    ending: str,
) -> Track:
    """Return the record of a trail."""
    count = len(trail.points)
    if times is not None and len(times) < offset + count:
        raise ValueError(f"There are only {len(times)} times for the frames; give one for each.")
    doubts = [why for why, often in trail.doubts.items() if often > 0.05 * count]
    if trail.far:
        doubts.append("He ends far from the click; click his feet again on the way.")
    return Track(
        frames=tuple(Frame(start + number) for number in range(count)),
        points_px=np.array(trail.points),
        steady_px=np.array(trail.steady),
        confidence=np.round(np.array(trail.confidence), 3),
        height_px=height_px,
        times_s=() if times is None else tuple(times[offset : offset + count]),
        reasons=(*doubts, *([ending] if ending else [])),
        lost=bool(ending),
    )
