"""From a plan to a film players can watch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from os import PathLike
from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray

from gradecut.drawing import caption_shapes, lay_over, mark_shapes, marks_shapes, paint, title_card
from gradecut.errors import FilmError, RenderError
from gradecut.film import Film, open_film, write_film
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records.marks import Mark
from gradecut.reels.planned import Plan, PlannedStep
from gradecut.timebase import Pts

__all__ = ["film_area", "render"]

_Picture = NDArray[np.uint8]
_SURROUND = (10, 12, 15)
_CACHE_BYTES = 64_000_000
_NO_PTS = Pts(0)
_DAMAGED = "The film is damaged here: the picture stands still."


def render(
    plan: Plan,
    out: str | PathLike[str],
    *,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
    quality: int = 21,
) -> Path:
    """Write a planned reel as a film.

    Frames are made one after another and never held together. Film of another shape than
    the reel's stands in the middle, its surround dark. A frame that is damaged in its film
    is replaced by the last good one, with a sentence on the picture.

    Parameters
    ----------
    plan : Plan
        From ``plan``.
    out : path
        Where the reel goes; it appears whole or not at all.
    quality : int
        The encoder's constant-quality setting, 0 (best) to 51.

    Returns
    -------
    Path
        Where it lies.

    Raises
    ------
    RenderError
        When nothing of the reel can be shown, or a film has gone since it was planned.
    OutputError
        When the file can't be written.
    Cancelled
        When asked to stop; nothing is left behind.
    """
    if not any(step.film_frames for step in plan.steps):
        why = plan.missing[0] if plan.missing else "It has no pieces; put at least one in."
        raise RenderError(f"Nothing of the reel “{plan.name}” can be shown. {why}")
    write_film(
        out, _frames(plan), rate=plan.rate, quality=quality, preset="veryfast", progress=progress,
        total=plan.frame_count, cancel=cancel,
    )  # fmt: skip
    return Path(out)


def film_area(film_px: tuple[int, int], size_px: tuple[int, int]) -> tuple[int, int, int, int]:
    """Return where film lies on the reel's picture: left, top, width, height in pixels.

    It is as large as fits, undistorted, in the middle.

    >>> film_area((1440, 1080), (1280, 720))
    (160, 0, 960, 720)
    """
    scale = min(size_px[0] / film_px[0], size_px[1] / film_px[1])
    width, height = (max(round(side * scale), 1) for side in film_px)
    return (size_px[0] - width) // 2, (size_px[1] - height) // 2, width, height


def _frames(plan: Plan) -> Iterator[_Picture]:
    """Yield every frame of the reel."""
    projector = _Projector(plan)
    try:
        for step in plan.steps:
            if step.kind == "card":
                card = title_card(step.title, (plan.name,), plan.size_px)
                yield from (card for _ in range(step.frame_count))
            else:
                yield from projector.show(step)
    finally:
        projector.close()


class _Projector:
    """Shows steps of film, one film open at a time."""

    def __init__(self, plan: Plan) -> None:
        self._plan = plan
        self._film: Film | None = None
        self._last: _Picture | None = None

    def close(self) -> None:
        """Let go of the film."""
        if self._film is not None:
            self._film.close()
            self._film = None

    def show(self, step: PlannedStep) -> Iterator[_Picture]:
        """Yield the frames of one step, its marks and caption painted on."""
        film = self._open(str(step.path))
        area = film_area((film.width, film.height), self._plan.size_px)
        overlay = _Overlay(self._overlay_of(step, film, area))
        before, made = -1, self._surround()
        for number in step.film_frames:
            if number != before:
                made = overlay.laid_on(self._picture(film, number, area))
                before = number
            yield made

    def _open(self, path: str) -> Film:
        if self._film is None or self._film.path != path:
            self.close()
            self._last = None
            try:
                self._film = open_film(path, cache_bytes=_CACHE_BYTES)
            except FilmError as error:
                raise RenderError(f"A film went away while the reel was made: {error}") from error
        return self._film

    def _surround(self) -> _Picture:
        width, height = self._plan.size_px
        made = np.empty((height, width, 3), np.uint8)
        made[:] = _SURROUND
        return made

    def _picture(self, film: Film, number: int, area: tuple[int, int, int, int]) -> _Picture:
        """Return a film frame on the reel's picture; the last good one when it is damaged."""
        try:
            shown = film.frame(number)
        except FilmError:
            return self._stand_in()
        left, top, width, height = area
        if (width, height) != (film.width, film.height):
            smaller = width < film.width
            shown = cv2.resize(
                shown, (width, height),
                interpolation=cv2.INTER_AREA if smaller else cv2.INTER_CUBIC,
            ).astype(np.uint8, copy=False)  # fmt: skip
        made = shown
        if (width, height) != self._plan.size_px:
            made = self._surround()
            made[top : top + height, left : left + width] = shown
        self._last = made.copy()
        return made

    def _stand_in(self) -> _Picture:
        made = self._surround() if self._last is None else self._last.copy()
        width, height = self._plan.size_px
        told = Mark(
            angle_id="", kind="text", points=((width / 2, height * 0.08),), text=_DAMAGED,
            from_pts=_NO_PTS, to_pts=_NO_PTS,
        )  # fmt: skip
        paint(made, mark_shapes(told, size_px=self._plan.size_px))
        return made

    def _overlay_of(
        self, step: PlannedStep, film: Film, area: tuple[int, int, int, int]
    ) -> _Picture | None:
        """Paint a step's marks and caption once; None when it has neither."""
        if not step.mark_ids and not step.caption:
            return None
        width, height = self._plan.size_px
        overlay = np.zeros((height, width, 4), np.uint8)
        scale = (area[2] / film.width, area[3] / film.height)
        plan = self._plan
        marks = [_moved(plan.marks[mark_id], scale, area[:2]) for mark_id in step.mark_ids]
        paint(overlay, marks_shapes(marks, size_px=area[2:], right=plan.right))
        paint(overlay, caption_shapes(step.caption, self._plan.size_px))
        return overlay


def _moved(mark: Mark, scale: tuple[float, float], origin: tuple[int, int]) -> Mark:
    """Return a mark in pixels of the reel's picture."""
    points = tuple((x * scale[0] + origin[0], y * scale[1] + origin[1]) for x, y in mark.points)
    return replace(mark, points=points)


class _Overlay:
    """A painted layer, laid on frame after frame where it is not empty."""

    def __init__(self, painted: _Picture | None) -> None:
        self._part: _Picture | None = None
        self._where = (slice(0, 0), slice(0, 0))
        if painted is not None:
            left, top, width, height = cv2.boundingRect(painted[..., 3])
            if width and height:
                self._where = (slice(top, top + height), slice(left, left + width))
                self._part = np.ascontiguousarray(painted[self._where])

    def laid_on(self, picture: _Picture) -> _Picture:
        """Lay it on a picture, in place, and return the picture."""
        if self._part is not None:
            lay_over(picture[self._where], self._part)
        return picture
