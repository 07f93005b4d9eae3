"""The second angle beside the stage: the same moment of the play from another camera."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from psygnal import Signal

from gradecut.desk.film_place import FilmPlace, Readout, same_time
from gradecut.desk.picture_lane import Picture, PictureLane
from gradecut.desk.playhead import Playhead, away_words
from gradecut.errors import FilmError
from gradecut.film import FrameServer
from gradecut.timebase import Frame
from gradecut.workflows.moments import Timeline

__all__ = ["ONE_ANGLE", "OPENING", "SecondAngle", "apart_words"]

_KEPT = 3
"""Pictures kept until the stage has come to their moment."""
ONE_ANGLE = "This play has one angle only."
OPENING = "Opening the film …"


def apart_words(name: str) -> str:
    """Say what puts another angle beside the one on stage."""
    return (
        f"The {name} film is not put beside this one yet: mark the snap on both (A changes "
        "films, Z marks it), or let their sound tell (Alt+P)."
    )


@dataclass(frozen=True, slots=True)
class _Came:
    """A picture that came, (H, W, 3) uint8 RGB as displayed."""

    frame: Frame
    picture: Picture
    rough: bool


class SecondAngle:
    """Follows the film on stage, frame by frame; nothing is marked on it.

    Its pictures come on their own, before those of the stage or after them: shown is the one
    nearest to the moment the stage shows, so that it never runs ahead.

    Attributes
    ----------
    on : bool
        It is shown.
    place : FilmPlace or None
        Its angle; None where the play has one only.
    why : str
        Why there is no picture; empty when there is nothing wrong.

    Signals
    -------
    changed
        Another picture, another angle, shown or not.
    """

    changed = Signal()

    def __init__(self, head: Playhead, server: FrameServer, say: Callable[[str], None]) -> None:
        self._head = head
        self._server = server
        self._say = say
        self._lane = PictureLane(server, "beside")
        self._lane.came.connect(self._came)
        self._lane.failed.connect(self._failed)
        self._recent: list[_Came] = []
        self._now: _Came | None = None
        self._timeline: Timeline | None = None
        self._paths: Mapping[str, str] = {}
        self.on = False
        self.place: FilmPlace | None = None
        self.why = ""
        head.wished.connect(self._follow)
        head.pictured.connect(self._keep_beside)

    def close(self) -> None:
        """Ask for nothing more."""
        self.on = False
        self._lane.forget()

    def turn(self) -> None:
        """Show it, or the film on stage alone."""
        if not self.on and self._other() is None:
            self._say(ONE_ANGLE)
            return
        self.on = not self.on
        self._take_other()

    def renew(self, timeline: Timeline | None, paths: Mapping[str, str]) -> None:
        """Take over the play shown, and what was marked since."""
        self._timeline, self._paths = timeline, paths
        self._take_other()

    @property
    def found(self) -> bool:
        """Whether its film lies where this computer knows it, and is that film."""
        return self._lane.path is not None

    def refuse(self, why: str) -> None:
        """Show its film no more, and say why."""
        self._load(None)
        self._lane.refuse(None, why)
        self.why = why
        self.changed.emit()

    @property
    def picture(self) -> Picture | None:
        """The picture shown, (H, W, 3) uint8 RGB as displayed; None with ``why`` or ``fault``."""
        return self._now.picture if self._now is not None and not self.fault else None

    @property
    def shown(self) -> Frame | None:
        """Its frame."""
        if self._lane.fault:
            return self._lane.shown
        return self._now.frame if self._now is not None else None

    @property
    def rough(self) -> bool:
        """Whether the picture is a quick copy made from a small one."""
        return self._now is not None and self._now.rough and not self._lane.fault

    @property
    def fault(self) -> str:
        """Why there is no picture; empty when there is one, or one is on its way."""
        return self.why or self._lane.fault

    def readout(self) -> Readout | None:
        """Say where its film stands; None without picture."""
        if self.place is None or self.why or self.shown is None:
            return None
        return self.place.readout(self.shown)

    def words(self) -> str:
        """Say what is shown."""
        told = self.readout()
        if self.fault or told is None or self.place is None:
            return self.fault or OPENING
        return f"Frame {told.words} of {self.place.film.name}."

    def _other(self) -> FilmPlace | None:
        """Return the angle that comes after the one on stage."""
        line, angle = self._timeline, self._head.angle
        if line is None or angle is None:
            return None
        ids = [one.id for one in line.angles]
        if angle.id not in ids or len(ids) == 1:
            return None
        other = line.angles[(ids.index(angle.id) + 1) % len(ids)]
        return FilmPlace(timeline=line, angle=other, path=self._paths.get(other.film_id))

    def _take_other(self) -> None:
        place = self._other() if self.on else None
        path = place.path if place else None
        had, has = (one.angle.id if one else "" for one in (self.place, place))
        if had != has or path != self._lane.path:
            self._load(path)
        self.place = place
        self._follow(self._head.frame)
        self.changed.emit()

    def _follow(self, frame: Frame) -> None:
        """Ask for the moment that a frame on stage shows."""
        here = self._head.place
        if not self.on or here is None or here.timeline is not self._timeline:
            return
        before = self.why
        found = self._frame_beside(frame)
        if found is not None:
            self._lane.ask(found, rough=self._head.hurried or self._head.running.late)
        if found is None or self.why != before:
            self.changed.emit()

    def _frame_beside(self, frame: Frame) -> Frame | None:
        """Return the frame of the same moment; None, and ``why``, where there is none."""
        place, here = self.place, self._head.place
        self.why = ""
        if place is None or here is None or place.angle.id == here.angle.id:
            self.why = ONE_ANGLE
        elif self._lane.path is None:
            self.why = self._lane.fault or away_words(place.film.name)
        else:
            return self._nearest(here, place, frame)
        return None

    def _nearest(self, here: FilmPlace, place: FilmPlace, frame: Frame) -> Frame | None:
        """Return the frame nearest to the moment; None, and ``why``, where none is near."""
        time_s = same_time(here.timeline, here.time_of(frame), here.angle, place.angle)
        if time_s is None:
            self.why = apart_words(place.angle.name)
            return None
        first, last = place.first, place.last
        begins_s = place.time_of(first) - place.length_of(first) / 2
        ends_s = place.time_of(last) + place.length_of(last) / 2
        if begins_s <= time_s <= ends_s:
            return place.inside(place.nearest(time_s))
        self.why = f"The {place.angle.name} film has no picture of this moment."
        return None

    def _came(self, frame: Frame) -> None:
        """Have what lies around its frame made ready too, so that held keys carry both."""
        place, path = self.place, self._lane.path
        here = self._head.place
        if place is not None and path is not None and (here is None or path != here.path):
            self._server.stay_near(path, place.first, place.last, frame)
        if self._lane.picture is not None:
            came = _Came(frame, self._lane.picture, self._lane.rough)
            self._recent = [*self._recent[-_KEPT + 1 :], came]
        self._keep_beside()
        self.changed.emit()

    def _keep_beside(self) -> None:
        """Show, of the pictures that came last, the one nearest to the moment on stage."""
        if not self._recent:
            return
        newest_first = self._recent[::-1]
        goal = self._goal()
        found = newest_first[0]
        if goal is not None:
            found = min(newest_first, key=lambda one: abs(one.frame - goal))
        if found is not self._now:
            self._now = found
            self.changed.emit()

    def _goal(self) -> Frame | None:
        """Return the frame of the moment the stage shows; None where it shows none."""
        place, here, shown = self.place, self._head.place, self._head.shown
        if place is None or here is None or shown is None or self._head.picture is None:
            return None
        time_s = same_time(here.timeline, here.time_of(shown), here.angle, place.angle)
        return None if time_s is None else place.nearest(time_s)

    def _load(self, path: str | None) -> None:
        self._lane.load(path)
        self._recent, self._now = [], None

    def _failed(self, frame: Frame, fault: FilmError) -> None:
        path, place = self._lane.path, self.place
        if place is not None and path is not None and not Path(path).is_file():
            self.refuse(away_words(place.film.name))
            return
        self._lane.show_fault(frame, fault)
        self.changed.emit()
