"""The ticks below the stage: frames counted from the snap, with what happens at them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from gradecut.desk.clip_state import ClipState, Man
from gradecut.desk.film_place import same_moment
from gradecut.desk.marks_seen import MarkStretch
from gradecut.desk.playhead import Playhead
from gradecut.records import MomentKind
from gradecut.timebase import Frame

__all__ = ["Tick", "Ticks", "lost_stretches", "lost_words", "read_ticks"]

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
    loop : (Frame, Frame) or None
        What is played over and over, both ends in it; None while it is not.
    lost : tuple of (Frame, Frame)
        Stretches whose pictures can't be shown, both ends in them.
    drawn : tuple of MarkStretch
        Where marks are seen.
    """

    first: Frame
    last: Frame
    zero: Frame
    counted_from_snap: bool
    moments: tuple[Tick, ...]
    man: str
    loop: tuple[Frame, Frame] | None = None
    lost: tuple[tuple[Frame, Frame], ...] = ()
    drawn: tuple[MarkStretch, ...] = ()

    @property
    def words(self) -> str:
        """All that the strip shows, as text."""
        parts = [self._moments_words, self.drawn_words, self.lost_words]
        if self.loop is not None:
            parts.append(f"Plays over and over: {self.loop_words}.")
        return " ".join(part for part in parts if part)

    @property
    def drawn_words(self) -> str:
        """From where to where marks are seen, and where the chosen one is set by hand."""
        told = []
        for one in self.drawn:
            first, last = self.count(one.first), self.count(one.last)
            keys = ", ".join(self.count(key) for key in one.keys)
            by_hand = f", set by hand at {keys}" if keys and one.chosen else ""
            stretch = f"at {first}" if one.first == one.last else f"{first} to {last}"
            told.append(f"{one.words} {stretch}{by_hand}{', chosen' if one.chosen else ''}")
        return f"Drawn: {'; '.join(told)}." if told else ""

    @property
    def lost_words(self) -> str:
        """Which frames can't be shown; empty when all can."""
        return lost_words(self.lost)

    @property
    def loop_words(self) -> str:
        """What is played over and over."""
        if self.loop is None:
            return ""
        first, last = self.loop
        if (first, last) == (self.first, self.last):
            return "the whole clip"
        kinds = {tick.frame: tick.kind for tick in self.moments}
        if kinds.get(first) == "snap":
            return "the snap to the whistle"
        return "a second before the snap to the end"

    @property
    def _moments_words(self) -> str:
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


def read_ticks(
    state: ClipState, playhead: Playhead, man: Man | None, *, drawn: tuple[MarkStretch, ...] = ()
) -> Ticks | None:
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
        loop=playhead.place.looped if playhead.looping and playhead.place else None,
        lost=lost_stretches(playhead.lost, playhead.first, playhead.last),
        drawn=drawn,
    )


def lost_stretches(
    frames: Iterable[Frame], first: Frame, last: Frame
) -> tuple[tuple[Frame, Frame], ...]:
    """Gather the lost frames of a clip to stretches without a gap, both ends in them."""
    found: list[tuple[Frame, Frame]] = []
    for frame in sorted(one for one in frames if first <= one <= last):
        if found and found[-1][1] == frame - 1:
            found[-1] = (found[-1][0], frame)
        else:
            found.append((frame, frame))
    return tuple(found)


def lost_words(stretches: Sequence[tuple[Frame, Frame]]) -> str:
    """Say which frames can't be shown; empty when all can."""
    if not stretches:
        return ""
    told = [f"{one} to {two}" if two > one else str(one) for one, two in stretches]
    several = len(stretches) > 1 or stretches[0][0] < stretches[0][1]
    return f"{'Frames' if several else 'Frame'} {', '.join(told)} can't be shown."
