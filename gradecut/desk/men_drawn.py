"""His men on the picture of the look, and what they did in words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from gradecut.desk.clip_state import ClipState, FactSource, Man
from gradecut.records import Side
from gradecut.records.picture import LookPicture, Manned, Named, PictureFact, PictureMan, Seen
from gradecut.reports.wording import lined_up_words
from gradecut.scheme import fact_words
from gradecut.workflows.lining_up import alignment_words
from gradecut.workflows.look_pictures import front_of, look_picture, stands_at
from gradecut.workflows.looks import spell_value

__all__ = ["Told", "alignment_line", "did_words", "lined_up_sign", "picture_of"]

Told = tuple[str, str]
"""A sign and words: "✓", "right"."""

_SOURCE_WORDS: Mapping[FactSource, str] = {
    "script": "script",
    "last play": "last play",
    "estimated": "estimate",
    "marked": "",
}
"""Where a fact that film has not confirmed was taken from, as it is told beside it."""


def picture_of(state: ClipState, selected: str, *, turn: int = 0) -> LookPicture:
    """Draw a clip's look with his men and the facts it was drawn from.

    Parameters
    ----------
    selected : str
        The man in hand; empty for none.
    turn : int
        Degrees clockwise, as the film on stage is seen.
    """
    men = tuple(_man(state, man, selected=man.position == selected) for man in state.men)
    front = front_of(state.scheme, state.front) if state.scheme and state.front else ()
    drawn = look_picture(state.look, men, front=front)
    return replace(drawn, facts=tuple(_facts(state)), turn=turn)


def _facts(state: ClipState) -> Iterator[PictureFact]:
    """Yield the scheme's facts in its order, each with its letter and where it was taken from."""
    for reference in state.scheme.references if state.scheme else ():
        name = fact_words(reference)
        value = state.look.get(reference)
        source = state.sources.get(reference, "marked")
        told: Seen = "seen" if source == "marked" else "told"
        yield PictureFact(
            reference=reference,
            words=f"{name} ?" if value is None else f"{name} {spell_value(value)}",
            letter=state.fact_letters.get(reference, ""),
            seen="open" if value is None else told,
            source="" if value is None or told == "seen" else _SOURCE_WORDS[source],
        )


def did_words(man: Man) -> Told:
    """Say what a man did: a sign, so that colour is not needed, and words."""
    grade = man.grade
    if man.rep is None:
        return ("–", "stays in") if man.staying else ("", "nobody named")
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
    stood = _stood(man)
    if said is None and stood:
        here = f"lined up {stood} on this play"
        return f"Lines up {where}; {here}" if where else here.capitalize()
    if said is None:
        return f"Lines up {where}" if where else ""
    told = f"{lined_up_sign(man)} Lined up {lined_up_words(said)}"
    if said.verdict == "cannot grade":
        told = "? Can't tell how he lined up"
    return f"{told}; asked {where}" if where else told


def _stood(man: Man) -> Side | None:
    """Return the side he was said to line up at, where it is not the one the scheme has him on."""
    said = man.rep.side if man.rep else None
    return said if said != man.asked.own_side else None


def _man(state: ClipState, man: Man, *, selected: bool) -> PictureMan:
    asked = man.asked
    expected = asked.expectation
    scheme = state.scheme
    stood = _stood(man)
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
    return PictureMan(
        position=man.position,
        number=man.number,
        name=man.player.short_name if man.player else "",
        named=_named(man),
        own_side=stood or man.asked.own_side,
        at_yd=stands_at(expected, state.look, stood),
        stood=stood,
        owed_gap=owed.gap if owed else None,
        owed_side=man.owes_side,
        owed_landmark=owed.landmark if owed else None,
        owed_label=man.owes,
        owed_options=tuple(dict.fromkeys(options)),
        did=None if grade is None or grade.fit_result == "not graded" else grade.did,
        did_gap=went.gap if went else None,
        did_side=grade.did_side if grade and went else None,
        did_label=grade.did_name if grade else "",
        did_sign=did_words(man)[0] if grade else "",
        selected=selected,
        graded=man.to_grade,
    )


def _named(man: Man) -> Named:
    if man.player is None:
        return "nobody"
    return "unknown" if man.player.unknown else "named"
