"""Small grey pictures of a long recording, those that are looked at first."""

from __future__ import annotations

import threading
from bisect import bisect_left, insort
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from os import PathLike, fspath

import cv2
import numpy as np
from numpy.typing import NDArray
from psygnal import Signal

from gradecut.desk.jobs import Post
from gradecut.errors import Cancelled, FilmError
from gradecut.film import sample_pictures
from gradecut.progress import CancelToken

__all__ = ["CuttingPictures"]

Grey = NDArray[np.uint8]

WIDTH_PX = 128
_LEAST_APART_S = 0.9
_MOST = 6000


@dataclass(frozen=True, slots=True, kw_only=True)
class _Wish:
    from_s: float
    to_s: float
    every_s: float


class CuttingPictures:
    """Keeps pictures by their time, and fetches missing ones in a thread of its own.

    Parameters
    ----------
    path : path
        The recording.
    post : callable
        Has the window's thread do something.

    Signals
    -------
    came
        Pictures have come; in the window's thread, once for all that came meanwhile.
    """

    came = Signal()

    def __init__(self, path: str | PathLike[str], post: Post) -> None:
        self._path = fspath(path)
        self._post, self._told = post, False
        self._lock = threading.Condition()
        self._times: list[float] = []
        self._pictures: dict[float, Grey] = {}
        self._apart_s = _LEAST_APART_S
        self._wish: _Wish | None = None
        self._token = CancelToken()
        self._closed = False
        self._thread = threading.Thread(target=self._serve, name="strip", daemon=True)
        self._thread.start()

    def set_length(self, length_s: float) -> None:
        """Tell how long the film is: of a very long one fewer pictures a minute are kept."""
        with self._lock:
            self._apart_s = max(_LEAST_APART_S, length_s / _MOST)

    def put(self, time_s: float, picture: Grey) -> None:
        """Keep a picture, made smaller, unless there is one close by; from any thread."""
        with self._lock:
            if not self._is_wanted(time_s):
                return
        height = max(round(picture.shape[0] * WIDTH_PX / picture.shape[1]), 1)
        small = cv2.resize(picture, (WIDTH_PX, height), interpolation=cv2.INTER_AREA)
        with self._lock:
            if time_s not in self._pictures:
                insort(self._times, time_s)
                self._pictures[time_s] = np.asarray(small, dtype=np.uint8)
        if not self._told:
            self._told = True
            self._post(self._heard)

    def _heard(self) -> None:
        self._told = False
        if not self._closed:
            self.came.emit()

    def nearest(self, time_s: float, within_s: float) -> tuple[float, Grey] | None:
        """Return the picture nearest to a time, with its own; None where none is near."""
        with self._lock:
            place = bisect_left(self._times, time_s)
            near = self._times[max(place - 1, 0) : place + 1]
            best = min(near, key=lambda one: abs(one - time_s), default=None)
            if best is None or abs(best - time_s) > within_s:
                return None
            return best, self._pictures[best]

    def want(self, from_s: float, to_s: float, every_s: float) -> None:
        """Fetch what is missing of a stretch that is looked at; the newest wish counts."""
        every_s = max(every_s, self._apart_s)
        with self._lock:
            steps = max(int((to_s - from_s) / every_s), 1)
            missing = [
                from_s + (step + 0.5) * every_s
                for step in range(steps)
                if self._lacks(from_s + (step + 0.5) * every_s, every_s)
            ]
            self._token.cancel()
            self._wish = None
            if missing and not self._closed:
                self._wish = _Wish(
                    from_s=max(missing[0] - every_s, 0.0), to_s=missing[-1] + every_s,
                    every_s=every_s,
                )  # fmt: skip
                self._token = CancelToken()
                self._lock.notify()

    def close(self) -> None:
        """Stop fetching."""
        with self._lock:
            self._closed = True
            self._token.cancel()
            self._lock.notify()
        self._thread.join()

    def _is_wanted(self, time_s: float) -> bool:
        return self._lacks(time_s, self._apart_s)

    def _lacks(self, time_s: float, within_s: float) -> bool:
        place = bisect_left(self._times, time_s)
        near = self._times[max(place - 1, 0) : place + 1]
        return all(abs(one - time_s) >= within_s for one in near)

    def _serve(self) -> None:
        while True:
            with self._lock:
                while self._wish is None and not self._closed:
                    self._lock.wait()
                if self._closed:
                    return
                wish, token, self._wish = self._wish, self._token, None
            if wish is not None:
                self._fetch(wish, token)

    def _fetch(self, wish: _Wish, token: CancelToken) -> None:
        """Fetch one wish; a newer one ends it. Faults are told where the film is looked through."""
        try:
            pictures = sample_pictures(
                self._path,
                every_s=Fraction(wish.every_s).limit_denominator(1000),
                width_px=WIDTH_PX,
                start_s=Fraction(wish.from_s).limit_denominator(1000),
                stop_s=Fraction(wish.to_s).limit_denominator(1000),
                cancel=token,
            )
            time_of = self._clock()
            for pts, picture in pictures:
                self.put(time_of(pts), picture)
        except (Cancelled, FilmError):
            return

    def _clock(self) -> Callable[[int], float]:
        """Return how a timestamp becomes seconds from the first frame."""
        from gradecut.film.indexing.index_store import index_of

        _, index = index_of(self._path)
        first, tick_s = int(index.pts[0]), float(index.facts.time_base)
        return lambda pts: (pts - first) * tick_s
