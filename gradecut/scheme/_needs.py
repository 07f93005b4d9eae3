"""Which open facts can still change an answer, most useful first."""

from __future__ import annotations

from collections.abc import Sequence

from gradecut.scheme._budget import Budget
from gradecut.scheme._changes import Changes
from gradecut.scheme._combinations import Combinations
from gradecut.scheme._margins import counts, present
from gradecut.scheme._product import Set

__all__ = ["named"]


def named(
    problem: Combinations,
    options: Sequence[Set],
    parts: Sequence[tuple[Set, int]],
    references: Sequence[str],
    budget: Budget,
) -> tuple[str, ...]:
    """Give the members of the smallest changes, most useful first.

    Two completions differ in the references in which both have a value and not the same one.
    A set of references is a change when two completions of different options differ inside it.
    What is asked for are the members of the smallest such sets.

    Parameters
    ----------
    problem : Combinations
        The combinations. Two values that are one way of it are never the whole of a difference:
        in either completion one may stand for the other.
    options : sequence of Set
        Where each option is the answer; together all that may be.
    parts : sequence of (Set, int)
        Sets of combinations, and how many completions each of theirs stands for, besides what
        the ways of the problem stand for.
    references : sequence of str
        The open references in file order.
    budget : Budget
        What the work is counted on.

    Raises
    ------
    TooLarge
        When the search would not end in bounded time.
    """
    changes = Changes(problem.product, options, budget)
    found = changes.singles()
    found |= changes.in_company(found, problem.product.references)
    if len(found) < 2:
        return tuple(found)
    left = _left_once_known(problem, options, parts, budget)
    return tuple(sorted((ref for ref in references if ref in found), key=left.__getitem__))


def _left_once_known(
    problem: Combinations, options: Sequence[Set], parts: Sequence[tuple[Set, int]], budget: Budget
) -> dict[str, int]:
    """Sum, over all completions, the number of options left once a reference is known."""
    product = problem.product
    ways = [present(product, looks, budget) for looks in options]
    total = [0] * len(product.references)
    for looks, weight in parts:
        found = counts(product, looks, problem.weights, budget)
        for level, by_way in enumerate(found):
            for way, count in enumerate(by_way):
                if count:
                    total[level] += weight * count * sum(one[level][way] for one in ways)
    return dict(zip(product.references, total, strict=True))
