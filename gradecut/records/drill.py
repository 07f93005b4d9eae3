"""What to work on tomorrow: a situation that goes wrong, with what that rests on."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Drill"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drill:
    """One situation that goes wrong for one man, or for the group where no man stands out.

    Attributes
    ----------
    player_id : str or None
        None for the group.
    who, situation : str
        As on the board.
    n, misses : int
        Graded fits, and those that came out half or wrong.
    high : float or None
        Upper end of the Wilson 95 % interval of his rate there.
    sure : bool
        That end lies below the line the rubric calls good, so it is not only bad luck.
    cause : str
        The cause named most often for the misses; empty when none was.
    cause_count : int
        Misses it was named for.
    miss_rep_ids, right_rep_ids : tuple of str
        The reps to show: how it goes wrong, and how it was done right; in film order.
    says : str
        One sentence for the coach, with its doubt.
    """

    player_id: str | None
    who: str
    situation: str
    n: int
    misses: int
    high: float | None
    sure: bool
    cause: str
    cause_count: int
    miss_rep_ids: tuple[str, ...]
    right_rep_ids: tuple[str, ...]
    says: str
