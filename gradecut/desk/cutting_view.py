"""The large picture of the frame looked at while a recording is cut."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from psygnal import Signal

from gradecut.desk.cutting_steps import Cut
from gradecut.desk.jobs import Post
from gradecut.desk.picture_lane import PictureLane
from gradecut.errors import FilmError
from gradecut.film import FrameServer
from gradecut.timebase import Frame

__all__ = ["CuttingView"]


class CuttingView:
    """Asks for frames, and shows the newest that came.

    Parameters
    ----------
    standing : callable
        Whether the film stands still: the true picture is then asked for after a quick copy.

    Signals
    -------
    pictured
        A picture has come, or why there is none.
    """

    pictured = Signal()

    def __init__(self, path: str, post: Post, *, standing: Callable[[], bool]) -> None:
        self._path, self._standing = path, standing
        self._wished = Frame(0)
        self._closed = False
        self._server = FrameServer(post)
        self._lane = PictureLane(self._server)
        self._lane.load(path)
        self._lane.came.connect(self._came)
        self._lane.failed.connect(self._failed)

    def close(self) -> None:
        """Let go of the film."""
        self._closed = True
        self._server.close()

    @property
    def picture(self) -> NDArray[np.uint8] | None:
        """The newest picture that came, RGB as displayed; None where there is none."""
        return self._lane.picture

    @property
    def fault(self) -> str:
        """Why there is no picture; empty when there is nothing wrong."""
        return self._lane.fault

    def shows(self, frame: Frame) -> bool:
        """Whether a frame is shown, or can't be: nothing more comes of it."""
        return bool(self.fault) or (self._lane.shown == frame and self._lane.idle)

    def refuse(self, why: str) -> None:
        """Say why there is no picture at all."""
        self._lane.refuse(None, why)

    def ask(self, frame: Frame, cut: Cut | None) -> None:
        """Ask for a frame; what lies around it in its play is made ready."""
        if self._closed:
            return
        self._wished = frame
        if cut is not None and cut.first <= frame <= cut.last:
            self._server.stay_near(self._path, cut.first, cut.last, frame)
        self._lane.ask(frame, rough=True)

    def _came(self, frame: Frame) -> None:
        """Show a picture; where the film stands still, the true one is asked for."""
        if self._closed:
            return
        self.pictured.emit()
        if self._lane.rough and frame == self._wished and self._standing():
            self._lane.ask(frame)

    def _failed(self, frame: Frame, fault: FilmError) -> None:
        if not self._closed:
            self._lane.show_fault(frame, fault)
            self.pictured.emit()
