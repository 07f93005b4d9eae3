"""The picture of a look in words, for whoever can't see it."""

from __future__ import annotations

from collections.abc import Iterator

from gradecut.drawing._look_offence import pulls_of
from gradecut.records.people import Side
from gradecut.records.picture import LookPicture, PictureMan

__all__ = ["look_facts", "look_words"]


def look_words(picture: LookPicture) -> str:
    """Say all that a picture shows: the look, each man, and what is still to be asked.

    Left and right are as the offence faces the line. What is not known is left out.

    >>> look_words(LookPicture(back="left", concept="power", run_side="right"))
    'Seen from behind the offence. Back left. The run: power to the right.'
    """
    said = ["Seen from behind the offence."]
    shown = "; ".join(look_facts(picture))
    if shown:
        said.append(f"{shown[0].upper()}{shown[1:]}.")
    run = " ".join(part for part in (picture.concept, _to(picture.run_side)) if part)
    if run:
        said.append(f"The run: {run}.")
    said += [_man(man) for man in picture.men]
    if picture.question:
        said.append(f"Still to ask: {picture.question}")
    return " ".join(said)


def look_facts(picture: LookPicture) -> tuple[str, ...]:
    """Say the look in a few words each: "surface 2 left, 3 right", "back right"."""
    return tuple(_facts(picture))


def _facts(picture: LookPicture) -> Iterator[str]:
    surfaces = [
        f"{count} {side}"
        for side, count in (("left", picture.surface_left), ("right", picture.surface_right))
        if count is not None
    ]
    if surfaces:
        yield f"surface {', '.join(surfaces)}"
    if picture.wing in ("left", "right"):
        yield f"wing {picture.wing}"
    if picture.back is not None:
        yield {"behind": "back behind the quarterback", "none": "no back"}.get(
            picture.back, f"back {picture.back}"
        )
    if picture.strength is not None:
        yield f"strength {picture.strength}"
    pulls, told = pulls_of(picture)
    if told and pulls:
        yield " and ".join(f"{side} {man}" for man, side in pulls) + (
            " pull" if len(pulls) > 1 else " pulls"
        )


def _to(side: Side | None) -> str:
    return "" if side is None else f"to the {side}"


def _man(man: PictureMan) -> str:
    """Say what one man owes and did."""
    who = f"{man.position} {man.number}".strip()
    if not man.graded:
        return f"{who} has no run fit to grade."
    if not man.owed_label:
        return f"{who}: what he owes is not settled."
    owed = f"{who} owes {man.owed_label}{_on(man.owed_side)}"
    match man.did:
        case "as owed":
            return f"{owed}, and did it."
        case "fit" | "miss":
            side = _on(man.did_side) if man.did_side != man.owed_side else ""
            return f"{owed}; instead: {man.did_label or 'missed it'}{side}."
        case "cannot grade":
            why = f": {man.did_label}" if man.did_label else ""
            return f"{owed}; can't be graded{why}."
        case _:
            return f"{owed}."


def _on(side: Side | None) -> str:
    return "" if side is None else f" on the {side}"
