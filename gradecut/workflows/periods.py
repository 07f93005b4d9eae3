"""The plays of a period: from one on, all of them, or back from one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial
from itertools import takewhile

from gradecut.book import Book
from gradecut.records import Clip

__all__ = ["OFF_FILM", "PLAYS_BACK", "plays_before", "plays_of_period"]

_LAST = 4
"""So many plays back it is looked first: after a play that was confirmed, one is enough."""
PLAYS_BACK = 60
"""No period is longer: farther back than this nothing is taken over."""
OFF_FILM = ("no play", "kick")
"""Kinds whose look is not that of the runs around them, and that have none to be judged by."""


def plays_of_period(book: Book, clip: Clip, *, whole: bool = False) -> list[Clip]:
    """Return the plays of a clip's period from it on, or all of them, in order.

    A play nobody named a period of is of the period before it; where none is named at all,
    a session is one period.
    """
    plays = book.find(Clip, session_id=clip.session_id)
    names = _period_names(plays)
    at = next(place for place, one in enumerate(plays) if one.id == clip.id)
    start = stop = at
    while whole and start and names[start - 1] == names[at]:
        start -= 1
    while stop < len(plays) and names[stop] == names[at]:
        stop += 1
    return plays[start:stop]


def plays_before(book: Book, clip: Clip, *, off_film: bool = False) -> Iterator[list[Clip]]:
    """Go back through the plays of a period, the nearest first, a few and then the rest.

    A play nobody named a period of lies in the one its neighbours here are of.

    Parameters
    ----------
    off_film : bool
        Plays whose look is not that of the runs around them come too; else they are passed over.
    """
    period = clip.period
    for nearest, farthest in ((1, _LAST), (_LAST + 1, PLAYS_BACK)):
        orders = list(range(max(clip.order - farthest, 1), clip.order - nearest + 1))
        if not orders:
            return
        plays = book.find(Clip, session_id=clip.session_id, order=orders)[::-1]
        period = period or next((one.period for one in plays if one.period), "")
        same = list(takewhile(partial(_is_of, period), plays))
        yield [one for one in same if off_film or one.kind not in OFF_FILM]
        if len(same) < len(plays):
            return


def _period_names(plays: Sequence[Clip]) -> list[str]:
    """Return the period of each play; one nobody named a period of is of the one before."""
    names: list[str] = []
    for one in plays:
        names.append(one.period or (names[-1] if names else ""))
    return names


def _is_of(period: str, clip: Clip) -> bool:
    return clip.period in (period, "")
