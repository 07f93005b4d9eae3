"""The stills that go with reps: at the fit, and where his marks were drawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gradecut.book import Book
from gradecut.drawing import mark_at
from gradecut.errors import FilmError
from gradecut.film import Film, open_film
from gradecut.progress import CancelToken
from gradecut.records import Angle, Mark, RepLine
from gradecut.reports.staff_page import Still
from gradecut.timebase import Pts
from gradecut.workflows.films import frame_of, paths_of_films
from gradecut.workflows.found_snaps import FoundSnaps
from gradecut.workflows.marking import marks_on
from gradecut.workflows.miss_moments import (
    frame_words,
    marks_of_frame,
    miss_moment,
    where_drawn,
)
from gradecut.workflows.moments import Timeline, timelines_of
from gradecut.workflows.stills import draw_still

__all__ = ["RepStills", "Taken"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """The stills of one rep.

    Attributes
    ----------
    miss : Still or None
        Where he is in or out of his fit.
    drawn : Still or None
        Where his marks were drawn, when they are not seen at the miss.
    why_not : str
        Why there is none, as the end of a sentence.
    """

    miss: Still | None = None
    drawn: Still | None = None
    why_not: str = ""


class RepStills:
    """Takes the stills of some reps; the film opened last stays open. Use it in a ``with`` block.

    Parameters
    ----------
    lines : sequence of RepLine
        The reps that may be asked for.
    """

    def __init__(self, book: Book, lines: Sequence[RepLine]) -> None:
        self._timelines = timelines_of(book, {line.clip.id for line in lines})
        angles = [angle for line in self._timelines.values() for angle in line.angles]
        self._marks = marks_on(book, angles)
        self._snaps = FoundSnaps()
        self._paths = paths_of_films(book, list({angle.film_id for angle in angles}))
        self._film: Film | None = None

    def __enter__(self) -> RepStills:
        return self

    def __exit__(self, *_: object) -> None:
        if self._film is not None:
            self._film.close()

    def take(self, line: RepLine, who: str, cancel: CancelToken | None = None) -> Taken:
        """Take the stills of a rep.

        Parameters
        ----------
        who : str
            What he is called under his bracket.

        Raises
        ------
        Cancelled
            When asked to stop while a film is looked through for its snap.
        """
        timeline = self._timelines[line.clip.id]
        chosen = miss_moment(
            line.rep, timeline, self._marks, self._paths, self._snaps, cancel=cancel
        )
        if chosen is None:
            gone = "its film is not on this computer; show gradecut the folder it lies in."
            return Taken(why_not=gone if timeline.angles else "it has no film; add its film.")
        angle = chosen.angle
        on_angle = [
            mark
            for mark in self._marks
            if mark.angle_id == angle.id and mark.rep_id in (None, line.rep.id)
        ]
        try:
            film = self._open(self._paths[angle.film_id])
            shoot = _Shot(
                film=film, line=line, timeline=timeline, angle=angle, marks=on_angle, who=who
            )
            miss = shoot.still(chosen.pts, f"{chosen.why[0].upper()}{chosen.why[1:]}")
            where = where_drawn(on_angle, line.rep, chosen.pts)
            drawn = None
            if where is not None:
                at_snap = shoot.is_snap(where)
                drawn = shoot.still(where, "As drawn at the snap" if at_snap else "As drawn")
        except FilmError as error:
            return Taken(why_not=error.reason)
        return Taken(miss=miss, drawn=drawn)

    def _open(self, path: str) -> Film:
        if self._film is None or self._film.path != path:
            if self._film is not None:
                self._film.close()
                self._film = None
            self._film = open_film(path)
        return self._film


@dataclass(frozen=True, slots=True, kw_only=True)
class _Shot:
    """What all stills of one rep have in common."""

    film: Film
    line: RepLine
    timeline: Timeline
    angle: Angle
    marks: Sequence[Mark]
    who: str

    def is_snap(self, pts: Pts) -> bool:
        """Tell whether a timestamp shows the frame of the snap."""
        snap, times = self.timeline.snap(self.angle), self.timeline.times
        stored = self.timeline.films[self.angle.film_id]
        return snap is not None and frame_of(stored, pts, times) == frame_of(stored, snap, times)

    def still(self, pts: Pts, says: str) -> Still:
        """Draw one and say what it is."""
        rep, grade = self.line.rep, self.line.grade
        graded = grade is not None and grade.fitted
        drawn = draw_still(
            self.film, pts, marks_of_frame(self.marks, rep, self.angle, pts),
            around=[
                at
                for mark in self.marks
                if mark.rep_id == rep.id
                for at in mark_at(mark, pts).points
            ],
            who=self.who,
            right=grade.fit_result == "right" if grade is not None and graded else None,
        )  # fmt: skip
        place = frame_words(self.timeline, self.angle, pts)
        return Still(
            jpeg=drawn.jpeg, size_px=drawn.size_px, says=says, place=f"{place} · {self.angle.name}"
        )
