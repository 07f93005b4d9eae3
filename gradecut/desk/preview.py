"""A reel before it is rendered: any frame of its plan, and the film frame that belongs to it."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from psygnal import Signal

from gradecut.desk.jobs import Post
from gradecut.errors import FilmError
from gradecut.film import FrameServer
from gradecut.records import Mark
from gradecut.reels import Plan, PlannedStep
from gradecut.timebase import Frame

__all__ = ["Preview"]


class Preview:
    """Steps through a plan; film frames come from the decoding thread.

    Attributes
    ----------
    plan : Plan or None
    at : int
        The reel's frame that is shown, from 0.
    step : PlannedStep or None
        The step it belongs to.
    frame : (H, W, 3) uint8 array or None
        The newest film frame that has come; None for a card, and before the first.

    Signals
    -------
    changed
        Another frame, or another plan.
    """

    changed = Signal()

    def __init__(self, post: Post, say: Callable[[str], None]) -> None:
        self._post = post
        self._say = say
        self._server: FrameServer | None = None
        self._starts: list[int] = []
        self.plan: Plan | None = None
        self.at = 0
        self.step: PlannedStep | None = None
        self.frame: NDArray[np.uint8] | None = None

    @property
    def frame_count(self) -> int:
        """Frames of the reel."""
        return self.plan.frame_count if self.plan else 0

    def load(self, plan: Plan | None) -> None:
        """Show another plan, from its beginning."""
        self.plan = plan
        self._starts = [step.first_frame for step in plan.steps] if plan else []
        self.at, self.step, self.frame = 0, None, None
        if self.frame_count:
            self.go(0)
        else:
            self.changed.emit()

    def go(self, at: int) -> None:
        """Show a frame of the reel; beyond its ends, the end."""
        if self.plan is None or not self.frame_count:
            return
        self.at = min(max(at, 0), self.frame_count - 1)
        self.step = self.plan.steps[bisect_right(self._starts, self.at) - 1]
        if self.step.path is None:
            self.frame = None
        else:
            number = self.step.film_frames[self.at - self.step.first_frame]
            self._films().request(self.step.path, Frame(number), self._show, self._refuse)
        self.changed.emit()

    def go_to_piece(self, piece_id: str) -> None:
        """Show where a piece begins."""
        for step in self.plan.steps if self.plan else ():
            if step.piece_id == piece_id:
                self.go(step.first_frame)
                return

    def marks(self) -> tuple[Mark, ...]:
        """Return what is drawn on the frame that is shown, each mark where it is then."""
        if self.plan is None or self.step is None or not self.step.film_frames:
            return ()
        return self.plan.marks_of(self.step, self.at - self.step.first_frame)

    def close(self) -> None:
        """Stop the decoding thread."""
        if self._server is not None:
            self._server.close()
            self._server = None

    def _films(self) -> FrameServer:
        if self._server is None:
            self._server = FrameServer(self._post)
        return self._server

    def _show(self, _number: Frame, frame: NDArray[np.uint8], _rough: bool) -> None:
        self.frame = frame
        self.changed.emit()

    def _refuse(self, error: FilmError) -> None:
        self._say(str(error))
