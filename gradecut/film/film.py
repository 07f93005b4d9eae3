"""A film, opened: any frame by its number, exactly that frame or a refusal."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator
from fractions import Fraction
from functools import cached_property
from os import PathLike, fspath
from types import TracebackType

import av
import numpy as np
from numpy.typing import NDArray

from gradecut.errors import FilmError
from gradecut.film.decoding.fetcher import Fetcher
from gradecut.film.decoding.frame_cache import FrameCache, PictureCache, usual_budget
from gradecut.film.decoding.picture import PictureMaker
from gradecut.film.decoding.refusals import unshowable_frame
from gradecut.film.indexing.frame_index import FrameIndex
from gradecut.film.indexing.index_store import index_of
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records.fingerprint import Fingerprint
from gradecut.timebase import Frame, Pts, time_at

__all__ = ["Film", "open_film"]


def open_film(path: str | PathLike[str], *, cache_bytes: int | None = None) -> Film:
    """Open a film.

    Its index comes from memory or the index folder when the film was opened before, and
    otherwise from a child process, so that a film that crashes a decoder costs a sentence.

    Parameters
    ----------
    path : path
        The film.
    cache_bytes : int, optional
        How many bytes of decoded pictures to keep; an eighth of the machine's memory,
        at most 512 MB, by default.

    Raises
    ------
    FilmError
        One sentence: what is wrong with the file and what to try.
    """
    fingerprint, index = index_of(path)
    budget = usual_budget() if cache_bytes is None else cache_bytes
    return Film(path, index, fingerprint, FrameCache(budget))


class Film:
    """An open film. One thread at a time may use it; close it or use it in a ``with`` block.

    Attributes
    ----------
    path : str
        As it was named.
    fingerprint : Fingerprint
        Knows the film again under another name.
    index : FrameIndex
        Where every frame lies, and the facts of the film.
    """

    def __init__(
        self,
        path: str | PathLike[str],
        index: FrameIndex,
        fingerprint: Fingerprint,
        cache: PictureCache,
        *,
        should_stop: Callable[[], bool] | None = None,
    ) -> None:
        self.path = fspath(path)
        self.fingerprint = fingerprint
        self.index = index
        self._maker = PictureMaker(index.facts)
        self._cache = cache
        self._fetcher = Fetcher(path, index, fingerprint, cache)
        self._fetcher.should_stop = should_stop
        self._closed = False

    def __enter__(self) -> Film:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file and of the pictures kept; closing twice does no harm."""
        self._closed = True
        self._cache.clear()
        self._fetcher.close()

    @property
    def should_stop(self) -> Callable[[], bool] | None:
        """Asked between packets whether a long decode is to be dropped; see ``native``."""
        return self._fetcher.should_stop

    @should_stop.setter
    def should_stop(self, asked: Callable[[], bool] | None) -> None:
        self._fetcher.should_stop = asked

    @property
    def frame_count(self) -> int:
        """How many frames the film shows."""
        return len(self.index)

    @property
    def width(self) -> int:
        """Width in pixels, as displayed."""
        return self.index.facts.width_px

    @property
    def height(self) -> int:
        """Height in pixels, as displayed."""
        return self.index.facts.height_px

    @property
    def rate(self) -> Fraction | None:
        """Frames a second, exact; None when the rate varies."""
        return self.index.rate

    @property
    def time_base(self) -> Fraction:
        """Seconds in one tick of a timestamp."""
        return self.index.facts.time_base

    @property
    def notes(self) -> tuple[str, ...]:
        """Things worth telling: a rate that varies, interlacing, turning, faults."""
        return (*self.index.notes, *self.index.faults)

    @property
    def duration_s(self) -> Fraction:
        """Seconds from the first frame to the end of the last."""
        return self._gone(self.frame_count - 1) + self.index.last_ticks * self.time_base

    @cached_property
    def times_s(self) -> tuple[Fraction, ...]:
        """When each frame begins, in seconds from the first."""
        return tuple(self._gone(number) for number in range(self.frame_count))

    def time_of(self, frame: int) -> Fraction:
        """Return when a frame begins, in seconds from the first displayed frame.

        Raises
        ------
        FilmError
            When the film has no such frame.
        """
        return self._gone(self._checked(frame))

    def pts_of(self, frame: int) -> Pts:
        """Return a frame's presentation timestamp, in ticks of ``time_base``.

        Raises
        ------
        FilmError
            When the film has no such frame.
        """
        return Pts(int(self.index.pts[self._checked(frame)]))

    def frame_at_pts(self, pts: int) -> Frame:
        """Return the frame with a timestamp, or the nearest one; of two, the earlier."""
        stamps = self.index.pts
        after = min(int(np.searchsorted(stamps, pts)), len(stamps) - 1)
        before = max(after - 1, 0)
        return Frame(before if pts - stamps[before] <= stamps[after] - pts else after)

    def frame_at(self, time_s: Fraction) -> Frame:
        """Return the frame on screen at a time in seconds from the first frame.

        Before the film the first frame is the answer, after it the last.
        """
        ticks = time_s / self.time_base
        whole = ticks.numerator // ticks.denominator
        return Frame(max(bisect_right(self.index.pts, self.index.pts[0] + whole) - 1, 0))

    def frame(self, frame: int) -> NDArray[np.uint8]:
        """Return a frame as displayed.

        Parameters
        ----------
        frame : int
            From 0.

        Returns
        -------
        (H, W, 3) uint8
            RGB, row 0 at the top, upright; the caller may keep and change it.

        Raises
        ------
        FilmError
            When the film has no such frame, or it can't be decoded; never a neighbour in
            its place.
        """
        return self._convert(frame, self._maker.rgb)

    def small(self, frame: int, width_px: int) -> NDArray[np.uint8]:
        """Return a frame as displayed, made smaller in the same pass that converts it.

        Parameters
        ----------
        frame : int
            From 0.
        width_px : int
            Width to make it, upright; a film that is narrower keeps its own.

        Returns
        -------
        (h, w, 3) uint8
            RGB, row 0 at the top, upright, in the film's proportions; the caller's own.

        Raises
        ------
        FilmError
            As ``frame``.
        Cancelled
            As ``native``.
        """
        return self._convert(frame, lambda picture: self._maker.small_rgb(picture, width_px))

    def native(self, frame: int, *, whole: bool = False) -> av.VideoFrame:
        """Return a frame as the decoder gave it: not turned, not converted.

        Parameters
        ----------
        frame : int
            From 0.
        whole : bool
            Decode all of its group up to it, as stepping back will ask for it; otherwise a
            jump leaves out what nothing hangs on.

        Returns
        -------
        av.VideoFrame
            Shared with the film's cache: read it, never change it. Its time stamps are the
            file's own.

        Raises
        ------
        FilmError
            As ``frame``.
        Cancelled
            When ``should_stop`` said so before it was decoded; the next call goes on from
            where this one stopped when that helps.
        """
        number = self._checked(frame)
        picture = self._cache.get(number)
        return self._fetch(number, whole=whole) if picture is None else picture

    def _fetch(self, number: int, *, whole: bool = False, carefully: bool = False) -> av.VideoFrame:
        if self._closed:
            raise FilmError(self.path, "it was closed; open it again.")
        return self._fetcher.fetch(number, whole=whole, carefully=carefully)

    def warm(self, first: int, last: int) -> None:
        """Decode frames ``first`` to ``last``, both in it, into the cache.

        What the cache has no room for is let go of again; frames that are lost are passed
        over.

        Raises
        ------
        FilmError
            When the film has no such frames, was closed, or went away.
        Cancelled
            As ``native``.
        """
        for number in range(self._checked(first), self._checked(last) + 1):
            if number not in self._cache and number not in self._fetcher.refused:
                try:
                    self._fetch(number, whole=True)
                except FilmError:
                    if number not in self._fetcher.refused:
                        raise

    @property
    def lost(self) -> frozenset[Frame]:
        """The frames known so far not to be decodable; more may become known."""
        return frozenset(Frame(number) for number in self._fetcher.refused)

    def frames(self, start: int = 0, stop: int | None = None) -> Iterator[NDArray[np.uint8]]:
        """Yield frames from ``start`` up to, not including, ``stop`` (the end when None).

        Raises
        ------
        FilmError
            At the first frame the film doesn't have or that can't be decoded.
        """
        for number in range(start, self.frame_count if stop is None else stop):
            yield self.frame(number)

    def find_damaged(
        self, progress: Progress = silent, cancel: CancelToken | None = None
    ) -> tuple[Frame, ...]:
        """Decode the whole film and return the frames that can't be shown.

        Raises
        ------
        FilmError
            When the film was closed or went away.
        Cancelled
            When asked to stop.
        """
        damaged: list[Frame] = []
        for number in range(self.frame_count):
            if cancel is not None:
                cancel.check("Looking through the film")
            progress(number / self.frame_count, f"Looking at frame {number}")
            try:
                self._fetch(number, carefully=True)
            except FilmError:
                if number not in self._fetcher.refused:
                    raise
                damaged.append(Frame(number))
        progress(1.0, "Film looked through")
        return tuple(damaged)

    def holds(self, frame: int) -> bool:
        """Whether a frame is decoded already, so that showing it costs next to nothing."""
        return frame in self._cache

    def _convert(
        self, frame: int, convert: Callable[[av.VideoFrame], NDArray[np.uint8]]
    ) -> NDArray[np.uint8]:
        picture = self.native(frame)
        try:
            return convert(picture)
        except (av.FFmpegError, ValueError) as error:
            raise unshowable_frame(self.path, frame) from error

    def _checked(self, frame: int) -> int:
        if not 0 <= frame < self.frame_count:
            raise FilmError(
                self.path, f"it has no frame {frame}; its frames are 0 to {self.frame_count - 1}."
            )
        return int(frame)

    def _gone(self, number: int) -> Fraction:
        return time_at(Pts(int(self.index.pts[number] - self.index.pts[0])), self.time_base)
