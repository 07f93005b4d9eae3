"""Plays in words, neighbours together."""

from __future__ import annotations

from collections.abc import Iterable

from gradecut.counting_words import all_listed

__all__ = ["plays_told"]


def plays_told(orders: Iterable[int]) -> str:
    """Write some plays as they are said.

    >>> plays_told([7, 1, 2, 3])
    'plays 1 to 3 and 7'
    >>> plays_told([4])
    'play 4'
    """
    runs: list[list[int]] = []
    found = sorted(set(orders))
    for order in found:
        if runs and order == runs[-1][-1] + 1:
            runs[-1].append(order)
        else:
            runs.append([order])
    told = [
        word
        for run in runs
        for word in ([f"{run[0]} to {run[-1]}"] if len(run) > 2 else map(str, run))
    ]
    return f"play{'' if len(found) == 1 else 's'} {all_listed(told)}"
