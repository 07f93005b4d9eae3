"""What of a film is on the stage: which angle, which frame of it, and its picture."""

from __future__ import annotations

from fractions import Fraction

from gradecut.desk.film_place import FilmPlace, Readout
from gradecut.desk.picture_lane import Picture, PictureLane
from gradecut.film import FrameServer
from gradecut.records import Angle, StoredFilm
from gradecut.timebase import Frame, Pts

__all__ = ["OnStage"]


class OnStage:
    """The angle on stage and what is seen of it; whoever moves it builds on this.

    Attributes
    ----------
    place : FilmPlace or None
        The angle on stage.
    frame : Frame
        The frame wished for; while it plays, the one that is shown.
    """

    def __init__(self, server: FrameServer) -> None:
        self._server = server
        self._lane = PictureLane(server)
        self.place: FilmPlace | None = None
        self.frame = Frame(0)

    @property
    def angle(self) -> Angle | None:
        """The angle on stage."""
        return self.place.angle if self.place else None

    @property
    def film(self) -> StoredFilm | None:
        """Its film."""
        return self.place.film if self.place else None

    @property
    def found(self) -> bool:
        """Whether the film lies where this computer knows it, and is that film."""
        return self._lane.path is not None

    @property
    def shown(self) -> Frame | None:
        """The frame of ``picture``, or the one whose picture ``fault`` misses."""
        return self._lane.shown

    @property
    def seen(self) -> Frame:
        """The frame that is told: the one shown; the one wished for while none is."""
        return self.frame if self._lane.shown is None else self._lane.shown

    @property
    def picture(self) -> Picture | None:
        """The newest picture that came, (H, W, 3) uint8 RGB as displayed."""
        return self._lane.picture

    @property
    def rough(self) -> bool:
        """Whether it is a quick copy made from a small picture."""
        return self._lane.rough

    @property
    def fault(self) -> str:
        """Why there is no picture; empty when there is nothing wrong."""
        return self._lane.fault

    @property
    def lost(self) -> frozenset[Frame]:
        """Frames of the film that are known not to be decodable."""
        return self._server.lost(self._lane.path) if self._lane.path else frozenset()

    # ------------------------------------------------------------------ frames and times

    @property
    def first(self) -> Frame:
        """First frame of the clip in this film."""
        return self.place.first if self.place else Frame(0)

    @property
    def last(self) -> Frame:
        """Last frame of the clip in this film."""
        return self.place.last if self.place else Frame(0)

    @property
    def snap(self) -> Frame | None:
        """The snap's frame; None while it is not known."""
        return self.place.snap if self.place else None

    def pts(self, frame: Frame | None = None) -> Pts:
        """Return the timestamp of a frame, the one wished for when None, inside the clip."""
        if self.place is None:
            return Pts(0)
        return self.place.pts(self.frame if frame is None else frame)

    def time_of(self, frame: Frame) -> Fraction:
        """Return when a frame begins, in seconds from the film's first."""
        return self.place.time_of(frame) if self.place else Fraction(0)

    def frame_at(self, pts: Pts) -> Frame:
        """Return the frame of a timestamp in this film."""
        return self.place.frame_at(pts) if self.place else Frame(0)

    def readout(self) -> Readout | None:
        """Say where the film that is seen stands; None without film."""
        return self.place.readout(self.seen) if self.place else None
