"""What a piece says: plain sentences a player understands, and no praise for the wrong thing."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from gradecut.records.footage import Angle
from gradecut.records.marks import Mark
from gradecut.records.replines import RepLine
from gradecut.records.reps import Grade
from gradecut.records.teaching import Freeze, Piece

__all__ = ["caption_of", "has_head_contact", "is_model_rep", "suggest_piece", "title_of"]

_BEFORE_S, _AFTER_S = Fraction(2), Fraction(3)
_HOLD_S, _HOLD_WITH_MARKS_S = Fraction(3, 2), Fraction(5, 2)

_DONE = {
    "box": "Boxed",
    "cutback": "Played cutback",
    "fill": "Filled",
    "fold": "Folded",
    "force": "Forced",
    "hang": "Hung",
    "overlap": "Overlapped",
    "scrape": "Scraped",
    "spill": "Spilled",
    "squeeze": "Squeezed",
}
"""The trade's fit words as something done (common practice, no source)."""

_HEAD_WORDS = ("head", "helmet", "crown", "facemask", "targeting", "spear")
"""Words by which a coach's own event tells of contact with the head."""


def suggest_piece(
    line: RepLine,
    angle: Angle,
    marks: Sequence[Mark] = (),
    *,
    reel_id: str,
    order: int,
) -> Piece:
    """Build the usual piece of one rep: 2 s before the snap to 3 s after, still at the snap.

    Parameters
    ----------
    line : RepLine
        The rep with its newest grade.
    angle : Angle
        The view to show.
    marks : sequence of Mark
        Any marks; those of this rep, or of no rep, on this angle are taken.
    reel_id : str
        The reel it is for.
    order : int
        Its place there, from 1.

    Returns
    -------
    Piece
        It stands still longer when there are marks to look at.
    """
    wanted = tuple(
        mark.id
        for mark in marks
        if mark.angle_id == angle.id and mark.rep_id in (None, line.rep.id)
    )
    return Piece(
        reel_id=reel_id,
        order=order,
        clip_id=line.clip.id,
        angle_id=angle.id,
        rep_id=line.rep.id,
        from_s=-_BEFORE_S,
        to_s=_AFTER_S,
        freezes=(Freeze(at_s=Fraction(0), hold_s=_HOLD_WITH_MARKS_S if wanted else _HOLD_S),),
        title=title_of(line),
        caption=caption_of(line),
        mark_ids=wanted,
    )


def title_of(line: RepLine) -> str:
    """Say who it is and against what: "Keel 52 · power right"."""
    who = f"{line.rep.position} {line.player.worn(game=line.session.kind == 'game')}".strip()
    against = _against(line.look) or line.clip.call or line.clip.kind
    return f"{who} · {against}"


def caption_of(line: RepLine) -> str:
    """Say what he owed and what he did: "Owed overlap D. Filled A: eyes."."""
    grade = line.grade
    owed = (grade.expected_fit if grade else None) or line.expected_fit
    said = [f"Owed {owed}." if owed else "What he owed is not settled."]
    if grade is not None:
        said.append(_did(grade, owed))
    if has_head_contact(line):
        said.append("Head contact: keep the head out of it, whatever the fit.")
    return " ".join(part for part in said if part)


def has_head_contact(line: RepLine) -> bool:
    """Whether something counted beside a rep's grade tells of contact with the head."""
    return any(_is_head_contact(event) for event in line.events)


def is_model_rep(line: RepLine) -> bool:
    """Whether a rep may be shown as how it is done.

    Its fit came out right by today's look and scheme, and nothing counted beside it tells
    of contact with the head or of a loaf.
    """
    return (
        line.grade is not None
        and line.grade.fit_result == "right"
        and not line.stale
        and not any(_is_head_contact(event) or event == "loaf" for event in line.events)
    )


def _against(look: Mapping[str, str | int | bool]) -> str:
    """Name the run: its concept and where it goes, as far as they are known."""
    parts = [look.get("concept"), look.get("run")]
    return " ".join(part for part in parts if isinstance(part, str) and part)


def _did(grade: Grade, owed: str | None) -> str:
    """Say what he did, with the cause where it was not right."""
    if grade.fit_result == "not graded":
        return "No run fit to grade here."
    if grade.did == "cannot grade":
        reason = grade.did_name or grade.cannot.get("fit", "")
        return f"Can't be graded: {reason}." if reason else "Can't be graded."
    if grade.did == "as owed":
        return f"{_as_done(owed)}: right." if owed else "Right."
    done = _as_done(grade.did_name) if grade.did == "fit" else _as_sentence(grade.did_name)
    if grade.fit_result == "right":
        return f"{done}: right too."
    return f"{done}: {grade.cause}." if grade.cause else f"{done}."


def _as_done(fit: str) -> str:
    """Turn a fit's name into something done: "fill A" into "Filled A"."""
    job, _, where = fit.partition(" ")
    done = _DONE.get(job.lower())
    if done is None:
        return f"Played {fit}"
    return f"{done} {where}".strip()


def _as_sentence(text: str) -> str:
    """Begin with a capital, and drop a full stop."""
    plain = text.strip().rstrip(".") or "Missed it"
    return plain[0].upper() + plain[1:]


def _is_head_contact(event: str) -> bool:
    return any(word in event.lower() for word in _HEAD_WORDS)
