"""Moments: what happens at which frame of a play."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction

from gradecut.book import Book
from gradecut.errors import BookError
from gradecut.grading import reaction
from gradecut.records import Angle, Clip, Moment, MomentKind, Reaction, Rep, StoredFilm
from gradecut.timebase import Pts
from gradecut.workflows.blind import seen_moments
from gradecut.workflows.films import (
    frame_length,
    frame_length_before,
    frame_of,
    frame_times,
    pts_of_frame,
)

__all__ = [
    "Timeline",
    "mark_moment",
    "timeline_of",
    "timelines_of",
    "unmark_moment",
]

_OF_THE_CLIP = ("snap", "whistle")
_TOLD_APART: Mapping[str, int] = {"marked": 0, "script": 1, "estimated": 2}


@dataclass(frozen=True, slots=True, kw_only=True)
class Timeline:
    """The moments of one clip over all its angles.

    Attributes
    ----------
    angles, films, moments
        Of this clip; films by their id.
    times : mapping
        Timestamps of all frames of those films whose rate varies.
    author : str
        Whose marks are read first.
    """

    angles: Sequence[Angle]
    films: Mapping[str, StoredFilm]
    moments: Sequence[Moment]
    times: Mapping[str, Sequence[int]] = field(default_factory=dict)
    author: str = ""

    def moment(self, kind: MomentKind, *, angle: Angle, rep_id: str | None = None) -> Moment | None:
        """Return a moment as marked on one angle: marked before estimated, own before others'."""
        found = [
            one
            for one in self.moments
            if one.kind == kind and one.angle_id == angle.id and one.rep_id == rep_id
        ]
        return min(found, key=self._rank, default=None)

    def snap(self, angle: Angle) -> Pts | None:
        """Return the snap in an angle's film: marked on it, else carried from another angle.

        It is carried only between angles that were put beside each other: two cameras are
        not started at once, so that anything else would be a guess. None then, and where it
        would lie outside the angle.
        """
        own = self.moment("snap", angle=angle)
        if own is not None:
            return own.pts
        for other in self.angles:
            marked = self.moment("snap", angle=other)
            if other.id == angle.id or marked is None or not self.together(other, angle):
                continue
            carried = self.carry(marked.pts, other, angle)
            return carried if angle.start_pts <= carried <= angle.stop_pts else None
        return None

    def together(self, first: Angle, second: Angle) -> bool:
        """Tell whether two angles lie beside each other in time, by their snaps or by sound.

        Where the snap is marked on both, whether the two meet decides. Else both must be in
        the play's time: moved into it, or the one the others were moved to. Two cameras are
        not started at once, so angles that nobody has moved are not together.
        """
        if first.id == second.id:
            return True
        meet = self._snaps_meet(first, second)
        if meet is not None:
            return meet
        return any(_is_moved(one) for one in (first, second)) and all(
            _is_moved(one) or one.id == self._goal() for one in (first, second)
        )

    def _snaps_meet(self, first: Angle, second: Angle) -> bool | None:
        """Tell whether the snaps marked on two angles are one moment; None without both."""
        marked = [self.moment("snap", angle=one) for one in (first, second)]
        if not all(one is not None and one.source == "marked" for one in marked):
            return None
        at = [
            (one.scale * self.films[one.film_id].time_of(snap.pts) + one.offset_s)
            for one, snap in zip((first, second), marked, strict=True)
            if snap is not None
        ]
        frames_s = [
            frame_length(self.films[one.film_id], snap.pts, self.times)
            for one, snap in zip((first, second), marked, strict=True)
            if snap is not None
        ]
        return abs(at[0] - at[1]) <= max(frames_s)

    def _goal(self) -> str:
        """Return the id of the angle the others were moved to.

        Of those that nobody moved, one whose snap meets a moved one's, else the one there first.
        """
        still = sorted((one for one in self.angles if not _is_moved(one)), key=lambda one: one.id)
        moved = [one for one in self.angles if _is_moved(one)]
        met = [one.id for one in still if any(self._snaps_meet(one, other) for other in moved)]
        return next(iter([*met, *(one.id for one in still)]), "")

    def carry(self, pts: Pts, source: Angle, goal: Angle) -> Pts:
        """Return the timestamp in another angle's film that is the same moment of the play.

        Exact up to the goal's ticks; it may lie between two frames, or outside the angle.
        Worth something only where the two are ``together``.
        """
        clip_s = source.scale * self.films[source.film_id].time_of(pts) + source.offset_s
        return self.films[goal.film_id].pts_of((clip_s - goal.offset_s) / goal.scale)

    def reaction(self, rep: Rep) -> Reaction | None:
        """Count a man's reaction on the angle where his first step was marked.

        None where the first step, or the snap, is not marked. A snap carried from another
        angle counts as the frame it falls on, so that frames and milliseconds agree.

        Each moment is marked on the first frame that shows it, so it happened after the frame
        before. Where the rate varies those two frames may differ in length; the longer one
        counts, either way, so that the true time is never outside what is told.
        """
        for angle in self.angles:
            step = self.moment("first step", angle=angle, rep_id=rep.id)
            snap = self.snap(angle)
            if step is None or snap is None:
                continue
            film = self.films[angle.film_id]
            frames = frame_of(film, snap, self.times), frame_of(film, step.pts, self.times)
            shown = [pts_of_frame(film, frame, self.times) for frame in frames]
            return reaction(
                frames[0],
                frames[1],
                film.time_of(shown[0]),
                film.time_of(shown[1]),
                max(frame_length_before(film, pts, self.times) for pts in shown),
            )
        return None

    def _rank(self, moment: Moment) -> tuple[int, bool, str]:
        return (_TOLD_APART[moment.source], moment.author != self.author, moment.id)


