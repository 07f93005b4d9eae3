"""Reels: what is shown to players."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from gradecut.records.ids import new_id

__all__ = ["Freeze", "Piece", "Reel"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Freeze:
    """The film stands still.

    Attributes
    ----------
    at_s : Fraction
        Seconds from the snap.
    hold_s : Fraction
        How long.
    """

    at_s: Fraction
    hold_s: Fraction


@dataclass(frozen=True, slots=True, kw_only=True)
class Reel:
    """A teaching cut-up: pieces in order.

    Attributes
    ----------
    question : str
        What it was built from, in the coach's words; empty when put together by hand.
    """

    id: str = field(default_factory=new_id)
    name: str
    question: str = ""
    author: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One stretch of one clip in a reel.

    Attributes
    ----------
    from_s, to_s : Fraction
        Seconds from the snap.
    speed : Fraction
        1 is the speed of life, 1/2 half of it.
    title : str
        Shown on a card before the piece; no card when empty.
    caption : str
        Painted below the film, one sentence.
    mark_ids : tuple of str
        Marks painted while it stands still, and while the film passes their frames.
    """

    id: str = field(default_factory=new_id)
    reel_id: str
    order: int
    clip_id: str
    angle_id: str
    rep_id: str | None = None
    from_s: Fraction = Fraction(-2)
    to_s: Fraction = Fraction(3)
    speed: Fraction = Fraction(1)
    freezes: tuple[Freeze, ...] = ()
    title: str = ""
    caption: str = ""
    mark_ids: tuple[str, ...] = ()
