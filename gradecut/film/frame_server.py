"""A thread that decodes for someone who must not wait, such as a window."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from inspect import signature
from os import PathLike, fspath

import numpy as np
from numpy.typing import NDArray

from gradecut.errors import FilmError
from gradecut.film.film import Film, open_film
from gradecut.timebase import Frame

__all__ = ["FrameServer"]

Picture = NDArray[np.uint8]
OnReady = Callable[[Frame, Picture, bool], None] | Callable[[Frame, Picture], None]
OnError = Callable[[FilmError], None]
OnLost = Callable[[str, frozenset[Frame]], None]
Post = Callable[[Callable[[], None]], None]

_MOST_OPEN = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class _Request:
    path: str
    frame: Frame
    on_ready: OnReady
    on_error: OnError
    rough: bool
    lane: str


class FrameServer:
    """Decodes frames in a thread of its own and answers only the newest request.

    The thread owns every film it opens; finished arrays go to ``post``, which is to run
    what it is given in the asker's thread. The last three films stay open. An answer whose
    request was superseded is dropped, also when it was already posted.

    Parameters
    ----------
    post : callable
        Takes a callable without arguments and runs it where the asker wants it run; called
        from the decoding thread.
    """

    def __init__(
        self, post: Post, *, budget_bytes: int | None = None, on_lost: OnLost | None = None
    ) -> None:
        self._post = post
        self._budget_bytes = budget_bytes
        self._on_lost = on_lost
        self._change = threading.Condition()
        self._pending: dict[str, _Request] = {}
        self._newest: dict[str, _Request] = {}
        self._ahead: tuple[str, Frame] | None = None
        self._opening: OrderedDict[str, None] = OrderedDict()
        self._closing = False
        self._films: OrderedDict[str, Film] = OrderedDict()
        self._thread = threading.Thread(target=self._serve, name="film", daemon=True)
        self._thread.start()

    def open(self, path: str | PathLike[str]) -> None:
        """Open a film ahead of the first request; a fault is told when a frame is asked for."""
        with self._change:
            self._opening[fspath(path)] = None
            while len(self._opening) > _MOST_OPEN:
                self._opening.popitem(last=False)
            self._change.notify()

    def request(
        self,
        path: str | PathLike[str],
        frame: Frame,
        on_ready: OnReady,
        on_error: OnError,
        *,
        rough: bool = False,
        lane: str = "",
    ) -> None:
        """Ask for a frame; what the lane was asked before and isn't answered yet is dropped.

        Parameters
        ----------
        path : path
            The film.
        frame : Frame
            Which frame.
        on_ready : callable
            Given, through ``post``, the frame's number, its (H, W, 3) uint8 RGB array as
            displayed, and whether it is rough: enlarged from a small copy.
        on_error : callable
            Given the FilmError instead, through ``post``.
        rough : bool
            A rough picture will do while the true one is not decoded.
        lane : str
            Each lane's newest request is answered: "" the stage, "beside" the second angle.
        """
        asked = _Request(
            path=fspath(path), frame=frame, on_ready=on_ready, on_error=on_error,
            rough=rough, lane=lane,
        )  # fmt: skip
        with self._change:
            self._pending[lane] = self._newest[lane] = asked
            self._change.notify()

    def stay_near(self, path: str | PathLike[str], first: Frame, last: Frame, at: Frame) -> None:
        """Tell which clip is on stage, frames ``first`` to ``last``, and where it stands.

        What lies around is prepared while nothing is asked for; cheap enough for every step.
        """

    def prefetch(
        self,
        path: str | PathLike[str],
        frame: Frame,
        first: Frame | None = None,
        last: Frame | None = None,
    ) -> None:
        """Tell which clip comes next and at which frame it is entered; nobody is told more."""
        with self._change:
            self._ahead = (fspath(path), frame)
            self._change.notify()

    def lost(self, path: str | PathLike[str]) -> frozenset[Frame]:
        """Return the frames of a film known so far not to be decodable."""
        film = self._films.get(fspath(path))
        return frozenset() if film is None else film.lost

    def ready_share(self, path: str | PathLike[str], first: Frame, last: Frame) -> float:
        """Return the share, 0 to 1, of a clip whose small copies are there."""
        return 0.0

    def close(self) -> None:
        """Stop the thread and close its films; no answer comes afterwards."""
        with self._change:
            self._closing = True
            self._newest.clear()
            self._change.notify()
        self._thread.join()

    @property
    def running(self) -> bool:
        """Whether the thread still runs."""
        return self._thread.is_alive()

    def _serve(self) -> None:
        while (work := self._next_work()) is not None:
            work()
        for film in self._films.values():
            film.close()
        self._films.clear()

    def _next_work(self) -> Callable[[], None] | None:
        """Wait for something to do: a request first, then opening, then looking ahead."""
        with self._change:
            while True:
                if self._closing:
                    return None
                if self._pending:
                    asked = self._pending.pop(next(iter(self._pending)))
                    return lambda: self._answer(asked)
                if self._opening:
                    path, _ = self._opening.popitem(last=False)
                    return lambda: self._warm(path, None)
                if self._ahead is not None:
                    (path, frame), self._ahead = self._ahead, None
                    return lambda: self._warm(path, frame)
                self._change.wait()

    def _answer(self, asked: _Request) -> None:
        try:
            array = self._film(asked.path).frame(asked.frame)
        except FilmError as error:
            said = error
            self._hand_over(asked, lambda: asked.on_error(said))
        else:
            self._hand_over(asked, lambda: _tell(asked, array))

    def _hand_over(self, asked: _Request, tell: Callable[[], None]) -> None:
        def tell_if_newest() -> None:
            if self._newest.get(asked.lane) is asked:
                tell()

        if self._newest.get(asked.lane) is asked:
            self._post(tell_if_newest)

    def _warm(self, path: str, frame: Frame | None) -> None:
        """Open a film, and decode a frame of it; faults wait for a request."""
        try:
            film = self._film(path)
            if frame is not None and not film.holds(frame):
                film.frame(frame)
        except FilmError:
            return

    def _film(self, path: str) -> Film:
        """Return an open film, closing the one unused for longest when there are too many."""
        film = self._films.get(path)
        if film is None:
            film = open_film(path)
            self._films[path] = film
            while len(self._films) > _MOST_OPEN:
                _, oldest = self._films.popitem(last=False)
                oldest.close()
        self._films.move_to_end(path)
        return film


def _tell(asked: _Request, array: Picture) -> None:
    """Hand a picture over; an asker of before there were rough pictures takes two values."""
    try:
        signature(asked.on_ready).bind(asked.frame, array, False)
    except TypeError:
        asked.on_ready(asked.frame, array)  # type: ignore[call-arg]
    else:
        asked.on_ready(asked.frame, array, False)  # type: ignore[call-arg]
