"""Why men's film may not leave the staff, in words: what is known of them, and no more."""

from __future__ import annotations

from collections.abc import Iterable

from gradecut.counting_words import all_listed
from gradecut.records import Player

__all__ = ["barred_words", "by_age_told"]

_NOT_TOLD = "whose age is not on the roster"


def by_age_told(men: Iterable[Player]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the names of men under 18, and of those whose age is not on the roster."""
    of_all = list(men)
    young = tuple(man.name for man in of_all if man.age_told)
    return young, tuple(man.name for man in of_all if not man.age_told)


def barred_words(men: Iterable[Player], young: str = "under 18 without consent on file") -> str:
    """Name men whose film may not leave the staff, each with what is known of his age.

    "under 18 without consent on file: A, B; C, whose age is not on the roster"; empty for nobody.

    Parameters
    ----------
    young : str
        What those under 18 are called.
    """
    minors, untold = by_age_told(men)
    told = [f"{young}: {', '.join(minors)}"] if minors else []
    told += [f"{all_listed(untold)}, {_NOT_TOLD}"] if untold else []
    return "; ".join(told)
