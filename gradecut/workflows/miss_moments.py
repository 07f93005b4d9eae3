"""Where to stop the film to see how a man fitted: the frame is chosen from what is recorded."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from gradecut.progress import CancelToken
from gradecut.records import Angle, Mark, MomentKind, Rep
from gradecut.timebase import Frame, Pts
from gradecut.workflows.films import frame_of, pts_of_frame
from gradecut.workflows.found_snaps import FoundSnaps
from gradecut.workflows.moments import Timeline

__all__ = ["MissMoment", "frame_words", "marks_of_frame", "miss_moment", "where_drawn"]

_AFTER_STEP_S, _AFTER_SNAP_S = Fraction(1), Fraction(3, 2)
"""When he is in or out of his fit, where nobody marked it (common practice, no source)."""
_IN_PLACE: tuple[tuple[MomentKind, str], ...] = (("contact", "contact"), ("go", "he goes"))
_NO_MEANING = ("bracket",)
"""Marks that say who he is, and nothing of where he fitted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MissMoment:
    """The frame at which to look at how a man fitted.

    Attributes
    ----------
    angle : Angle
        The view to show.
    pts : Pts
        In that view's film, within the play.
    why : str
        What it was chosen by, in a few words: "contact", "1 s after his first step".
    snap : Pts or None
        The snap in that film: as it is known, else as found by the film's motion.
    """

    angle: Angle
    pts: Pts
    why: str
    snap: Pts | None = None


def miss_moment(
    rep: Rep,
    timeline: Timeline,
    marks: Sequence[Mark],
    here: Mapping[str, str],
    snaps: FoundSnaps,
    *,
    cancel: CancelToken | None = None,
) -> MissMoment | None:
    """Choose the frame at which to see how a man fitted, and say what it was chosen by.

    His contact; else the frame he goes; else the middle of a mark drawn on him after the
    snap (one drawn at the snap shows how he stood), or of one that is nobody's, such as a lane;
    else a second after his first step; else
    a second and a half after the snap, found by the film's motion where nobody marked it; else the
    middle of the play.

    Parameters
    ----------
    timeline : Timeline
        Of his play.
    marks : sequence of Mark
        Any marks; his and nobody's count.
    here : mapping of film id to path
        The films that are on this computer.
    snaps : FoundSnaps
        Finds the snap by the film where nobody marked it.

    Returns
    -------
    MissMoment or None
        None where no film of the play is here. What was marked on a film that is away is
        carried to one that lies beside it.

    Raises
    ------
    Cancelled
        When asked to stop while a film is looked through.
    """
    shown = [angle for angle in timeline.angles if angle.film_id in here]
    if not shown:
        return None
    drawn = {mark.angle_id for mark in _drawn_for(rep, marks)}
    ranked = sorted(
        shown, key=lambda angle: (timeline.snap(angle) is None, angle.id not in drawn)
    )  # fmt: skip
    for source, pts, why in _found(rep, timeline, marks):
        for goal in (source, *ranked):
            if goal in ranked and (goal.id == source.id or timeline.together(source, goal)):
                carried = pts if goal.id == source.id else timeline.carry(pts, source, goal)
                if goal.start_pts <= carried <= goal.stop_pts:
                    snap = timeline.snap(goal)
                    return MissMoment(angle=goal, pts=carried, why=why, snap=snap)
    snap = timeline.snap(ranked[0])
    if snap is not None:
        return _in_the_middle(ranked[0], snap, "it ends soon after the snap")
    snap = snaps.snap_of(here[ranked[0].film_id], ranked[0], cancel)
    return _by_found_snap(timeline, ranked[0], snap)


def _by_found_snap(timeline: Timeline, angle: Angle, snap: Pts | None) -> MissMoment:
    """Choose the frame of a play of which nothing that helps is marked."""
    later = None if snap is None else _later(timeline, angle, snap, _AFTER_SNAP_S)
    if later is None or later > angle.stop_pts:
        return _in_the_middle(angle, snap, "no snap is marked, and none was found")
    by_motion = f"{float(_AFTER_SNAP_S):g} s after the snap as the film's motion tells it"
    return MissMoment(angle=angle, pts=later, why=f"{by_motion}; none is marked", snap=snap)


