"""An angle's film on this computer: its frames, its times, and what they are counted from."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from fractions import Fraction

from gradecut.records import Angle, MomentKind, StoredFilm
from gradecut.timebase import Frame, Pts
from gradecut.workflows.films import frame_length, frame_of
from gradecut.workflows.moments import Timeline

__all__ = ["FilmPlace", "Readout", "same_moment", "same_time"]

_LEAD_S = Fraction(1)
"""Where a clip is entered: so long before the snap."""


def same_time(line: Timeline, time_s: Fraction, source: Angle, goal: Angle) -> Fraction | None:
    """Return the film time of another angle that is the same moment of the play, exactly.

    None where the two were not put beside each other and the snap of either is not known:
    two cameras are not started at once. The time may lie outside the other film.
    """
    if source.id == goal.id:
        return time_s
    if line.together(source, goal):
        clip_s = source.scale * time_s + source.offset_s
        return (clip_s - goal.offset_s) / goal.scale
    here, there = line.snap(source), line.snap(goal)
    if here is None or there is None:
        return None
    gone_s = (time_s - line.films[source.film_id].time_of(here)) * source.scale / goal.scale
    return line.films[goal.film_id].time_of(there) + gone_s


def same_moment(line: Timeline, pts: Pts, source: Angle, goal: Angle) -> Pts | None:
    """Return the timestamp nearest to the same moment in another angle's film; see above."""
    if source.id == goal.id:
        return pts
    time_s = same_time(line, line.films[source.film_id].time_of(pts), source, goal)
    return None if time_s is None else line.films[goal.film_id].pts_of(time_s)


@dataclass(frozen=True, slots=True, kw_only=True)
class Readout:
    """Where the film stands.

    Attributes
    ----------
    frame : Frame
        Of its film, from 0.
    from_snap : int or None
        Frames from the snap; None while it is not marked.
    from_snap_s : Fraction or None
        The same in seconds, by the two frames' own presentation times.
    frame_s : Fraction
        How long this frame is shown: nothing is known closer than that.
    film_s : Fraction
        When this frame begins, in seconds from the film's first.
    """

    frame: Frame
    film_s: Fraction
    from_snap: int | None
    from_snap_s: Fraction | None
    frame_s: Fraction

    @property
    def words(self) -> str:
        """As it is shown: "143 · snap +14 · +0.467 s ± 0.033"; film time without a snap."""
        if self.from_snap is None or self.from_snap_s is None:
            return f"{self.frame} · {float(self.film_s):.3f} s · no snap marked"
        if self.from_snap == 0:
            return f"{self.frame} · the snap · 0 s ± {float(self.frame_s):.3f}"
        return (
            f"{self.frame} · snap {_signed(self.from_snap)} · "
            f"{_signed_s(self.from_snap_s)} s ± {float(self.frame_s):.3f}"
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmPlace:
    """One angle of one play.

    Attributes
    ----------
    path : str or None
        Its film's file; None when it was not found on this computer.
    """

    timeline: Timeline
    angle: Angle
    path: str | None

    @property
    def film(self) -> StoredFilm:
        """Its film, as the book knows it."""
        return self.timeline.films[self.angle.film_id]

    @property
    def first(self) -> Frame:
        """First frame of the clip in this film."""
        return self.frame_at(self.angle.start_pts)

    @property
    def last(self) -> Frame:
        """Last frame of the clip in this film."""
        return self.frame_at(self.angle.stop_pts)

    @property
    def snap(self) -> Frame | None:
        """The snap's frame; None while it is not known."""
        pts = self.timeline.snap(self.angle)
        return None if pts is None else self.frame_at(pts)

    @property
    def whistle(self) -> Frame | None:
        """The whistle's frame, marked here or carried over; None while it is not known."""
        pts = self.moment("whistle")
        return None if pts is None else self.frame_at(pts)

    @property
    def entry(self) -> Frame:
        """Where the clip is entered: a second before the snap, or its first frame."""
        snap = self.snap
        if snap is None:
            return self.first
        return self.inside(self.frame_at_time(self.time_of(snap) - _LEAD_S))

    @property
    def looped(self) -> tuple[Frame, Frame]:
        """What is played over and over, both ends in it.

        From the snap to the whistle where both are known, else from a second before the snap
        to the clip's end, else the clip.
        """
        snap, whistle = self.snap, self.whistle
        if snap is not None and whistle is not None and snap < whistle:
            return snap, whistle
        return self.entry, self.last

    def moment(self, kind: MomentKind) -> Pts | None:
        """Return when something of the whole play happens, as seen or carried to this angle."""
        line = self.timeline
        for other in (self.angle, *(one for one in line.angles if one.id != self.angle.id)):
            marked = line.moment(kind, angle=other)
            if marked is None:
                continue
            pts = same_moment(line, marked.pts, other, self.angle)
            if pts is not None and self.angle.start_pts <= pts <= self.angle.stop_pts:
                return pts
        return None

    def inside(self, frame: int) -> Frame:
        """Return the frame of the clip nearest to a frame."""
        return Frame(min(max(frame, self.first), self.last))

    def frame_at(self, pts: Pts) -> Frame:
        """Return the frame of a timestamp in this film, or the nearest one."""
        return frame_of(self.film, pts, self.timeline.times)

    def pts(self, frame: Frame) -> Pts:
        """Return the timestamp of a frame, inside the clip."""
        found = self.film.pts_of(self.time_of(frame))
        return Pts(min(max(found, self.angle.start_pts), self.angle.stop_pts))

    def time_of(self, frame: Frame) -> Fraction:
        """Return when a frame begins, in seconds from the film's first."""
        film = self.film
        if film.rate is not None:
            return Fraction(frame) / film.rate
        listed = self.timeline.times[film.id]
        return film.time_of(Pts(listed[min(max(frame, 0), len(listed) - 1)]))

    def frame_at_time(self, time_s: Fraction) -> Frame:
        """Return the frame on screen at a time in seconds from the film's first."""
        film = self.film
        if film.rate is not None:
            ticks = time_s * film.rate
            return Frame(max(ticks.numerator // ticks.denominator, 0))
        listed = self.timeline.times[film.id]
        return Frame(max(bisect_right(listed, film.pts_of(time_s)) - 1, 0))

    def nearest(self, time_s: Fraction) -> Frame:
        """Return the frame that begins nearest to a time; of two, the later."""
        shown = self.frame_at_time(time_s)
        later = Frame(shown + 1)
        nearer = abs(self.time_of(later) - time_s) <= abs(time_s - self.time_of(shown))
        return later if nearer and self.time_of(later) > self.time_of(shown) else shown

    def length_of(self, frame: Frame) -> Fraction:
        """Return how long a frame is shown, in seconds."""
        return frame_length(self.film, self.pts(frame), self.timeline.times)

    def readout(self, frame: Frame) -> Readout:
        """Say where a frame stands."""
        snap = self.snap
        return Readout(
            frame=frame,
            film_s=self.time_of(frame),
            from_snap=None if snap is None else frame - snap,
            from_snap_s=None if snap is None else self.time_of(frame) - self.time_of(snap),
            frame_s=self.length_of(frame),
        )


def _signed(number: int) -> str:
    return f"{'−' if number < 0 else '+'}{abs(number)}"


def _signed_s(seconds: Fraction) -> str:
    return f"{'−' if seconds < 0 else '+'}{abs(float(seconds)):.3f}"
