"""A man's side in a coach's words."""

from __future__ import annotations

from gradecut.scheme import FollowedSide, Position, fact_words

__all__ = ["side_words"]

_PLAIN = {
    "left": "always left",
    "right": "always right",
    "none": "no side",
    "as aligned": "where he lines up",
}


def side_words(man: Position) -> str:
    """Say on which side a man is: "strength side", "away from strength"."""
    side = man.side
    if isinstance(side, FollowedSide):
        name = fact_words(side.fact)
        return f"away from {name}" if side.opposite else f"{name} side"
    return _PLAIN[side]