def _in_the_middle(angle: Angle, snap: Pts | None, why: str) -> MissMoment:
    middle = Pts((angle.start_pts + angle.stop_pts) // 2)
    return MissMoment(angle=angle, pts=middle, why=f"the middle of the play: {why}", snap=snap)


def _found(rep: Rep, timeline: Timeline, marks: Sequence[Mark]) -> Iterator[tuple[Angle, Pts, str]]:
    """Give the frames that are told of, the best first: angle, timestamp, what it is."""
    for kind, why in _IN_PLACE:
        for angle in timeline.angles:
            told = timeline.moment(kind, angle=angle, rep_id=rep.id)
            if told is not None:
                yield angle, told.pts, why
    for whose, where in ((rep.id, "on him"), (None, "on this play")):
        for angle in timeline.angles:
            snap = timeline.snap(angle)
            for mark in marks:
                middle = Pts((mark.from_pts + mark.to_pts) // 2)
                of_fit = mark.rep_id == whose and mark.kind not in _NO_MEANING
                after = snap is None or middle > snap
                if of_fit and mark.angle_id == angle.id and after:
                    yield angle, middle, f"the {mark.kind} drawn {where}"
    for angle in timeline.angles:
        step = timeline.moment("first step", angle=angle, rep_id=rep.id)
        if step is not None:
            why = f"{_AFTER_STEP_S} s after his first step; nothing later is marked"
            yield angle, _later(timeline, angle, step.pts, _AFTER_STEP_S), why
    for angle in timeline.angles:
        snap = timeline.snap(angle)
        if snap is not None:
            why = f"{float(_AFTER_SNAP_S):g} s after the snap; nothing of his is marked"
            yield angle, _later(timeline, angle, snap, _AFTER_SNAP_S), why


def _drawn_for(rep: Rep, marks: Sequence[Mark]) -> list[Mark]:
    """Return what is drawn on a man; where nothing is, what is drawn on the play as nobody's."""
    mine = [mark for mark in marks if mark.rep_id == rep.id]
    return mine or [mark for mark in marks if mark.rep_id is None]


def _later(timeline: Timeline, angle: Angle, pts: Pts, by_s: Fraction) -> Pts:
    film = timeline.films[angle.film_id]
    return film.pts_of(film.time_of(pts) + by_s)


def marks_of_frame(marks: Sequence[Mark], rep: Rep, angle: Angle, pts: Pts) -> tuple[Mark, ...]:
    """Return what is seen drawn on one frame: marks of this rep, and of nobody's."""
    return tuple(
        mark
        for mark in marks
        if mark.angle_id == angle.id
        and mark.rep_id in (None, rep.id)
        and mark.from_pts <= pts <= mark.to_pts
    )


def where_drawn(marks: Sequence[Mark], rep: Rep, pts: Pts) -> Pts | None:
    """Return the frame to see what is drawn for a rep, where none of it is seen at ``pts``.

    Of the frames they were drawn on, the one on which most of them are seen: where a mark was
    first set by hand, else the middle of its stretch, which lies around the frame it was drawn on.
    """
    mine = _drawn_for(rep, marks)
    if not mine or any(mark.from_pts <= pts <= mark.to_pts for mark in mine):
        return None
    return max(
        (_drawn_on(mark) for mark in mine),
        key=lambda at: sum(mark.from_pts <= at <= mark.to_pts for mark in mine),
    )


def _drawn_on(mark: Mark) -> Pts:
    """Return the frame a mark was drawn on; its stretch may have been cut short of it since."""
    if mark.keys:
        return min(max(mark.keys[0].pts, mark.from_pts), mark.to_pts)
    return Pts((mark.from_pts + mark.to_pts) // 2)


def frame_words(timeline: Timeline, angle: Angle, pts: Pts) -> str:
    """Tell a frame as the stage does: "frame 143 · snap +6 · +0.200 s"; without a snap its number.

    Frames count from 0 in the film.
    """
    film = timeline.films[angle.film_id]
    frame, snap = frame_of(film, pts, timeline.times), timeline.snap(angle)
    if snap is None:
        return f"frame {frame}"
    at_snap = frame_of(film, snap, timeline.times)
    gone_s = _shown_s(timeline, angle, frame) - _shown_s(timeline, angle, at_snap)
    if frame == at_snap:
        return f"frame {frame} · snap"
    told = f"frame {frame} · snap {frame - at_snap:+d} · {float(gone_s):+.3f} s"
    return told.replace("-", "\N{MINUS SIGN}")


def _shown_s(timeline: Timeline, angle: Angle, frame: Frame) -> Fraction:
    film = timeline.films[angle.film_id]
    return film.time_of(pts_of_frame(film, frame, timeline.times))
