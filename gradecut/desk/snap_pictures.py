"""Small pictures of plays, whole at the snap or cut to a man, decoded beside the window."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.book import Book
from gradecut.desk.jobs import Post
from gradecut.desk.man_pictures import cut_to_man, shown_best
from gradecut.errors import GradecutError
from gradecut.film import open_film
from gradecut.records import Angle, Mark
from gradecut.timebase import Pts
from gradecut.workflows.films import path_of_film
from gradecut.workflows.moments import Timeline, timeline_of

__all__ = ["OnReady", "Picture", "SnapPictures"]

Picture = NDArray[np.uint8]
OnReady = Callable[[Picture], None]
_KEPT = 400


@dataclass(frozen=True, slots=True)
class _Wanted:
    """A picture that was asked for: of an angle, or of what is drawn at a man."""

    clip_id: str
    angle_id: str | None = None
    marks: tuple[Mark, ...] = ()
    right: bool | None = None


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
        self._kept: OrderedDict[_Wanted, Picture] = OrderedDict()
        self._waiting: dict[_Wanted, list[OnReady]] = {}
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
        self._ask(_Wanted(clip_id, angle_id), on_ready)

    def ask_man(
        self, clip_id: str, marks: tuple[Mark, ...], on_ready: OnReady, *, right: bool | None
    ) -> None:
        """Hand over a picture cut to a man, with what is drawn at him, as `ask` does.

        Parameters
        ----------
        marks : tuple of Mark
            His, at least one; the frame that shows most of them is taken.
        on_ready : callable
            As for `ask`; the array is 16 wide to 9 high.
        right : bool or None
            Whether he was graded right; None while he is not graded.
        """
        self._ask(_Wanted(clip_id, None, marks, right), on_ready)

    def _ask(self, key: _Wanted, on_ready: OnReady) -> None:
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

    def _make(self, key: _Wanted) -> None:
        try:
            picture = self._read(key)
        except GradecutError:
            picture = None
        self._post(lambda: self._hand_over(key, picture))

    def _hand_over(self, key: _Wanted, picture: Picture | None) -> None:
        waiting = self._waiting.pop(key, [])
        if picture is None:
            return
        self._kept[key] = picture
        while len(self._kept) > _KEPT:
            self._kept.popitem(last=False)
        for on_ready in waiting:
            on_ready(picture)

    def _read(self, key: _Wanted) -> Picture | None:
        line = timeline_of(self._book, key.clip_id)
        if key.marks:
            angle_id, pts, marks = shown_best(key.marks)
            angle = next((one for one in line.angles if one.id == angle_id), None)
            if angle is None:
                return None
            frame = self._frame(line, angle, pts)
            return self._small(cut_to_man(frame, marks, right=key.right))
        angles = [one for one in line.angles if key.angle_id in (None, one.id)]
        ranked = sorted(angles, key=lambda one: line.snap(one) is None)
        if not ranked:
            return None
        snap = line.snap(ranked[0])
        pts = ranked[0].start_pts if snap is None else snap
        return self._small(self._frame(line, ranked[0], pts))

    def _frame(self, line: Timeline, angle: Angle, pts: Pts) -> Picture:
        with open_film(path_of_film(self._book, line.films[angle.film_id])) as film:
            return film.frame(film.frame_at_pts(pts))

    def _small(self, shown: Picture) -> Picture:
        height = max(round(shown.shape[0] * self._width_px / shown.shape[1]), 1)
        small = cv2.resize(shown, (self._width_px, height), interpolation=cv2.INTER_AREA)
        return np.ascontiguousarray(small, np.uint8)
