"""One rep as pieces of a reel that asks before it shows."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from gradecut.grading import number_worn
from gradecut.progress import CancelToken
from gradecut.records import Angle, Freeze, Mark, Piece, RepLine
from gradecut.records.ids import new_id
from gradecut.reels import caption_of
from gradecut.reports.wording import run_words
from gradecut.timebase import Pts
from gradecut.workflows.found_snaps import FoundSnaps
from gradecut.workflows.miss_moments import (
    MissMoment,
    marks_of_frame,
    miss_moment,
    where_drawn,
)
from gradecut.workflows.moments import Timeline

__all__ = ["AskedRep", "asked_pieces", "who_words"]

_BEFORE_S, _AFTER_S = Fraction(2), Fraction(3)
_ON_S = Fraction(3, 2)
"""How long film goes on after his miss, at the least."""
_READ_S, _LEAD_S = Fraction(2, 5), Fraction(1, 2)
"""A man has read his key this long after the snap (common practice, no source); and the question
comes this long before his fit, at the least."""
_EDGE_S = Fraction(1, 10)
_ASK_HOLD_S, _SHOW_HOLD_S, _DRAWN_HOLD_S = Fraction(4), Fraction(5), Fraction(4)
_NEAR_S = Fraction(1, 2)
"""So near to the question's frame a man's bracket still holds him."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedRep:
    """A rep with the moments of its film.

    Attributes
    ----------
    angle : Angle
        The view that is shown.
    anchor : Pts
        What the piece's seconds are counted from: the snap, as marked or as found, else the
        play's first frame.
    has_snap : bool
        Whether the anchor is the snap.
    miss : MissMoment
        Where he is in or out of his fit.
    marks : tuple of Mark
        His marks and nobody's, on this view.
    """

    line: RepLine
    timeline: Timeline
    angle: Angle
    anchor: Pts
    has_snap: bool
    miss: MissMoment
    marks: tuple[Mark, ...]

    @classmethod
    def of(
        cls,
        line: RepLine,
        timeline: Timeline,
        marks: Sequence[Mark],
        here: Mapping[str, str],
        snaps: FoundSnaps,
        *,
        cancel: CancelToken | None = None,
    ) -> AskedRep | None:
        """Choose view and moments of a rep; None where no film of it is on this computer."""
        miss = miss_moment(line.rep, timeline, marks, here, snaps, cancel=cancel)
        if miss is None:
            return None
        return cls(
            line=line,
            timeline=timeline,
            angle=miss.angle,
            anchor=miss.angle.start_pts if miss.snap is None else miss.snap,
            has_snap=miss.snap is not None,
            miss=miss,
            marks=tuple(
                mark
                for mark in marks
                if mark.angle_id == miss.angle.id and mark.rep_id in (None, line.rep.id)
            ),
        )

    def after_s(self, pts: Pts) -> Fraction:
        """Return when a timestamp comes, in seconds from the anchor."""
        film = self.timeline.films[self.angle.film_id]
        return film.time_of(pts) - film.time_of(self.anchor)

    @property
    def ask_s(self) -> Fraction:
        """When to ask: at his first step, else when he has read his key; before his fit."""
        miss_s = self.after_s(self.miss.pts)
        first_s, last_s = self.after_s(self.angle.start_pts), self.after_s(self.angle.stop_pts)
        step = self.timeline.moment("first step", angle=self.angle, rep_id=self.line.rep.id)
        if not self.has_snap:
            ask_s = miss_s - 3 * _LEAD_S
        elif step is not None:
            ask_s = self.after_s(step.pts)
        else:
            ask_s = _READ_S
        ask_s = min(ask_s, miss_s - _LEAD_S, last_s - 2 * _EDGE_S)
        least_s = Fraction(0) if self.has_snap else first_s
        return max(ask_s, least_s, first_s + _EDGE_S)


def who_words(line: RepLine) -> str:
    """Say who it is as worn: "Keel 52"."""
    return f"{line.rep.position} {number_worn(line.player, [line])}".strip()


def asked_pieces(
    asked: AskedRep, *, reel_id: str, order: int, rate: Fraction
) -> tuple[list[Piece], list[Mark]]:
    """Make the pieces of one rep: up to the question, on to his fit, and back to what was drawn.

    The first has a card and stands still with the question and nothing but his bracket on
    the picture. The second stands still at his fit with the marks seen there and the answer;
    where his marks are not seen there, a third shows the frame they were drawn on.

    Returns
    -------
    (list of Piece, list of Mark)
        In order; and every mark they name.
    """
    line = asked.line
    who, ask_s, miss_s = who_words(line), asked.ask_s, asked.after_s(asked.miss.pts)
    held = _bracket(asked, ask_s)
    answer = _answer(line)
    drawn_at = where_drawn(asked.marks, line.rep, asked.miss.pts)
    seen = marks_of_frame(asked.marks, line.rep, asked.angle, asked.miss.pts)
    question = Piece(
        reel_id=reel_id, order=order, clip_id=line.clip.id, angle_id=asked.angle.id,
        rep_id=line.rep.id, from_s=-_BEFORE_S if asked.has_snap else Fraction(0), to_s=ask_s,
        freezes=(Freeze(at_s=ask_s, hold_s=_ASK_HOLD_S),),
        title=f"{who} · play {line.clip.order}", caption=f"{who}: what do you owe?",
        mark_ids=tuple(mark.id for mark in held),
    )  # fmt: skip
    shown = replace(
        question, id=new_id(), order=order + 1, title="", from_s=ask_s,
        to_s=max(_AFTER_S, miss_s + _ON_S),
        freezes=(Freeze(at_s=miss_s, hold_s=_SHOW_HOLD_S),),
        caption=answer, mark_ids=tuple(mark.id for mark in seen),
    )  # fmt: skip
    pieces = [question, shown]
    if drawn_at is not None:
        pieces.append(_as_drawn(asked, shown, drawn_at, rate))
    return pieces, [*held, *asked.marks]


def _answer(line: RepLine) -> str:
    """Say the run, what he owed and what he did."""
    run = run_words(line.look)
    return f"{run[0].upper()}{run[1:]}. {caption_of(line)}" if run else caption_of(line)


def _bracket(asked: AskedRep, ask_s: Fraction) -> list[Mark]:
    """Return his bracket without its words, where it still holds him when the question comes."""
    for mark in asked.marks:
        if mark.kind != "bracket" or mark.rep_id is None:
            continue
        from_s, to_s = asked.after_s(mark.from_pts), asked.after_s(mark.to_pts)
        if from_s - _NEAR_S <= ask_s <= to_s + _NEAR_S:
            return [replace(mark, id=new_id(), text="", meaning="plain")]
    return []


def _as_drawn(asked: AskedRep, shown: Piece, at: Pts, rate: Fraction) -> Piece:
    """Return to the frame his marks were drawn on, and stand still there."""
    at_s = asked.after_s(at)
    stop_s = at_s + 1 / rate
    here = [mark for mark in asked.marks if mark.from_pts <= at <= mark.to_pts]
    # Still after its only frame, or that frame would follow bare; of the showing's chapter.
    return replace(
        shown, order=shown.order + 1, from_s=at_s, to_s=stop_s,
        freezes=(Freeze(at_s=stop_s, hold_s=_DRAWN_HOLD_S),),
        mark_ids=tuple(mark.id for mark in here),
    )  # fmt: skip
