"""Where one man was, picture by picture, with how far to trust each place."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from gradecut.timebase import Frame

__all__ = ["Track"]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Track:
    """One man followed through film, up to where he was lost.

    Attributes
    ----------
    frames : tuple of Frame
        N frame numbers, each one more than the last; the first is the one clicked.
    points_px : ndarray, shape (N, 2), float64
        Where he is in each of these frames, pixels of that frame, y down; no missing values,
        since the track ends where he is lost.
    steady_px : ndarray, shape (N, 2), float64
        The same places with the camera's motion taken out: pixels of the first of these frames.
        One calibration of that frame turns them all into yards.
    confidence : ndarray, shape (N,), float64
        From 0 (a guess) to 1, for each frame.
    height_px : float
        How tall he was taken to be in the first frame, pixels.
    times_s : tuple of Fraction
        When each frame begins, seconds from the first displayed frame; empty when not told.
    reasons : tuple of str
        What speaks against the track, and why it ends where it ends, in plain words.
    lost : bool
        Whether he was lost before the film was over.

    Raises
    ------
    ValueError
        When the parts differ in length or the track is empty.
    """

    frames: tuple[Frame, ...]
    points_px: NDArray[np.float64]
    steady_px: NDArray[np.float64]
    confidence: NDArray[np.float64]
    height_px: float
    times_s: tuple[Fraction, ...] = ()
    reasons: tuple[str, ...] = ()
    lost: bool = False

    def __post_init__(self) -> None:
        """Hold the parts to one length."""
        count = len(self.frames)
        shapes = (self.points_px.shape, self.steady_px.shape, self.confidence.shape)
        if not count or shapes != ((count, 2), (count, 2), (count,)):
            raise ValueError("A track needs a place and a confidence for each of its frames.")
        if self.times_s and len(self.times_s) != count:
            raise ValueError("A track's times must match its frames one by one.")
