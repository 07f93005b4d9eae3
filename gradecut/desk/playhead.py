"""Which frame of which angle is on the stage, stepped, sought and played."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray
from psygnal import Signal

from gradecut.errors import FilmError
from gradecut.film import FrameServer
from gradecut.records import Angle, StoredFilm
from gradecut.timebase import Frame, Pts, pts_at
from gradecut.workflows.films import frame_length, frame_of
from gradecut.workflows.moments import Timeline

__all__ = ["SPEEDS", "Playhead", "Readout", "same_moment"]

SPEEDS = (Fraction(1, 4), Fraction(1, 2), Fraction(1))
_LEAD_S = Fraction(1)
"""Where a clip is entered: so long before the snap."""

Picture = NDArray[np.uint8]


def same_moment(line: Timeline, pts: Pts, source: Angle, goal: Angle) -> Pts | None:
    """Return the timestamp in another angle's film as far from the snap as one in this.

    None where the snap of either is not known: two cameras are not started at once.
    """
    here, there = line.snap(source), line.snap(goal)
    if here is None or there is None:
        return None
    first, second = line.films[source.film_id], line.films[goal.film_id]
    gone_s = first.time_of(pts) - first.time_of(here)
    return second.pts_of(second.time_of(there) + gone_s)


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
    """

    frame: Frame
    from_snap: int | None
    from_snap_s: Fraction | None
    frame_s: Fraction

    @property
    def words(self) -> str:
        """As it is shown: "143 · snap +14 · +0.467 s ± 0.033"."""
        if self.from_snap is None or self.from_snap_s is None:
            return f"{self.frame} · no snap marked"
        if self.from_snap == 0:
            return f"{self.frame} · the snap · 0 s ± {float(self.frame_s):.3f}"
        return (
            f"{self.frame} · snap {_signed(self.from_snap)} · "
            f"{_signed_s(self.from_snap_s)} s ± {float(self.frame_s):.3f}"
        )


