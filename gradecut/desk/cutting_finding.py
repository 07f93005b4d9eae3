"""What a long recording on the strip is, where its plays come from, and how they are added."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from gradecut.book import Book
from gradecut.desk.cutting_steps import Cut
from gradecut.progress import CancelToken, Progress
from gradecut.records import SessionKind, Stretch
from gradecut.timebase import Frame, Pts

if TYPE_CHECKING:
    from gradecut.workflows.adding import Added
    from gradecut.workflows.second_recording import Beside

__all__ = ["Found", "RecordingFacts", "Wanted", "add_plays", "find_plays"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Where the plays of a recording go; as for ``add_recording``."""

    session: str
    angle: str
    kind: SessionKind | None = None
    day: str = ""
    script: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RecordingFacts:
    """When each frame of the recording begins.

    Attributes
    ----------
    pts : ndarray, shape (N,), int64
    times_s : ndarray, shape (N,), float64
        Seconds from the first frame.
    """

    pts: NDArray[np.int64]
    times_s: NDArray[np.float64]

    @property
    def count(self) -> int:
        """How many frames there are."""
        return len(self.pts)

    @property
    def length_s(self) -> float:
        """When the last frame begins."""
        return float(self.times_s[-1])

    def frame_at(self, time_s: float) -> Frame:
        """Return the frame on screen at a time."""
        place = int(np.searchsorted(self.times_s, time_s + 1e-9, side="right")) - 1
        return Frame(min(max(place, 0), self.count - 1))

    def frame_of(self, pts: int) -> Frame:
        """Return the frame of a timestamp."""
        return Frame(min(int(np.searchsorted(self.pts, pts)), self.count - 1))

    def time_of(self, frame: int) -> float:
        """Return when a frame begins; of one outside, the nearest."""
        return float(self.times_s[min(max(frame, 0), self.count - 1)])

    def beyond(self, frame: int, frames: int = 0, seconds: float = 0.0) -> int:
        """Return the frame so many frames, or seconds where they are told, from another."""
        if not seconds:
            return frame + frames
        return int(self.frame_at(self.time_of(frame) + seconds))

    def stretch_of(self, cut: Cut) -> Stretch:
        """Return a play of the strip as a stretch of the film."""
        return Stretch(
            start_pts=Pts(int(self.pts[cut.first])), stop_pts=Pts(int(self.pts[cut.last])),
            why=cut.why, confidence=cut.confidence,
        )  # fmt: skip

    def cut_of(self, stretch: Stretch) -> Cut:
        """Return a stretch of the film as a play of the strip."""
        return Cut(
            first=self.frame_of(stretch.start_pts), last=self.frame_of(stretch.stop_pts),
            why=stretch.why, confidence=stretch.confidence,
        )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """The plays proposed for a recording.

    Attributes
    ----------
    plays : tuple of Stretch or None
        None for one of another camera's recording that this one does not show.
    notes : tuple of str
        How they were carried from another camera's recording; empty where they were not.
    beside : Beside or None
        That recording.
    """

    plays: tuple[Stretch | None, ...]
    notes: tuple[str, ...] = ()
    beside: Beside | None = None


def find_plays(
    book: Book,
    path: str,
    wanted: Wanted,
    *,
    on_picture: Callable[[Pts, NDArray[np.uint8]], None],
    progress: Progress,
    cancel: CancelToken,
) -> Found:
    """Find the plays of a recording.

    They are carried from the recording the session's plays were cut from, where there is one
    and the sounds of both tell how they lie; else looked for in its own pictures.
    """
    from gradecut.workflows.cutting import propose_plays
    from gradecut.workflows.second_recording import lay_beside, propose_second

    beside = lay_beside(
        book, path, session=wanted.session, angle=wanted.angle, progress=progress, cancel=cancel
    )
    if beside is None:
        return Found(plays=propose_plays(path, progress, cancel, on_picture=on_picture))
    found = propose_second(book, path, beside, progress, cancel, on_picture=on_picture)
    return Found(plays=found.plays, notes=found.notes, beside=beside)


def add_plays(
    book: Book,
    path: str,
    wanted: Wanted,
    stretches: Sequence[Stretch],
    beside: Beside | None,
    *,
    by_order: bool,
    progress: Progress,
    cancel: CancelToken,
) -> Added:
    """Add the plays of a recording to their session, beside another camera's where known."""
    from gradecut.workflows.cutting import add_recording
    from gradecut.workflows.second_adding import add_second

    if beside is not None:
        return add_second(
            book, path, stretches, beside, session=wanted.session, kind=wanted.kind,
            day=wanted.day, angle=wanted.angle, script=wanted.script, confirmed=by_order,
            progress=progress, cancel=cancel,
        )  # fmt: skip
    return add_recording(
        book, path, stretches, session=wanted.session, kind=wanted.kind, day=wanted.day,
        angle=wanted.angle, script=wanted.script, by_order=by_order, progress=progress,
        cancel=cancel,
    )  # fmt: skip
