"""Keys of a mark that goes along with a man: set by hand at a frame, taken away, thinned."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import hypot

from gradecut.desk.mark_shape import Point, moved
from gradecut.drawing import moved_by_px
from gradecut.records import Mark, MarkKey
from gradecut.timebase import Pts

__all__ = ["few_keys", "with_key", "with_keys", "without_key"]


def with_key(mark: Mark, pts: Pts, by: Point | None = None) -> Mark:
    """Return a mark set by hand at a timestamp; it is seen there from then on.

    Parameters
    ----------
    by : (dx, dy), optional
        How far it has moved by then, in pixels; None: where it is then anyway.
    """
    there = moved_by_px(mark.keys, pts) if by is None else by
    others = [key for key in mark.keys if key.pts != pts]
    return _stretched(mark, [*others, MarkKey(pts=pts, by=there)])


def with_keys(mark: Mark, keys: Sequence[MarkKey]) -> Mark:
    """Return a mark set anew at all timestamps from the first of these keys to the last."""
    first, last = keys[0].pts, keys[-1].pts
    others = [key for key in mark.keys if not first <= key.pts <= last]
    return _stretched(mark, [*others, *keys])


def _stretched(mark: Mark, keys: Sequence[MarkKey]) -> Mark:
    ordered = tuple(sorted(keys, key=lambda key: key.pts))
    return replace(
        mark,
        keys=ordered,
        from_pts=min(mark.from_pts, ordered[0].pts),
        to_pts=max(mark.to_pts, ordered[-1].pts),
    )


def without_key(mark: Mark, pts: Pts) -> Mark:
    """Return a mark without the key at a timestamp; without its last it stands where that was."""
    others = tuple(key for key in mark.keys if key.pts != pts)
    if others or not mark.keys:
        return replace(mark, keys=others)
    return replace(moved(mark, mark.keys[0].by), keys=())


def few_keys(keys: Sequence[MarkKey], tolerance_px: float) -> tuple[MarkKey, ...]:
    """Leave keys out where the mark comes within a tolerance of them without.

    It begins with the first and the last, and adds the key that is missed most until none is
    missed by more.
    """
    kept = [keys[0], keys[-1]] if len(keys) > 1 else list(keys)
    while True:
        misses = [_miss(kept, key) for key in keys]
        worst = max(range(len(keys)), key=misses.__getitem__)
        if misses[worst] <= tolerance_px:
            return tuple(kept)
        kept = sorted([*kept, keys[worst]], key=lambda key: key.pts)


def _miss(kept: Sequence[MarkKey], key: MarkKey) -> float:
    x, y = moved_by_px(kept, key.pts)
    return hypot(x - key.by[0], y - key.by[1])
