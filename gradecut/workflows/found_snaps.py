"""Snaps nobody has marked, found by how the film moves: good enough to choose a still by."""

from __future__ import annotations

from fractions import Fraction

from gradecut.errors import FilmError
from gradecut.film import open_film
from gradecut.progress import CancelToken
from gradecut.records import Angle
from gradecut.records.estimate import Estimate
from gradecut.timebase import Pts

__all__ = ["FoundSnaps"]

_WIDTH_PX, _A_SECOND = 320, 15
"""So small and so seldom it is found within a tenth of a second or so, in a tenth of the time."""
_LONGEST_S = 30
_FEWEST = 8


class FoundSnaps:
    """Finds snaps for one piece of work, each once; they are nobody's word and never stored."""

    def __init__(self) -> None:
        self._found: dict[tuple[str, Pts, Pts], Pts | None] = {}

    def snap_of(self, path: str, angle: Angle, cancel: CancelToken | None = None) -> Pts | None:
        """Find the snap of a play in its film by its motion; None where none can be told.

        A film that can't be read tells none, and is asked again the next time.

        Parameters
        ----------
        path : str
            Where the angle's film lies.

        Raises
        ------
        Cancelled
            When asked to stop.
        """
        asked = (path, angle.start_pts, angle.stop_pts)
        if asked not in self._found:
            try:
                self._found[asked] = _find(*asked, cancel)
            except FilmError:
                return None
        return self._found[asked]


def _find(path: str, start_pts: Pts, stop_pts: Pts, cancel: CancelToken | None) -> Pts | None:
    from gradecut.motion import find_snap

    with open_film(path) as film:
        first, last = film.frame_at_pts(start_pts), film.frame_at_pts(stop_pts)
        last = min(last, film.frame_at(film.time_of(first) + _LONGEST_S))
        gone_s = film.time_of(last) - film.time_of(first)
        step = max(int((last - first) / (gone_s * _A_SECOND)), 1) if gone_s else 1
        numbers = range(first, last + 1, step)
        if len(numbers) < _FEWEST:
            return None
        told = find_snap(
            (film.small(number, _WIDTH_PX) for number in numbers),
            [film.time_of(number) for number in numbers],
            cancel=cancel,
        )
        if not isinstance(told, Estimate):
            return None
        return film.pts_of(film.frame_at(Fraction(told.time_s)))