def timeline_of(book: Book, clip_id: str) -> Timeline:
    """Read the timeline of one clip."""
    return timelines_of(book, [clip_id])[clip_id]


def timelines_of(book: Book, clip_ids: Collection[str]) -> dict[str, Timeline]:
    """Read the timelines of several clips at once."""
    angles = sorted(
        book.find(Angle, clip_id=list(clip_ids)), key=lambda angle: (angle.name, angle.id)
    )
    film_ids = [angle.film_id for angle in angles]
    films = {film.id: film for film in book.find(StoredFilm, id=film_ids)}
    varying = [film.id for film in films.values() if film.rate is None]
    times = frame_times(book, varying) if varying else {}
    moments: defaultdict[str, list[Moment]] = defaultdict(list)
    marked = book.find(Moment, angle_id=[angle.id for angle in angles])
    for moment in seen_moments(book, marked):
        moments[moment.angle_id].append(moment)
    mine: dict[str, list[Angle]] = {key: [] for key in clip_ids}
    for angle in angles:
        mine[angle.clip_id].append(angle)
    return {
        key: Timeline(
            angles=own,
            films=films,
            moments=[moment for angle in own for moment in moments[angle.id]],
            times=times,
            author=book.author,
        )
        for key, own in mine.items()
    }


def mark_moment(
    book: Book, angle: Angle, kind: MomentKind, pts: Pts, rep: Rep | None = None
) -> Moment:
    """Mark that something happens at a frame; marking again moves it.

    A snap marked on a second angle puts the angles beside each other from then on.

    Raises
    ------
    BookError
        When the frame lies outside the clip, a man's moment comes without the man, or the
        reverse.
    """
    if not angle.start_pts <= pts <= angle.stop_pts:
        raise BookError("That frame lies outside this clip; step back into it and mark again.")
    if (kind in _OF_THE_CLIP) != (rep is None):
        raise BookError(
            f"The {kind} belongs to {'the clip' if rep else 'a man; choose him first'}."
        )
    rep_id = rep.id if rep else None
    old = book.find(
        Moment,
        angle_id=angle.id,
        rep_id=rep_id,
        kind=kind,
        source="marked",
        author=book.author,
    )
    moment = (
        replace(old[0], pts=pts)
        if old
        else Moment(angle_id=angle.id, kind=kind, pts=pts, rep_id=rep_id, author=book.author)
    )
    with book.act(f"mark the {kind}") as act:
        act.put(moment)
        if kind == "snap":
            act.put(*_beside(book, angle, pts))
    return moment


def unmark_moment(book: Book, moment: Moment) -> None:
    """Take a moment away."""
    with book.act(f"take the {moment.kind} away") as act:
        act.drop(Moment, moment.id)


def _is_moved(angle: Angle) -> bool:
    """Tell whether an angle was put into the time of another."""
    return angle.scale != 1 or angle.offset_s != 0


def _beside(book: Book, angle: Angle, pts: Pts) -> Iterable[Angle]:
    """Return this angle, moved so that its snap is the other angle's snap."""
    clip = book.get(Clip, angle.clip_id)
    line = timeline_of(book, clip.id)
    for other in line.angles:
        marked = line.moment("snap", angle=other)
        if other.id == angle.id or marked is None:
            continue
        clip_s = other.scale * line.films[other.film_id].time_of(marked.pts) + other.offset_s
        offset_s: Fraction = clip_s - angle.scale * line.films[angle.film_id].time_of(pts)
        return [replace(angle, offset_s=offset_s)]
    return []
