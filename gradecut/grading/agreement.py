"""How far two coaches, or more, grade alike."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

import numpy as np
import numpy.typing as npt

__all__ = ["agreement_table", "cohen_kappa", "krippendorff_alpha", "weighted_kappa"]

Table = npt.ArrayLike
Metric = Literal["nominal", "ordinal", "interval", "ratio"]
_Floats = npt.NDArray[np.float64]


def agreement_table(
    first: Sequence[str | float], second: Sequence[str | float], scale: Sequence[str | float]
) -> list[list[int]]:
    """Count how two graders graded the same reps.

    Parameters
    ----------
    first, second : sequences of equal length
        The two graders' grades, rep by rep.
    scale : sequence
        Every grade there is, in order, used or not.

    Returns
    -------
    (k, k) list of counts
        Rows the first grader's grades, columns the second's.

    Raises
    ------
    ValueError
        When the lengths differ, or a grade is not on the scale.

    Examples
    --------
    >>> agreement_table(["right", "half"], ["right", "wrong"], ["right", "half", "wrong"])
    [[1, 0, 0], [0, 0, 1], [0, 0, 0]]
    """
    place = {grade: at for at, grade in enumerate(scale)}
    off = sorted({str(grade) for grade in (*first, *second) if grade not in place})
    if off:
        raise ValueError(f"“{off[0]}” is not on the scale; give every grade there is.")
    table = [[0] * len(place) for _ in place]
    for one, other in zip(first, second, strict=True):
        table[place[one]][place[other]] += 1
    return table


def cohen_kappa(table: Table) -> float | None:
    """Return Cohen's kappa of two graders: agreement beyond what chance would give.

    Parameters
    ----------
    table : (k, k) array of counts
        Rows the first grader's categories, columns the second's, in the same order.

    Returns
    -------
    float or None
        From -1 to 1; None without variation (both used one and the same category only),
        where kappa has no value.

    Raises
    ------
    ValueError
        When the table is not square, holds a negative count, or is empty.

    Notes
    -----
    J. Cohen 1960, Educ. Psychol. Meas. 20:37-46. Show the table beside it: equal
    agreement gives another kappa where the categories are used unevenly.

    Examples
    --------
    >>> round(cohen_kappa([[20, 5], [10, 15]]), 2)
    0.4
    """
    counts = _square(table)
    return weighted_kappa(counts, weights=1 - np.eye(len(counts)))


def weighted_kappa(
    table: Table, weights: Literal["linear", "quadratic"] | npt.ArrayLike = "linear"
) -> float | None:
    """Return Cohen's weighted kappa, where some disagreements are worse than others.

    Parameters
    ----------
    table : (k, k) array of counts
        As in `cohen_kappa`. Keep every step of the scale in it, used or not: with a step
        left out the others move together and kappa changes.
    weights : "linear", "quadratic" or (k, k) array
        How bad each disagreement is; 0 on the diagonal.

    Returns
    -------
    float or None
        None where chance alone would give no disagreement.

    Raises
    ------
    ValueError
        As `cohen_kappa`, or when the weights have another shape or are negative.

    Notes
    -----
    J. Cohen 1968, Psychological Bulletin 70:213-220, with disagreement weights.
    """
    counts = _square(table)
    cost = _weights(weights, len(counts))
    shares = counts / counts.sum()
    by_chance = np.outer(shares.sum(axis=1), shares.sum(axis=0))
    expected = float((cost * by_chance).sum())
    if expected == 0:
        return None
    return 1 - float((cost * shares).sum()) / expected


def krippendorff_alpha(
    ratings: Sequence[Sequence[float | None]], metric: Metric = "nominal"
) -> float | None:
    """Return Krippendorff's alpha of any number of graders, gaps allowed.

    Parameters
    ----------
    ratings : graders x units
        One row a grader, one column a unit; None (or NaN) where he did not grade it.
    metric : "nominal", "ordinal", "interval" or "ratio"
        What the values are.

    Returns
    -------
    float or None
        1 is full agreement, 0 what chance gives; None when no unit has two grades, or all
        grades are one and the same value.

    Raises
    ------
    ValueError
        When the rows differ in length, or a ratio is asked of negative values.

    Notes
    -----
    K. Krippendorff 2011, Computing Krippendorff's Alpha-Reliability: 1 - D_o / D_e from
    the coincidence matrix.
    """
    rows = [[np.nan if value is None else float(value) for value in row] for row in ratings]
    if len({len(row) for row in rows}) > 1:
        raise ValueError("Every grader needs the same units in his row; leave gaps as None.")
    values, pairs = _coincidences(np.array(rows, dtype=np.float64))
    total = float(pairs.sum())
    if total == 0:
        return None
    margins = pairs.sum(axis=0)
    cost = _distances(values, margins, metric)
    expected = float((cost * np.outer(margins, margins)).sum()) / (total - 1)
    if expected == 0:
        return None
    return 1 - float((cost * pairs).sum()) / expected


def _square(table: Table) -> _Floats:
    """Take a table of counts of two graders."""
    counts = np.asarray(table, dtype=np.float64)
    if counts.ndim != 2 or counts.shape[0] != counts.shape[1]:
        raise ValueError("A table of two graders has as many rows as columns.")
    if (counts < 0).any() or counts.sum() == 0:
        raise ValueError("A table of two graders holds counts, at least one above zero.")
    return counts


def _weights(weights: str | npt.ArrayLike, size: int) -> _Floats:
    """Return how bad each disagreement is, (size, size)."""
    steps = np.abs(np.subtract.outer(np.arange(size), np.arange(size))).astype(np.float64)
    if isinstance(weights, str):
        powers = {"linear": 1, "quadratic": 2}
        if weights not in powers:
            raise ValueError(f"Weights are linear, quadratic or a table, not “{weights}”.")
        return np.asarray(steps ** powers[weights], dtype=np.float64)
    cost = np.asarray(weights, dtype=np.float64)
    if cost.shape != (size, size) or (cost < 0).any():
        raise ValueError(f"Weights need {size} rows and columns, none below zero.")
    return cost


def _coincidences(rated: _Floats) -> tuple[_Floats, _Floats]:
    """Return the values in use and how often each pair met in a unit, (v, v)."""
    told = ~np.isnan(rated)
    paired = told & (told.sum(axis=0) >= 2)
    values = np.unique(rated[paired])
    pairs = np.zeros((len(values), len(values)))
    for unit in range(rated.shape[1] if rated.ndim == 2 else 0):
        grades = rated[paired[:, unit], unit]
        if len(grades):
            counts = (grades[:, None] == values).sum(axis=0).astype(np.float64)
            pairs += (np.outer(counts, counts) - np.diag(counts)) / (len(grades) - 1)
    return values, pairs


def _distances(values: _Floats, margins: _Floats, metric: Metric) -> _Floats:
    """Return the squared difference of each pair of values, (v, v)."""
    gaps = np.subtract.outer(values, values)
    if metric == "nominal":
        return np.asarray(gaps != 0, dtype=np.float64)
    if metric == "ordinal":
        upto = np.cumsum(margins) - margins / 2
        return np.asarray(np.subtract.outer(upto, upto) ** 2, dtype=np.float64)
    if metric == "interval":
        return np.asarray(gaps**2, dtype=np.float64)
    if (values < 0).any():
        raise ValueError("A ratio needs values of zero or more.")
    sums = np.add.outer(values, values)
    shares: _Floats = np.divide(gaps, sums, out=np.zeros_like(gaps), where=sums > 0)
    return np.asarray(shares**2, dtype=np.float64)
