"""His men on the picture of the look, and what they did in words."""

from __future__ import annotations

from gradecut.desk.clip_state import ClipState, Man
from gradecut.records.picture import LookPicture, Manned, PictureMan
from gradecut.reports.wording import lined_up_words
from gradecut.workflows.lining_up import alignment_words
from gradecut.workflows.look_pictures import front_of, look_picture, stands_at

__all__ = ["Told", "alignment_line", "did_words", "lined_up_sign", "picture_of"]

Told = tuple[str, str]
"""A sign and words: "✓", "right"."""


def picture_of(state: ClipState, selected: str, *, in_full: bool = False) -> LookPicture:
    """Draw a clip's look with his men.

    Parameters
    ----------
    selected : str
        The man in hand; empty for none.
    in_full : bool
        Name misses, as for a text; on a picture their disc and line say it.
    """
    men = tuple(
        _man(state, man, selected=man.position == selected, in_full=in_full) for man in state.men
    )
    front = front_of(state.scheme, state.front) if state.scheme and state.front else ()
    return look_picture(state.look, men, front=front)


def did_words(man: Man) -> Told:
    """Say what a man did: a sign, so that colour is not needed, and words."""
    grade = man.grade
    if man.rep is None:
        return "", "nobody named"
    if grade is None:
        return ("–", "open") if man.to_grade else ("–", "no run fit")
    if grade.fit_result == "not graded":
        return "–", "no run fit"
    if grade.did == "cannot grade":
        return "?", grade.did_name or "can't be graded"
    name = grade.did_name or "missed it"
    if grade.fit_result == "right":
        return "✓", "right" if grade.did == "as owed" else f"right: {grade.did_name}"
    return ("½", name) if grade.fit_result == "half" else ("✕", name)


def lined_up_sign(man: Man) -> str:
    """Say how he lined up in one sign: right, off, or not to be told; empty while open."""
    said = man.line.lined_up if man.line else None
    return "" if said is None else {"right": "✓", "off": "✕"}.get(said.verdict, "?")


def alignment_line(man: Man) -> str:
    """Say where he lines up, and how he did once that is told; empty where it isn't asked.

    "✕ Lined up too deep; asked 4.5 yd deep at A right, within 1 yd; eyes: guard to back"
    """
    asked = man.asked.expectation.alignment
    said = man.line.lined_up if man.line else None
    where = alignment_words(asked) if asked else ""
    if said is None:
        return f"Lines up {where}" if where else ""
    told = f"{lined_up_sign(man)} Lined up {lined_up_words(said)}"
    if said.verdict == "cannot grade":
        told = "? Can't tell how he lined up"
    return f"{told}; asked {where}" if where else told


def _man(state: ClipState, man: Man, *, selected: bool, in_full: bool) -> PictureMan:
    asked = man.asked
    expected = asked.expectation
    scheme = state.scheme
    owed = scheme.fits.get(man.owes) if scheme and man.owes else None
    grade = man.grade
    went = scheme.fits.get(grade.did_name) if scheme and grade and grade.did == "fit" else None
    options: tuple[Manned, ...] = ()
    if scheme and not man.owes:
        options = tuple(
            (gap, side)
            for fit, side in expected.options
            if fit and side and (gap := scheme.fits[fit].gap)
        )
    label = grade.did_name if grade else ""
    if grade is not None and grade.did == "miss" and not in_full:
        label = ""
    return PictureMan(
        position=man.position,
        number=man.number,
        name=man.player.short_name if man.player else "",
        at_yd=stands_at(expected, state.look),
        owed_gap=owed.gap if owed else None,
        owed_side=man.owes_side,
        owed_landmark=owed.landmark if owed else None,
        owed_label=man.owes,
        owed_options=tuple(dict.fromkeys(options)),
        did=None if grade is None or grade.fit_result == "not graded" else grade.did,
        did_gap=went.gap if went else None,
        did_side=grade.did_side if grade and went else None,
        did_label=label,
        selected=selected,
        graded=man.to_grade,
    )
