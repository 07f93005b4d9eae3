"""One play of a long recording, proposed before it is a clip."""

from __future__ import annotations

from dataclasses import dataclass

from gradecut.timebase import Pts

__all__ = ["Stretch"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """One play of a long recording: a stretch of its film.

    Attributes
    ----------
    start_pts, stop_pts : Pts
        First and last frame, both in it, in the film's time base.
    why : tuple of str
        What speaks for a play here, and what against, in plain words; empty for a stretch
        that a person set.
    confidence : float
        From 0 (a guess) to 1 (a person set it).

    Raises
    ------
    ValueError
        When it ends before it begins.
    """

    start_pts: Pts
    stop_pts: Pts
    why: tuple[str, ...] = ()
    confidence: float = 1.0

    def __post_init__(self) -> None:
        if self.stop_pts < self.start_pts:
            raise ValueError(
                f"A play can't end (at {self.stop_pts}) before it begins (at {self.start_pts})."
            )
