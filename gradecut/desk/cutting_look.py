"""A look through a long recording: opened, pictured all over, and searched for plays."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from gradecut.book import Book
from gradecut.desk.cutting_finding import Found, RecordingFacts, Wanted, find_plays
from gradecut.desk.cutting_pictures import CuttingPictures
from gradecut.film import open_film, sample_pictures
from gradecut.progress import CancelToken, Progress
from gradecut.timebase import Pts

__all__ = ["look_through"]

_OVERVIEW = 60
"""So many pictures of all of it come first."""
_OVERVIEW_PX = 240


def look_through(
    book: Book,
    path: str,
    wanted: Wanted,
    pictures: CuttingPictures,
    *,
    on_opened: Callable[[RecordingFacts], None],
    progress: Progress,
    cancel: CancelToken,
) -> Found:
    """Open the film, take a few pictures of all of it, then look for plays.

    Parameters
    ----------
    pictures : CuttingPictures
        Takes the small pictures that come by.
    on_opened : callable
        Told, in this thread, when the film is open.

    Raises
    ------
    FilmError
        When it can't be opened.
    Cancelled
        When asked to stop.
    """
    facts = _read_facts(path)
    pictures.set_length(facts.length_s)
    on_opened(facts)

    def keep(pts: Pts, picture: NDArray[np.uint8]) -> None:
        pictures.put(float(facts.times_s[facts.frame_of(pts)]), picture)

    every_s = max(Fraction(facts.length_s).limit_denominator(1000) / _OVERVIEW, Fraction(1))
    for pts, picture in sample_pictures(
        path, every_s=every_s, width_px=_OVERVIEW_PX, cancel=cancel
    ):
        keep(pts, picture)
    return find_plays(book, path, wanted, on_picture=keep, progress=progress, cancel=cancel)


def _read_facts(path: str) -> RecordingFacts:
    with open_film(path) as film:
        stamps = np.asarray(film.index.pts)
        times = (stamps - stamps[0]) * float(film.time_base)
    return RecordingFacts(pts=stamps, times_s=np.asarray(times, dtype=np.float64))
