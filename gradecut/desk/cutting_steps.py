"""Corrections to the plays proposed for a recording: each takes the plays and gives new ones.

Plays are frame ranges of one film, in order, none over another. A correction that can't be
made gives back the very plays it was given.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from gradecut.timebase import Frame

__all__ = [
    "Cut",
    "Cuts",
    "drop",
    "insert",
    "join_next",
    "kept",
    "move_edge",
    "place_at",
    "split",
    "with_found",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """One play of a recording.

    Attributes
    ----------
    first, last : Frame
        First and last frame, both in it.
    why : tuple of str
        What speaks for it; empty when a person set it.
    confidence : float
        From 0 to 1; 1 when a person set it.
    dropped : bool
        Not to be added; it keeps its place, so that it can be brought back.
    """

    first: Frame
    last: Frame
    why: tuple[str, ...] = ()
    confidence: float = 1.0
    dropped: bool = False


Cuts = tuple[Cut, ...]


def kept(cuts: Cuts) -> Cuts:
    """Return the plays that are to be added."""
    return tuple(cut for cut in cuts if not cut.dropped)


def place_at(cuts: Cuts, frame: int) -> int | None:
    """Return the place of the play a frame lies in; None between plays."""
    for place, cut in enumerate(cuts):
        if cut.first <= frame <= cut.last:
            return place
    return None


def join_next(cuts: Cuts, place: int) -> Cuts:
    """Join a play with the next one that is kept, and all that lies between."""
    following = [at for at in range(place + 1, len(cuts)) if not cuts[at].dropped]
    if not 0 <= place < len(cuts) or cuts[place].dropped or not following:
        return cuts
    joined = Cut(first=cuts[place].first, last=cuts[following[0]].last)
    return (*cuts[:place], joined, *cuts[following[0] + 1 :])


def split(cuts: Cuts, place: int, frame: int) -> Cuts:
    """Split a play in two; the second begins at a frame inside it."""
    if not 0 <= place < len(cuts) or not cuts[place].first < frame <= cuts[place].last:
        return cuts
    cut = cuts[place]
    halves = (
        Cut(first=cut.first, last=Frame(frame - 1), dropped=cut.dropped),
        Cut(first=Frame(frame), last=cut.last, dropped=cut.dropped),
    )
    return (*cuts[:place], *halves, *cuts[place + 1 :])


def drop(cuts: Cuts, place: int) -> Cuts:
    """Drop a play, or bring it back when it is dropped."""
    if not 0 <= place < len(cuts):
        return cuts
    turned = replace(cuts[place], dropped=not cuts[place].dropped)
    return (*cuts[:place], turned, *cuts[place + 1 :])


def move_edge(
    cuts: Cuts, place: int, *, first: int | None = None, last: int | None = None, count: int
) -> Cuts:
    """Move an edge of a play to a frame, no further than its neighbours and the film reach.

    Parameters
    ----------
    count : int
        Frames of the film.
    """
    if not 0 <= place < len(cuts):
        return cuts
    cut = cuts[place]
    least = cuts[place - 1].last + 1 if place else 0
    most = cuts[place + 1].first - 1 if place + 1 < len(cuts) else count - 1
    goal_last = cut.last if last is None else min(max(last, cut.first), most)
    goal_first = cut.first if first is None else max(min(first, goal_last), least)
    if (goal_first, goal_last) == (cut.first, cut.last):
        return cuts
    moved = Cut(first=Frame(goal_first), last=Frame(goal_last), dropped=cut.dropped)
    return (*cuts[:place], moved, *cuts[place + 1 :])


def insert(cuts: Cuts, first: int, last: int, *, at: int, count: int) -> Cuts:
    """Put a play in around a frame that lies in none, as far as its neighbours leave room."""
    if not 0 <= at < count or place_at(cuts, at) is not None:
        return cuts
    before = tuple(cut for cut in cuts if cut.last < at)
    after = tuple(cut for cut in cuts if cut.first > at)
    least = before[-1].last + 1 if before else 0
    most = after[0].first - 1 if after else count - 1
    made = Cut(first=Frame(max(min(first, at), least)), last=Frame(min(max(last, at), most)))
    return (*before, made, *after)


def with_found(cuts: Cuts, found: Iterable[Cut]) -> Cuts:
    """Put plays in that were found, where none lies in the way."""
    for one in found:
        if all(one.last < cut.first or one.first > cut.last for cut in cuts):
            cuts = tuple(sorted((*cuts, one), key=lambda cut: cut.first))
    return cuts