class Playhead:
    """The film on the stage; asks for frames and never waits for one.

    While a frame is on its way only the newest wish is kept, so a held key or slow decoding
    skips frames instead of falling behind.

    Attributes
    ----------
    angle : Angle or None
    film : StoredFilm or None
    frame : Frame
        The frame wished for.
    shown : Frame or None
        The frame of ``picture``.
    picture : (H, W, 3) uint8 array or None
        The newest picture that came; RGB as displayed.
    fault : str
        Why there is no picture; empty when there is nothing wrong.
    playing : bool
    speed : Fraction

    Signals
    -------
    moved
        Another frame is wished for, or another film.
    pictured
        A picture has come, or its fault.
    play_changed
        Playing began or ended, or its speed changed.
    """

    moved = Signal()
    pictured = Signal()
    play_changed = Signal()

    def __init__(self, post: Callable[[Callable[[], None]], None]) -> None:
        self._server = FrameServer(post)
        self._timeline: Timeline | None = None
        self._path: str | None = None
        self._asked: Frame | None = None
        self._began: tuple[float, Fraction] | None = None
        self.angle: Angle | None = None
        self.film: StoredFilm | None = None
        self.frame = Frame(0)
        self.shown: Frame | None = None
        self.picture: Picture | None = None
        self.fault = ""
        self.playing = False
        self.speed = Fraction(1)

    def close(self) -> None:
        """Stop the decoder."""
        self.playing = False
        self._server.close()

    # ------------------------------------------------------------------ what is on stage

    def show(self, timeline: Timeline, angle: Angle | None, path: str | None, at: Frame) -> None:
        """Put an angle on the stage.

        Parameters
        ----------
        path : str or None
            Its film; None when it was not found on this computer.
        at : Frame
            Where to enter it.
        """
        self._timeline, self.angle, self._path = timeline, angle, path
        self.film = timeline.films[angle.film_id] if angle else None
        self.shown = self.picture = self._asked = None
        self.fault = ""
        self._began = None
        if angle is None:
            self.fault = "No film of this play yet."
        elif path is None:
            name = self.film.name if self.film else ""
            self.fault = f"The film “{name}” is not where it was; show the folder it lies in now."
        self.frame = self._inside(at)
        self.moved.emit()
        self._ask()

    def show_entry(self, timeline: Timeline, angle: Angle, path: str | None) -> None:
        """Put an angle on the stage where its clip is entered; see ``entry``."""
        self._timeline, self.angle = timeline, angle
        self.film = timeline.films[angle.film_id]
        self.show(timeline, angle, path, self.entry)

    def renew(self, timeline: Timeline, path: str | None) -> None:
        """Take over what was marked since; the frame stays."""
        self._timeline = timeline
        if self.angle is None:
            return
        self.angle = next((one for one in timeline.angles if one.id == self.angle.id), None)
        if path != self._path:
            self.show(timeline, self.angle, path, self.frame)
        else:
            self.moved.emit()

    def look_ahead(self, timeline: Timeline, angle: Angle, path: str) -> None:
        """Decode the first picture of another clip while nothing else is asked for."""
        film = timeline.films[angle.film_id]
        snap = timeline.snap(angle)
        at = angle.start_pts
        if snap is not None:
            lead = pts_at(_LEAD_S, film.time_base)
            at = max(Pts(snap - lead), angle.start_pts)
        self._server.prefetch(path, frame_of(film, at, timeline.times))

    # ------------------------------------------------------------------ frames and times

    @property
    def found(self) -> bool:
        """Whether the film lies where this computer knows it."""
        return self._path is not None

    @property
    def first(self) -> Frame:
        """First frame of the clip in this film."""
        return self._frame_at(self.angle.start_pts) if self.angle else Frame(0)

    @property
    def last(self) -> Frame:
        """Last frame of the clip in this film."""
        return self._frame_at(self.angle.stop_pts) if self.angle else Frame(0)

    @property
    def snap(self) -> Frame | None:
        """The snap's frame; None while it is not marked."""
        if self._timeline is None or self.angle is None:
            return None
        pts = self._timeline.snap(self.angle)
        return None if pts is None else self._frame_at(pts)

    @property
    def entry(self) -> Frame:
        """Where the clip is entered: a second before the snap, or its first frame."""
        snap = self.snap
        if snap is None:
            return self.first
        return self._inside(self.frame_at_time(self.time_of(snap) - _LEAD_S))

    def pts(self, frame: Frame | None = None) -> Pts:
        """Return the timestamp of a frame, this one when None, inside the clip."""
        if self.film is None or self.angle is None:
            return Pts(0)
        wanted = self.frame if frame is None else frame
        found = self.film.pts_of(self.time_of(wanted))
        return Pts(min(max(found, self.angle.start_pts), self.angle.stop_pts))

    def time_of(self, frame: Frame) -> Fraction:
        """Return when a frame begins, in seconds from the film's first."""
        if self.film is None:
            return Fraction(0)
        if self.film.rate is not None:
            return Fraction(frame) / self.film.rate
        listed = self._listed()
        return self.film.time_of(Pts(listed[min(max(frame, 0), len(listed) - 1)]))

    def frame_at_time(self, time_s: Fraction) -> Frame:
        """Return the frame on screen at a time in seconds from the film's first."""
        if self.film is None:
            return Frame(0)
        if self.film.rate is not None:
            ticks = time_s * self.film.rate
            return Frame(max(ticks.numerator // ticks.denominator, 0))
        return Frame(max(bisect_right(self._listed(), self.film.pts_of(time_s)) - 1, 0))

    def frame_at(self, pts: Pts) -> Frame:
        """Return the frame of a timestamp in this film."""
        return self._frame_at(pts)

    def readout(self) -> Readout | None:
        """Say where the film stands; None without film."""
        if self.film is None or self._timeline is None:
            return None
        snap = self.snap
        return Readout(
            frame=self.frame,
            from_snap=None if snap is None else self.frame - snap,
            from_snap_s=None if snap is None else self.time_of(self.frame) - self.time_of(snap),
            frame_s=frame_length(self.film, self.pts(), self._timeline.times),
        )

    # ------------------------------------------------------------------ moving

    def seek(self, frame: int) -> None:
        """Go to a frame of the clip; playing goes on from there."""
        goal = self._inside(Frame(frame))
        self._began = None
        if goal != self.frame:
            self.frame = goal
            self.moved.emit()
        self._ask()

    def step(self, by: int) -> None:
        """Stop and step so many frames."""
        self.pause()
        self.seek(self.frame + by)

    def play(self) -> None:
        """Play from here; from the entry when the clip is at its end."""
        if self.angle is None or self._path is None:
            return
        if self.frame >= self.last:
            self.seek(self.entry)
        self.playing, self._began = True, None
        self.play_changed.emit()

    def pause(self) -> None:
        """Stand still."""
        if self.playing:
            self.playing, self._began = False, None
            self.play_changed.emit()

    def set_speed(self, speed: Fraction) -> None:
        """Play at another speed; 1 is the speed of life."""
        self.speed, self._began = speed, None
        self.play_changed.emit()

    def tick(self, now_s: float) -> None:
        """Move on to the frame that is due; call often while it plays.

        Parameters
        ----------
        now_s : float
            Of a clock that only goes forward, in seconds.
        """
        if not self.playing:
            return
        if self._began is None:
            if self.shown is not None:
                self._began = (now_s, self.time_of(self.frame))
            return
        at, from_s = self._began
        due_s = from_s + Fraction(now_s - at) * self.speed
        due = self.frame_at_time(due_s)
        if due >= self.last:
            self.frame = self.last
            self.moved.emit()
            self._ask()
            self.pause()
        elif due > self.frame:
            self.frame = due
            self.moved.emit()
            self._ask()

    # ------------------------------------------------------------------ pictures

    def _ask(self) -> None:
        """Ask for the wished frame, unless one is still on its way."""
        path = self._path
        if path is None:
            self.pictured.emit()
            return
        if self._asked is None and self.frame != self.shown:
            self._asked = self.frame
            self._server.request(
                path,
                self.frame,
                lambda frame, picture: self._came(path, frame, picture),
                lambda fault: self._failed(path, fault),
            )

    def _came(self, path: str, frame: Frame, picture: Picture) -> None:
        if path != self._path:
            return
        self._asked = None
        self.shown, self.picture, self.fault = frame, picture, ""
        self.pictured.emit()
        self._ask()

    def _failed(self, path: str, fault: FilmError) -> None:
        if path != self._path:
            return
        failed, self._asked = self._asked, None
        self.fault = fault.reason[:1].upper() + fault.reason[1:]
        self.shown = failed
        self.picture = None
        self.pictured.emit()
        self._ask()

    def _inside(self, frame: Frame) -> Frame:
        return Frame(min(max(frame, self.first), self.last))

    def _frame_at(self, pts: Pts) -> Frame:
        if self.film is None or self._timeline is None:
            return Frame(0)
        return frame_of(self.film, pts, self._timeline.times)

    def _listed(self) -> tuple[int, ...]:
        if self.film is None or self._timeline is None:
            return (0,)
        return tuple(self._timeline.times[self.film.id])


def _signed(number: int) -> str:
    return f"{'−' if number < 0 else '+'}{abs(number)}"


def _signed_s(seconds: Fraction) -> str:
    return f"{'−' if seconds < 0 else '+'}{abs(float(seconds)):.3f}"
