"""Film shown for a reel: every frame as a picture of the reel's size, ready to be written."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Iterator, Sequence

import av
import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.drawing import (
    caption_shapes,
    mark_shapes,
    marks_shapes,
    paint,
    scaled_mark,
    title_card,
)
from gradecut.errors import FilmError, RenderError
from gradecut.film import Bt709Maker, Film, open_film
from gradecut.records.marks import Mark
from gradecut.reels.overlay import Overlay
from gradecut.reels.planned import Plan, PlannedStep
from gradecut.timebase import Pts

__all__ = ["Projector", "film_area"]

_Array = NDArray[np.uint8]
_Area = tuple[int, int, int, int]
_SURROUND = (10, 12, 15)
_CACHE_BYTES = 24_000_000
_MOST_OPEN = 4
_NO_PTS = Pts(0)
_DAMAGED = "The film is damaged here: the picture stands still."


def film_area(film_px: tuple[int, int], size_px: tuple[int, int]) -> _Area:
    """Return where film lies on the reel's picture: left, top, width, height in pixels.

    It is as large as fits, undistorted, in the middle; film that lacks only a row or a column
    to an even size keeps its own.

    >>> film_area((1440, 1080), (1280, 720))
    (160, 0, 960, 720)
    """
    if size_px == _even(film_px):
        return 0, 0, *film_px
    scale = min(size_px[0] / film_px[0], size_px[1] / film_px[1])
    width, height = (max(round(side * scale), 1) for side in film_px)
    return (size_px[0] - width) // 2, (size_px[1] - height) // 2, width, height


def _even(size_px: tuple[int, int]) -> tuple[int, int]:
    return size_px[0] + size_px[0] % 2, size_px[1] + size_px[1] % 2


class Projector:
    """Shows the steps of a plan; close it or use it in a ``with`` block."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._films: OrderedDict[str, Film] = OrderedDict()
        self._maker = Bt709Maker()
        self._last: av.VideoFrame | None = None

    def __enter__(self) -> Projector:
        return self

    def __exit__(self, *_: object) -> None:
        for film in self._films.values():
            film.close()
        self._films.clear()

    def show(self, step: PlannedStep) -> Iterator[av.VideoFrame]:
        """Yield the frames of one step, marks and caption on them: yuv420p, BT.709, limited.

        Raises
        ------
        RenderError
            When its film has gone.
        """
        if step.kind == "card":
            plan = self._plan
            card = self._maker.made(title_card(step.title, (plan.name,), plan.size_px))
            yield from (card for _ in range(step.frame_count))
        else:
            yield from self._show_film(step)

    def _show_film(self, step: PlannedStep) -> Iterator[av.VideoFrame]:
        film = self._open(str(step.path))
        area = film_area((film.width, film.height), self._plan.size_px)
        below = overlay = self._caption(step)
        before, drawn = -1, None
        made: av.VideoFrame | None = None
        for at, number in enumerate(step.film_frames):
            if made is None or number != before:
                marks = self._plan.marks_of(step, at)
                if marks != drawn:
                    overlay, drawn = Overlay(self._painted(marks, film, area), below=below), marks
                made = overlay.laid_on(self._picture(film, number, area), self._maker)
                before = number
            yield made

    def _open(self, path: str) -> Film:
        """Return a film, open; pieces of a few films often take turns."""
        film = self._films.get(path)
        if film is None:
            self._last = None
            try:
                film = self._films[path] = open_film(path, cache_bytes=_CACHE_BYTES)
            except FilmError as error:
                raise RenderError(f"A film went away while it was read: {error}") from error
        self._films.move_to_end(path)
        while len(self._films) > _MOST_OPEN:
            self._films.popitem(last=False)[1].close()
        return film

    def _picture(self, film: Film, number: int, area: _Area) -> av.VideoFrame:
        """Return a film frame on the reel's picture; the last good one when it is damaged."""
        try:
            made = self._whole(film, number, area)
        except (FilmError, av.FFmpegError):
            return self._stand_in()
        self._last = made
        return made

    def _whole(self, film: Film, number: int, area: _Area) -> av.VideoFrame:
        """Return a film frame at the reel's size, as it is stored where that can be."""
        facts, size_px = film.index.facts, self._plan.size_px
        fills = area[:2] == (0, 0) and _even(area[2:]) == size_px
        if not fills or facts.quarter_turns or facts.mirrored:
            return self._maker.made(self._placed(film.frame(number), area))
        picture = film.native(number)
        stored_px = (picture.width, picture.height)
        return self._maker.made(picture, None if _even(stored_px) == size_px else size_px)

    def _placed(self, shown: _Array, area: _Area) -> _Array:
        """Lay a film frame on the reel's picture, its surround dark."""
        left, top, width, height = area
        if (width, height) != (shown.shape[1], shown.shape[0]):
            smaller = width < shown.shape[1]
            shown = cv2.resize(
                shown, (width, height),
                interpolation=cv2.INTER_AREA if smaller else cv2.INTER_CUBIC,
            ).astype(np.uint8, copy=False)  # fmt: skip
        if _even((width, height)) == self._plan.size_px:
            return shown
        made = self._surround()
        made[top : top + height, left : left + width] = shown
        return made

    def _surround(self) -> _Array:
        width, height = self._plan.size_px
        return np.full((height, width, 3), _SURROUND, np.uint8)

    def _stand_in(self) -> av.VideoFrame:
        width, height = self._plan.size_px
        told = Mark(
            angle_id="", kind="text", points=((width / 2, height * 0.08),), text=_DAMAGED,
            from_pts=_NO_PTS, to_pts=_NO_PTS,
        )  # fmt: skip
        painted = np.zeros((height, width, 4), np.uint8)
        paint(painted, mark_shapes(told, size_px=self._plan.size_px))
        behind = self._maker.made(self._surround()) if self._last is None else self._last
        return Overlay(painted).laid_on(behind, self._maker)

    def _caption(self, step: PlannedStep) -> Overlay:
        """Paint a step's caption; it is the same on all its frames, where marks may go along."""
        if not step.caption:
            return Overlay()
        width, height = self._plan.size_px
        painted = np.zeros((height, width, 4), np.uint8)
        paint(painted, caption_shapes(step.caption, self._plan.size_px))
        return Overlay(painted)

    def _painted(self, marks: Sequence[Mark], film: Film, area: _Area) -> _Array | None:
        """Paint marks; None when there are none."""
        if not marks:
            return None
        width, height = self._plan.size_px
        painted = np.zeros((height, width, 4), np.uint8)
        scale = (area[2] / film.width, area[3] / film.height)
        there = [scaled_mark(mark, scale, area[:2]) for mark in marks]
        plan = self._plan
        shapes = marks_shapes(there, size_px=area[2:], label=plan.name_on, right=plan.right)
        paint(painted, shapes)
        return painted
