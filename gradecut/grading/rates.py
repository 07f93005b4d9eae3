"""Three rates, shown as three: fit, technique, effort."""

from __future__ import annotations

from collections.abc import Sequence

from gradecut.grading.fit_results import points_of
from gradecut.grading.intervals import wilson_interval
from gradecut.records import Grade, PartRate, RepLine
from gradecut.records.rubric import Rubric

__all__ = ["lies_below", "part_rates"]

_TWO = 2


def part_rates(lines: Sequence[RepLine], rubric: Rubric) -> dict[str, PartRate]:
    """Return the rates of some reps, each over what was graded and nothing else.

    Parameters
    ----------
    lines : sequence of RepLine
        Any reps; those without a grade count for nothing.
    rubric : Rubric
        Its points and scales. A fit's result is what was frozen in the grade; its points
        are today's.

    Returns
    -------
    dict of str to PartRate
        "fit" (n counts reps), "technique" (n counts items), "effort" (n counts reps) and,
        only when the rubric has weights, "overall" (n counts the reps in which all parts
        with a weight above zero were graded; ``cannot`` those in which one can't be).
    """
    grades = [line.grade for line in lines if line.grade is not None]
    fits = [share for grade in grades if (share := _fit_share(grade, rubric)) is not None]
    items = [points / rubric.technique_top for grade in grades for points in _items(grade)]
    efforts = [share for grade in grades if (share := _effort_share(grade, rubric)) is not None]
    rates = {
        "fit": _rate(fits, _cannot(grades, "fit")),
        "technique": _rate(items, _cannot(grades, "technique")),
        "effort": _rate(efforts, _cannot(grades, "effort")),
    }
    if rubric.weights is not None:
        rates["overall"] = _overall(grades, rubric, dict(rubric.weights))
    return rates


def lies_below(part: PartRate, good: float) -> bool:
    """Tell whether a rate's whole interval lies below the line called good.

    A single judgement never does: one miss of one would, by its interval, and is no
    pattern (a man at 85 % misses one of one 15 times in 100).
    """
    return part.n >= _TWO and part.high is not None and part.high < good


def _rate(shares: Sequence[float], cannot: int) -> PartRate:
    """Average shares of the top, with the interval where one can be told."""
    n = len(shares)
    total = sum(shares)
    if n == 0:
        return PartRate(n=0, rate=None, low=None, high=None, cannot=cannot)
    # Scales below zero are a coach's right, but a share outside 0 to 1 has no such interval.
    inside = 0 <= total <= n + 1e-9
    low, high = wilson_interval(min(total, n), n) if inside else (None, None)
    return PartRate(n=n, rate=total / n, low=low, high=high, cannot=cannot)


def _overall(grades: Sequence[Grade], rubric: Rubric, weights: dict[str, float]) -> PartRate:
    """Weigh the parts together where all that carry weight were graded."""
    parts = {part: weight for part, weight in weights.items() if weight > 0}
    figures = []
    for grade in grades:
        shares = {
            "fit": _fit_share(grade, rubric),
            "technique": _technique_share(grade, rubric),
            "effort": _effort_share(grade, rubric),
        }
        told = {part: share for part in parts if (share := shares[part]) is not None}
        if len(told) == len(parts):
            weighed = sum(parts[part] * share for part, share in told.items())
            figures.append(weighed / sum(parts.values()))
    cannot = sum(any(part in grade.cannot for part in parts) for grade in grades)
    return _rate(figures, cannot)


def _fit_share(grade: Grade, rubric: Rubric) -> float | None:
    """Return a fit's points over the top; None when it was not graded."""
    points = points_of(grade.fit_result, rubric)
    return None if points is None else points / rubric.right


def _items(grade: Grade) -> list[float]:
    """Return the points of all technique items that were graded."""
    return list(grade.technique.values())


def _technique_share(grade: Grade, rubric: Rubric) -> float | None:
    """Return the mean of a rep's items over the top; None when none was graded."""
    items = _items(grade)
    return sum(items) / len(items) / rubric.technique_top if items else None


def _effort_share(grade: Grade, rubric: Rubric) -> float | None:
    """Return a rep's effort over the top; None when it was not graded."""
    return None if grade.effort is None else grade.effort / rubric.effort_top


def _cannot(grades: Sequence[Grade], part: str) -> int:
    """Count the reps in which a part can't be graded."""
    return sum(part in grade.cannot for grade in grades)
