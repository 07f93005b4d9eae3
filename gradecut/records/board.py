"""Players against situations: what the board page, the sheet and the command all show."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Board", "BoardCell", "PartRate"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRate:
    """A mean of points over the top of their scale, with what it rests on.

    Attributes
    ----------
    n : int
        Judgements in it (reps for fit and effort, items for technique).
    rate : float or None
        Share of the points there were, 0 to 1; None when n is 0.
    low, high : float or None
        Wilson 95 % interval.
    cannot : int
        Reps where this part could not be graded.
    """

    n: int
    rate: float | None
    low: float | None
    high: float | None
    cannot: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BoardCell:
    """One player (or the group) against one situation.

    Attributes
    ----------
    right, half, wrong : int
        Graded fits by how they came out.
    passed, examined : int
        Graded fits by how they were judged; together right + half + wrong.
    cannot, open, not_owed : int
        Reps that can't be graded, wait for a grade, or had no run job to grade.
    fit, technique, effort : PartRate
        The three rates; ``fit`` by the rubric's points.
    rep_ids, clip_ids : tuple of str
        Every rep of the cell, in film order, and its clips.
    """

    right: int
    half: int
    wrong: int
    passed: int
    examined: int
    cannot: int
    open: int
    not_owed: int
    fit: PartRate
    technique: PartRate
    effort: PartRate
    rep_ids: tuple[str, ...]
    clip_ids: tuple[str, ...]

    @property
    def n(self) -> int:
        """Fits that were graded."""
        return self.right + self.half + self.wrong


@dataclass(frozen=True, slots=True, kw_only=True)
class Board:
    """A table of cells.

    Attributes
    ----------
    by : tuple of str
        The facts or words the columns were cut by, such as ("concept", "run").
    columns : tuple of str
        Situations in order of first appearance; the last is "all runs".
    rows : tuple of (player id, name, "Position number")
        Players in roster order.
    cells : mapping of (player id, column) to BoardCell
        Empty cells are left out.
    group : mapping of column to BoardCell
        All players together.
    good : float
        The line drawn on every rate.
    """

    by: tuple[str, ...]
    columns: tuple[str, ...]
    rows: tuple[tuple[str, str, str], ...]
    cells: dict[tuple[str, str], BoardCell]
    group: dict[str, BoardCell]
    good: float
