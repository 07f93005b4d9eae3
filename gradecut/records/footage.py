"""Films, sessions, clips and their angles."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from typing import Literal

from gradecut.records.fingerprint import Fingerprint
from gradecut.records.ids import new_id
from gradecut.timebase import Pts, pts_at, time_at

__all__ = [
    "Angle",
    "Clip",
    "ClipKind",
    "FilmFile",
    "FilmIndex",
    "FrameTimes",
    "Script",
    "Session",
    "SessionKind",
    "StoredFilm",
    "Tempo",
]

SessionKind = Literal["practice", "scrimmage", "game"]
ClipKind = Literal["run", "pass", "kick", "no play"]
Tempo = Literal["walk", "thud", "live", ""]


@dataclass(frozen=True, slots=True, kw_only=True)
class StoredFilm:
    """One film as the book knows it, wherever its file lies.

    Attributes
    ----------
    width, height : int
        Pixels as displayed.
    rate : Fraction or None
        Frames a second; None when it varies.
    time_base : Fraction
        Seconds a tick of the film's timestamps.
    first_pts : Pts
        Timestamp of the first displayed frame; film time counts from it.
    recorded_at : str
        When it was filmed, ISO 8601 in UTC, as the camera says, else the file's time;
        empty when neither is known.
    """

    id: str = field(default_factory=new_id)
    name: str
    fingerprint: Fingerprint
    width: int
    height: int
    rate: Fraction | None
    time_base: Fraction
    frame_count: int
    first_pts: Pts
    duration_s: Fraction
    recorded_at: str = ""

    def time_of(self, pts: Pts) -> Fraction:
        """Return film time in seconds, counted from the first displayed frame."""
        return time_at(Pts(pts - self.first_pts), self.time_base)

    def pts_of(self, time_s: Fraction) -> Pts:
        """Return the timestamp nearest to a film time in seconds."""
        return Pts(pts_at(time_s, self.time_base) + self.first_pts)


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmFile:
    """Where a film's file lies on one computer."""

    id: str = field(default_factory=new_id)
    film_id: str
    computer: str
    path: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FilmIndex:
    """Where every frame of a film lies in its file, so that no computer looks for them again.

    It can be made anew from the film at any time.

    Attributes
    ----------
    data : bytes
        As the film room packs it; from another computer, so it is checked before use.
    """

    id: str = field(default_factory=new_id)
    film_id: str
    data: bytes


@dataclass(frozen=True, slots=True, kw_only=True)
class FrameTimes:
    """When each frame of a film of varying rate is shown; one for each such film.

    Attributes
    ----------
    pts : tuple of int
        Presentation timestamps of all displayed frames, rising, in the film's time base.
    """

    id: str = field(default_factory=new_id)
    film_id: str
    pts: tuple[int, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Session:
    """One practice, scrimmage or game.

    Attributes
    ----------
    day : str
        ISO 8601 date; empty when not told.
    level : str
        Whose field rules: "NFHS", "NCAA" or "NFL".
    """

    id: str = field(default_factory=new_id)
    name: str
    kind: SessionKind = "practice"
    day: str = ""
    level: str = "NCAA"


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """The script of a session as it was brought in.

    Attributes
    ----------
    name : str
        What its file was called.
    text : str
        The sheet itself, as CSV.
    """

    id: str = field(default_factory=new_id)
    session_id: str
    name: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Clip:
    """One play.

    Attributes
    ----------
    order : int
        Place in its session, from 1: the number the coach says.
    script_number : int or None
        The line of the practice script it was matched to.
    yards_gained : int or None
        By the offence; None when not told.
    """

    id: str = field(default_factory=new_id)
    session_id: str
    order: int
    script_number: int | None = None
    period: str = ""
    kind: ClipKind = "run"
    tempo: Tempo = ""
    call: str = ""
    unit: str = ""
    down: int | None = None
    to_go: str = ""
    ball_on: str = ""
    hash: str = ""
    personnel: str = ""
    formation: str = ""
    yards_gained: int | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Angle:
    """One view of a clip: a stretch of one film.

    Attributes
    ----------
    name : str
        "end" or "side" unless the coach names it.
    start_pts, stop_pts : Pts
        First and last frame of the stretch, both in it, in the film's time base.
    scale, offset_s : Fraction
        Clip time = scale x film time + offset_s, which puts angles beside each other.
    turn : int
        How far the picture of the look is turned to be seen as this film is, in degrees
        clockwise: 0 from behind the offence, 180 from behind the defence, 90 and 270 from
        the side.
    """

    id: str = field(default_factory=new_id)
    clip_id: str
    film_id: str
    name: str
    start_pts: Pts
    stop_pts: Pts
    scale: Fraction = Fraction(1)
    offset_s: Fraction = Fraction(0)
    turn: int = 0
