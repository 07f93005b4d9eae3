"""Where a man stood at the snap against where he should have, for places that were measured."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from gradecut.grading.intervals import wilson_interval
from gradecut.records import Alignment, LinedUp, LinedUpVerdict, PartRate

__all__ = ["OFF_WAYS", "AlignmentResult", "grade_alignment", "lined_up_rate"]

OFF_WAYS = ("too deep", "too shallow", "too wide", "too tight", "wrong side")
"""How a man can be off his alignment (the trade's words, common practice, no source)."""

_SURE = NormalDist().inv_cdf(0.975)
"""How many sigmas hold 95 % of what a measured place may truly be."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AlignmentResult:
    """How a measured place compares with the alignment asked for.

    Attributes
    ----------
    verdict : "right", "off" or "cannot grade"
    off : tuple of str
        In which ways he was surely off, such as "too deep"; empty unless the verdict is "off".
    depth_off_yd, across_off_yd : float or None
        Measured less asked for: positive is too deep, or too wide; None where not measured.
    words : str
        The same as one short text: "1.5 yd too deep", "right", or why it can't be graded.
    """

    verdict: LinedUpVerdict
    off: tuple[str, ...] = ()
    depth_off_yd: float | None = None
    across_off_yd: float | None = None
    words: str = ""


def grade_alignment(
    expected: Alignment,
    *,
    depth_yd: float | None,
    across_yd: float | None = None,
    sigma_yd: float = 0.0,
) -> AlignmentResult:
    """Grade a measured place at the snap against the alignment a scheme asks for.

    He is right when every measured distance, with its doubt, lies within the tolerance; off
    when one surely lies beyond it; and can't be graded when the doubt reaches over the edge of
    the tolerance, or there is no tolerance, which leaves it to the coach's eye.

    Parameters
    ----------
    expected : Alignment
        Where he should line up.
    depth_yd : float or None
        How deep he stood in yards from the line of scrimmage, negative on the offence's side;
        None when it was not measured.
    across_yd : float or None
        How far he stood from his landmark in yards, positive further from the ball; None when
        it was not measured: then only his depth is judged.
    sigma_yd : float
        Standard deviation of either distance in yards; twice it (1.96) either way is taken as
        where he may truly have stood.

    Raises
    ------
    ValueError
        When a number is not finite, or ``sigma_yd`` is negative.

    Examples
    --------
    >>> asked = Alignment(depth_yd=4.5, landmark="A", tolerance_yd=1.0)
    >>> grade_alignment(asked, depth_yd=6.0, sigma_yd=0.1).words
    '1.5 yd too deep'
    """
    given = [number for number in (depth_yd, across_yd, sigma_yd) if number is not None]
    if not all(math.isfinite(number) for number in given) or sigma_yd < 0:
        raise ValueError("A measured place is told in finite yards, its doubt not below zero.")
    depth_off = None if depth_yd is None else depth_yd - expected.depth_yd
    told = [(depth_off, "too deep", "too shallow"), (across_yd, "too wide", "too tight")]
    measured = [(by, much if by > 0 else little) for by, much, little in told if by is not None]
    verdict, off, words = _judged(measured, expected.tolerance_yd, _SURE * sigma_yd)
    return AlignmentResult(
        verdict=verdict, off=off, depth_off_yd=depth_off, across_off_yd=across_yd, words=words
    )


def _judged(
    measured: Sequence[tuple[float, str]], tolerance_yd: float | None, doubt_yd: float
) -> tuple[LinedUpVerdict, tuple[str, ...], str]:
    """Judge distances (yards off, in which way) and say so."""
    if not measured:
        return "cannot grade", (), "not measured"
    if tolerance_yd is None:
        return "cannot grade", (), "the scheme gives no tolerance; judge it by eye"
    # A place exactly on the edge is right; sums of tenths miss it by a hair.
    edge = tolerance_yd + 1e-9
    beyond = [(abs(by), way) for by, way in measured if abs(by) - doubt_yd > edge]
    if beyond:
        words = ", ".join(f"{by:.1f} yd {way}" for by, way in beyond)
        return "off", tuple(way for _, way in beyond), words
    unsure = [(abs(by), way) for by, way in measured if abs(by) + doubt_yd > edge]
    if unsure:
        by, way = unsure[0]
        return "cannot grade", (), f"{by:.1f} yd {way}, give or take {doubt_yd:.1f}: too close"
    return "right", (), "right"


def lined_up_rate(words: Sequence[LinedUp | None]) -> PartRate:
    """Return how often men lined up right, over those judged right or off and nothing else.

    A count of its own: it enters no other rate. The interval is Wilson's, as in
    `gradecut.grading.wilson_interval`.

    Parameters
    ----------
    words : sequence of LinedUp or None
        One for each rep; None where nobody said anything.
    """
    said = [word.verdict for word in words if word is not None]
    right, n = said.count("right"), len(said) - said.count("cannot grade")
    if n == 0:
        return PartRate(n=0, rate=None, low=None, high=None, cannot=len(said))
    low, high = wilson_interval(right, n)
    return PartRate(n=n, rate=right / n, low=low, high=high, cannot=len(said) - n)
