"""One rep with everything a table, a sheet or a reel asks of it, read from the book at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from gradecut.records.footage import Clip, Session
from gradecut.records.people import Player, Side
from gradecut.records.reps import Grade, LinedUp, Rep

__all__ = ["Reaction", "RepLine"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reaction:
    """From the snap to a man's first step, as counted on film.

    Attributes
    ----------
    frames : int
        Frames from the snap's frame to the step's frame.
    time_ms : float
        By the two frames' own presentation times.
    frame_ms : float
        The true time lies within this either way: the length of a frame; on film of varying
        rate, the longer of the frame before the snap's and the frame before the step's.
    """

    frames: int
    time_ms: float
    frame_ms: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RepLine:
    """A rep, its clip, its look and its newest grade.

    Attributes
    ----------
    expected_fit : str or None
        What he owes by today's scheme and look, or by the coach's word; None when open.
    run_side : "to", "away" or None
        The run against his own side; None when either is not known.
    grade : Grade or None
        None while nobody has judged it.
    stale : bool
        The look, the coach's word or the scheme has changed since the grade was given.
    events : tuple of str
        Counted beside the grade.
    lined_up : LinedUp or None
        How he lined up; None while nobody said. A count of its own, in no grade.
    """

    session: Session
    clip: Clip
    rep: Rep
    player: Player
    look: Mapping[str, str | int | bool]
    own_side: Side | None
    run_side: Literal["to", "away"] | None
    expected_fit: str | None
    expected_side: Side | None
    expected_rule: str | None
    grade: Grade | None
    stale: bool
    reaction: Reaction | None
    events: tuple[str, ...]
    flagged: bool
    lined_up: LinedUp | None = None
