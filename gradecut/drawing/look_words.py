"""The picture of a look in words, for whoever can't see it."""

from __future__ import annotations

from collections.abc import Iterator

from gradecut.drawing._look_offence import pulls_of
from gradecut.records.people import Side
from gradecut.records.picture import LookPicture, PictureMan

__all__ = ["look_facts", "look_words", "seen_from"]


def look_words(picture: LookPicture) -> str:
    """Say all that a picture shows: the look, each man, and what is still to be asked.

    Left and right are as the offence faces the line, however the picture is turned. What is
    not known is left out.

    >>> look_words(LookPicture(back="left", concept="power", run_side="right"))
    'Seen from behind the offence. Back left. The run: power to the right.'
    """
    said = [f"Seen from {seen_from(picture.turn)}."]
    shown = "; ".join(look_facts(picture))
    if shown:
        said.append(f"{shown[0].upper()}{shown[1:]}.")
    run = " ".join(part for part in (picture.concept, _to(picture.run_side)) if part)
    if run:
        said.append(f"The run: {run}.")
    unseen = [f"{fact.words} ({fact.source})" for fact in picture.facts if fact.seen == "told"]
    if unseen:
        said.append(f"Not seen on film yet: {', '.join(unseen)}.")
    unknown = [fact.words.rstrip("? ") for fact in picture.facts if fact.seen == "open"]
    if unknown:
        said.append(f"Not known: {', '.join(unknown)}.")
    said += [_man(man) for man in picture.men]
    if picture.question:
        said.append(f"Still to ask: {picture.question}")
    return " ".join(said)


def seen_from(turn: int) -> str:
    """Say where a turned picture is seen from.

    >>> seen_from(180)
    'behind the defence'
    """
    return {
        0: "behind the offence",
        90: "the offence's right",
        180: "behind the defence",
        270: "the offence's left",
    }[turn]


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
    if man.named != "named":
        who += ", an unknown man," if man.named == "unknown" else ", nobody named yet,"
    if man.stood is not None:
        who += f", lined up {man.stood},"
    if not man.graded:
        return f"{who} has no run fit to grade."
    if not man.owed_label:
        return f"{who}: what he owes is not settled."
    return f"{who} owes {man.owed_label}{_on(man.owed_side)}{_did(man)}."


def _did(man: PictureMan) -> str:
    """Say what he did, as it follows what he owed; empty while nobody has said."""
    match man.did:
        case None:
            return ""
        case "as owed":
            return ", and did it"
        case "cannot grade":
            return f"; can't be graded{f': {man.did_label}' if man.did_label else ''}"
        case "fit" if man.did_sign == "✓":
            return f"; right as well: {man.did_label}{_on(man.did_side)}"
        case _:
            half = " (half right)" if man.did_sign == "½" else ""
            side = _on(man.did_side) if man.did_side != man.owed_side else ""
            return f"; instead: {man.did_label or 'missed it'}{side}{half}"


def _on(side: Side | None) -> str:
    return "" if side is None else f" on the {side}"
