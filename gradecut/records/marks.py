"""What is drawn on film."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from gradecut.records.ids import new_id
from gradecut.timebase import Pts

__all__ = ["Mark", "MarkKind", "Meaning"]

MarkKind = Literal["bracket", "ring", "arrow", "path", "lane", "text", "ruler"]
Meaning = Literal["owed", "did", "plain"]
"""Owed is hollow, did is solid; the painter chooses the hue."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """One drawing, anchored to the film.

    Attributes
    ----------
    points : tuple of (x, y)
        Pixels as displayed, origin at the top left corner, y down. A bracket has one
        point (a man's feet), a ring one (its centre), text one, an arrow or ruler two,
        a lane three or more (its outline), a path two or more.
    from_pts, to_pts : Pts
        First and last frame it is seen on, both in it; equal for one frame.
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
