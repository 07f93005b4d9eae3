"""What is drawn on the frames of a play: which marks, where they are, and what stands on them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial

from gradecut.book import Book
from gradecut.desk.clip_state import ClipState, Man
from gradecut.desk.playhead import Playhead
from gradecut.drawing import Shape, mark_at, marks_shapes
from gradecut.drawing.palette import see_through
from gradecut.records import Angle, Mark, StoredFilm
from gradecut.timebase import Frame, Pts
from gradecut.workflows.marking import marks_on

__all__ = ["MarkStretch", "MarksSeen", "with_marks"]

_FADED = 0.38
"""How much is left of the chosen mark on a frame it is not seen on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkStretch:
    """Where on the ticks a mark is seen.

    Attributes
    ----------
    first, last : Frame
        Both in it.
    keys : tuple of Frame
        Where it was set by hand.
    words : str
        Which mark it is.
    """

    first: Frame
    last: Frame
    keys: tuple[Frame, ...]
    chosen: bool
    words: str


class MarksSeen:
    """The marks of the play that is shown, as they stand in the book.

    Of marks that belong to a man only the man in hand's are seen, as on the ticks.
    """

    def __init__(self, playhead: Playhead) -> None:
        self._playhead = playhead
        self._state: ClipState | None = None
        self.man: Man | None = None

    def renew(self, state: ClipState | None, man: Man | None) -> None:
        """Take over the play as it stands now."""
        self._state, self.man = state, man

    def mark(self, mark_id: str) -> Mark | None:
        """Return a mark as stored; None where it is gone, or another man's."""
        marks = self._state.marks if self._state else ()
        found = next((mark for mark in marks if mark.id == mark_id), None)
        return found if found is not None and self._is_his(found) else None

    def of_angle(self, angle: Angle | None, changed: Mark | None = None) -> tuple[Mark, ...]:
        """Return all marks of an angle, in the order they were drawn.

        Parameters
        ----------
        changed : Mark, optional
            One that is changed just now, instead of what is stored of it.
        """
        return tuple(
            changed if changed is not None and mark.id == changed.id else mark
            for mark in (self._state.marks if self._state else ())
            if angle is not None and mark.angle_id == angle.id and self._is_his(mark)
        )

    def at(self, angle: Angle, pts: Pts, changed: Mark | None = None) -> tuple[Mark, ...]:
        """Return the marks seen at a timestamp of an angle, each where it is then."""
        return tuple(
            mark_at(mark, pts)
            for mark in self.of_angle(angle, changed)
            if mark.from_pts <= pts <= mark.to_pts
        )

    def _is_his(self, mark: Mark) -> bool:
        """Tell whether a mark is the man in hand's or nobody's; with nobody in hand, all are."""
        rep = self.man.rep if self.man is not None else None
        return mark.rep_id is None or rep is None or mark.rep_id == rep.id

    # ------------------------------------------------------------------ painted and told

    def shapes(
        self,
        marks: Sequence[Mark],
        film: StoredFilm,
        size: float,
        *,
        faded: Iterable[Mark] = (),
    ) -> tuple[Shape, ...]:
        """Return what is painted of marks, in film pixels; of faded ones little is left.

        Parameters
        ----------
        size : float
            How large lines and type are for the film; 1 as in a reel.
        """
        made = partial(
            marks_shapes, size_px=(film.width, film.height), label=self.name_on,
            right=self._right, size=size,
        )  # fmt: skip
        pale, full = made(tuple(faded)), made(marks)
        return (*(_faded(shape) for shape in pale), *full)

    def name_on(self, mark: Mark) -> str | None:
        """Name the man in a bracket; other marks say what was written."""
        if mark.kind != "bracket" or mark.text or self._state is None:
            return None
        man = self._state.man_of_rep(mark.rep_id)
        return man.who if man else None

    def words(self, mark: Mark) -> str:
        """Say which mark it is: "yellow bracket Keel 44"."""
        parts = (mark.colour, mark.kind, self.name_on(mark) or mark.text)
        return " ".join(part for part in parts if part)

    def stretch(self, mark: Mark, *, chosen: bool) -> MarkStretch:
        """Return where on the ticks a mark is seen."""
        at = self._playhead.frame_at
        return MarkStretch(
            first=at(mark.from_pts),
            last=at(mark.to_pts),
            keys=tuple(at(key.pts) for key in mark.keys),
            chosen=chosen,
            words=self.words(mark),
        )

    def _right(self, mark: Mark) -> bool | None:
        """Tell whether the man a mark belongs to was graded right; None while he is not graded."""
        man = self._state.man_of_rep(mark.rep_id) if self._state else None
        grade = man.grade if man else None
        if grade is None or grade.fit_result == "not graded":
            return None
        return grade.fit_result == "right"


def with_marks(book: Book, state: ClipState) -> ClipState:
    """Return a play's state with its marks as they stand in the book now."""
    return replace(state, marks=marks_on(book, state.timeline.angles))


def _faded(shape: Shape) -> Shape:
    return replace(shape, colour=see_through(shape.colour, _FADED))
