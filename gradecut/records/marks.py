"""What is drawn on film."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from gradecut.records.ids import new_id
from gradecut.timebase import Pts

__all__ = ["Mark", "MarkKey", "MarkKind", "Meaning"]

MarkKind = Literal["bracket", "ring", "arrow", "path", "lane", "box", "text", "ruler"]
Meaning = Literal["owed", "did", "plain"]
"""Owed is hollow, did is solid; the painter chooses the hue."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkKey:
    """Where a mark that goes along with a man was set by hand at one frame.

    Attributes
    ----------
    by : (dx, dy)
        How far all its points have moved by then, in pixels as displayed.
    """

    pts: Pts
    by: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One drawing, anchored to the film or going along with a man by keys set by hand.

    Attributes
    ----------
    points : tuple of (x, y)
        Pixels as displayed, origin at the top left corner, y down. A bracket has one
        point (a man's feet), a ring one (its centre) or two (and its right edge, where it was
        made larger or smaller), text one, an arrow or ruler two, a lane three or more (its
        outline), a box two (opposite corners), a path two or more.
    from_pts, to_pts : Pts
        First and last frame it is seen on, both in it; equal for one frame.
    colour : str
        The name of one of the safe colours; empty: the hue of its meaning.
    keys : tuple of MarkKey
        In the order of their timestamps; between them it moves smoothly. Empty: it stays.
    """

    id: str = field(default_factory=new_id)
    angle_id: str
    kind: MarkKind
    points: tuple[tuple[float, float], ...]
    from_pts: Pts
    to_pts: Pts
    rep_id: str | None = None
    meaning: Meaning = "plain"
    text: str = ""
    author: str = ""
    colour: str = ""
    keys: tuple[MarkKey, ...] = ()
