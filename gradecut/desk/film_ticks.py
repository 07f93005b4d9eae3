"""The ticks below the stage: frames counted from the snap, with what happens at them."""

from __future__ import annotations

from dataclasses import dataclass

from gradecut.desk.clip_state import ClipState, Man
from gradecut.desk.playhead import Playhead, same_moment
from gradecut.records import MomentKind
from gradecut.timebase import Frame

__all__ = ["Tick", "Ticks", "read_ticks"]

_OF_A_MAN: tuple[MomentKind, ...] = ("first step", "go", "contact")


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """One moment on the strip.

    Attributes
    ----------
    certain : bool
        A person marked it on this angle; otherwise it was estimated or carried over from
        another angle.
    """

    kind: MomentKind
    frame: Frame
    certain: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticks:
    """What the strip shows.

    Attributes
    ----------
    first, last : Frame
        Of the clip, in its film.
    zero : Frame
        What is counted from: the snap, or the film's first frame while it is not marked.
    counted_from_snap : bool
    moments : tuple of Tick
        Of the clip, and of the selected man.
    man : str
        Whose moments they are; empty without one.
    """

    first: Frame
    last: Frame
    zero: Frame
    counted_from_snap: bool
    moments: tuple[Tick, ...]
    man: str

    @property
    def words(self) -> str:
        """All moments as text."""
        if not self.moments:
            return "No moment marked yet."
        told = [
            f"{tick.kind} {self.count(tick.frame)}" if tick.kind != "snap" else "snap"
            for tick in self.moments
        ]
        whose = f" of {self.man}" if self.man else ""
        origin = "from the snap" if self.counted_from_snap else "of the film, no snap marked"
        return f"Moments{whose}, in frames {origin}: {', '.join(told)}."

    def count(self, frame: int) -> str:
        """Count a frame: with its sign from the snap, else by its number in the film."""
        by = frame - self.zero
        if not self.counted_from_snap:
            return str(by)
        return f"{'−' if by < 0 else '+'}{abs(by)}"


def read_ticks(state: ClipState, playhead: Playhead, man: Man | None) -> Ticks | None:
    """Read the strip of the angle on stage; None while there is none."""
    angle = playhead.angle
    if angle is None:
        return None
    line = state.timeline
    found: list[Tick] = []
    snap = playhead.snap
    if snap is not None:
        own = line.moment("snap", angle=angle)
        certain = own is not None and own.source == "marked"
        found.append(Tick(kind="snap", frame=snap, certain=certain))
    rep_id = man.rep.id if man and man.rep else None
    wanted = [*((kind, rep_id) for kind in _OF_A_MAN if rep_id), ("whistle", None)]
    for kind, of in wanted:
        for other in (angle, *(one for one in line.angles if one.id != angle.id)):
            moment = line.moment(kind, angle=other, rep_id=of)
            if moment is not None:
                pts = same_moment(line, moment.pts, other, angle)
                if other is angle:
                    pts = moment.pts
                if pts is None or not angle.start_pts <= pts <= angle.stop_pts:
                    continue
                found.append(
                    Tick(
                        kind=moment.kind,
                        frame=playhead.frame_at(pts),
                        certain=other is angle and moment.source == "marked",
                    )
                )
                break
    return Ticks(
        first=playhead.first,
        last=playhead.last,
        zero=Frame(0) if snap is None else snap,
        counted_from_snap=snap is not None,
        moments=tuple(found),
        man=man.who if man else "",
    )
