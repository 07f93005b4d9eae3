"""Small pictures of plays at the snap, decoded beside the window and kept."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.book import Book
from gradecut.desk.jobs import Post
from gradecut.errors import GradecutError
from gradecut.film import open_film
from gradecut.workflows.films import path_of_film
from gradecut.workflows.moments import timeline_of

__all__ = ["Picture", "SnapPictures"]

Picture = NDArray[np.uint8]
OnReady = Callable[[Picture], None]
_KEPT = 400


class SnapPictures:
    """Gives small pictures; a play whose film can't be found gives none.

    Parameters
    ----------
    book : Book
    post : callable
        Runs what it is given in the window's thread.
    width_px : int
        Of every picture; the height keeps the film's shape.
    """

    def __init__(self, book: Book, post: Post, *, width_px: int = 320) -> None:
        self._book = book
        self._post = post
        self._width_px = width_px
        self._kept: OrderedDict[tuple[str, str | None], Picture] = OrderedDict()
        self._waiting: dict[tuple[str, str | None], list[OnReady]] = {}
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="small picture")

    def ask(self, clip_id: str, on_ready: OnReady, *, angle_id: str | None = None) -> None:
        """Hand a play's picture over, at once when it is kept; call from the window's thread.

        Parameters
        ----------
        on_ready : callable
            Takes an (H, W, 3) uint8 RGB array, in the window's thread.
        angle_id : str or None
            None for the first angle that shows the snap.
        """
        key = (clip_id, angle_id)
        if key in self._kept:
            self._kept.move_to_end(key)
            on_ready(self._kept[key])
        elif key in self._waiting:
            self._waiting[key].append(on_ready)
        else:
            self._waiting[key] = [on_ready]
            self._pool.submit(self._make, key)

    def close(self) -> None:
        """Stop; what was asked for and is not ready does not come any more."""
        self._waiting.clear()
        self._pool.shutdown(wait=True, cancel_futures=True)

    def _make(self, key: tuple[str, str | None]) -> None:
        try:
            picture = self._read(*key)
        except GradecutError:
            picture = None
        self._post(lambda: self._hand_over(key, picture))

    def _hand_over(self, key: tuple[str, str | None], picture: Picture | None) -> None:
        waiting = self._waiting.pop(key, [])
        if picture is None:
            return
        self._kept[key] = picture
        while len(self._kept) > _KEPT:
            self._kept.popitem(last=False)
        for on_ready in waiting:
            on_ready(picture)

    def _read(self, clip_id: str, angle_id: str | None) -> Picture | None:
        line = timeline_of(self._book, clip_id)
        angles = [one for one in line.angles if angle_id in (None, one.id)]
        ranked = sorted(angles, key=lambda one: line.snap(one) is None)
        if not ranked:
            return None
        angle = ranked[0]
        snap = line.snap(angle)
        with open_film(path_of_film(self._book, line.films[angle.film_id])) as film:
            number = film.frame_at_pts(angle.start_pts if snap is None else snap)
            shown = film.frame(number)
        height = max(round(shown.shape[0] * self._width_px / shown.shape[1]), 1)
        small = cv2.resize(shown, (self._width_px, height), interpolation=cv2.INTER_AREA)
        return np.ascontiguousarray(small, np.uint8)
