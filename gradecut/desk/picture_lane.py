"""The pictures of one stage: what is wished for, what is on its way, what is shown."""

from __future__ import annotations

import time
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from psygnal import Signal

from gradecut.errors import FilmError
from gradecut.film import FrameServer
from gradecut.timebase import Frame

__all__ = ["Picture", "PictureLane"]

Picture: TypeAlias = "NDArray[np.uint8]"

_LONG_S = 0.05
"""What takes so long is given up for a quick copy of what is wished for since."""


class PictureLane:
    """Asks the decoding threads for one stage's pictures and never waits for one.

    While a picture is on its way only the newest wish is kept, so that a held key or slow
    decoding skips frames instead of falling behind.

    Attributes
    ----------
    path : str or None
        The film; None for none.
    shown : Frame or None
        The frame of ``picture``, or the one ``fault`` speaks of.
    picture : (H, W, 3) uint8 array or None
        The newest picture that came; RGB as displayed. A rough one has the film's shape,
        but of film larger than 1920 px on a side fewer pixels: where something lies in the
        film is told by the film's own size.
    rough : bool
        It is a quick copy, enlarged from a small one; the true picture can be asked for.
    fault : str
        Why there is no picture; empty when there is nothing wrong.

    Signals
    -------
    came : Frame
        A picture has come.
    failed : (Frame, FilmError)
        There is none of this frame, and why; ``shown``, ``picture`` and ``fault`` are as
        they were.
    """

    came = Signal(object)
    failed = Signal(object, object)

    def __init__(self, server: FrameServer, lane: str = "") -> None:
        self._server = server
        self._lane = lane
        self._asked: tuple[Frame, bool] | None = None
        self._wish: tuple[Frame, bool] | None = None
        self._turn = 0
        self._sent_s = 0.0
        self.path: str | None = None
        self.shown: Frame | None = None
        self.picture: Picture | None = None
        self.rough = False
        self.fault = ""

    @property
    def idle(self) -> bool:
        """Whether nothing is on its way."""
        return self._asked is None

    def load(self, path: str | None) -> None:
        """Show another film, or none; what is on its way is not wanted any more."""
        self.forget()
        self.path = path
        self.shown = self.picture = None
        self.rough, self.fault = False, ""

    def forget(self) -> None:
        """Want nothing of what is on its way."""
        self._turn += 1
        self._asked = self._wish = None

    def ask(self, frame: Frame, *, rough: bool = False, at_once: bool = False) -> None:
        """Wish for a frame.

        Parameters
        ----------
        rough : bool
            A quick copy does for now.
        at_once : bool
            Give up what is on its way instead of waiting for it: after a jump.
        """
        if self.path is None:
            return
        if self._has(frame, rough):
            self.forget()
            return
        self._wish = (frame, rough)
        given_up = (at_once and self._asked != self._wish) or (rough and self._is_quicker(frame))
        if self._asked is None or given_up:
            self._send()

    def _is_quicker(self, frame: Frame) -> bool:
        """Tell whether a quick copy is there at once, while what was asked for takes long."""
        waited_s = time.monotonic() - self._sent_s
        if self.path is None or waited_s < _LONG_S:
            return False
        return self._server.ready_share(self.path, frame, frame) > 0

    def refuse(self, frame: Frame | None, why: str) -> None:
        """Show no picture, and why."""
        self.shown, self.picture, self.rough, self.fault = frame, None, False, why

    def show_fault(self, frame: Frame, fault: FilmError) -> None:
        """Show a fault's reason as a sentence in the place of a frame's picture."""
        self.refuse(frame, fault.reason[:1].upper() + fault.reason[1:])

    def _has(self, frame: Frame, rough: bool) -> bool:
        return self.shown == frame and (rough or not self.rough)

    def _send(self) -> None:
        if self._wish is None or self.path is None:
            return
        (frame, rough), self._wish = self._wish, None
        self._asked = (frame, rough)
        self._turn += 1
        self._sent_s = time.monotonic()
        turn = self._turn
        self._server.request(
            self.path,
            frame,
            lambda number, picture, is_rough: self._take(turn, number, picture, is_rough),
            lambda fault: self._miss(turn, frame, fault),
            rough=rough,
            lane=self._lane,
        )

    def _take(self, turn: int, frame: Frame, picture: Picture, rough: bool) -> None:
        if turn != self._turn:
            return
        self._asked = None
        self.shown, self.picture, self.rough, self.fault = frame, picture, rough, ""
        self.came.emit(frame)
        self._go_on()

    def _miss(self, turn: int, frame: Frame, fault: FilmError) -> None:
        if turn != self._turn:
            return
        self._asked = None
        self.failed.emit(frame, fault)
        self._go_on()

    def _go_on(self) -> None:
        """Send the wish that came meanwhile, unless it is answered already."""
        if self._asked is None and self._wish is not None:
            if self._has(*self._wish):
                self._wish = None
            else:
                self._send()
