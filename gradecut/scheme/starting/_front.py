"""The men of a front, and the gaps it leaves open; common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from gradecut.scheme.starting._answers import men_of

__all__ = ["Flank", "Front", "front_of"]

Place = Literal["strong", "weak"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Flank:
    """One side of the front: to the strength, or away from it.

    Attributes
    ----------
    place : "strong" or "weak"
    edge : str
        The man who sets the edge.
    behind : str
        The man behind him, outside.
    inside : str
        The linebacker off the ball on this side.
    end, end_gap : str or None
        The end and the gap he holds, where he does not set the edge.
    open_two, open_more : tuple of str
        Gaps on this side nobody has yet when the run comes here, from the centre out: with two
        blockers attached, and with three or four.
    """

    place: Place
    edge: str
    behind: str
    inside: str
    end: str | None
    end_gap: str | None
    open_two: tuple[str, ...]
    open_more: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Front:
    """All men of a front.

    Attributes
    ----------
    strong, weak : Flank
    middle : str or None
        The third linebacker off the ball.
    nose_place, tackle_place : "strong", "weak" or None
        Where nose and tackle are; a nose without a place takes the A gap the run goes to.
    graded, others : tuple of (str, "strong" or "weak" or None)
        The linebackers and the men around them, each with his side.
    """

    strong: Flank
    weak: Flank
    middle: str | None
    nose_place: Place | None
    tackle_place: Place | None
    graded: tuple[tuple[str, Place], ...]
    others: tuple[tuple[str, Place | None], ...]

    @property
    def flanks(self) -> tuple[Flank, Flank]:
        """Give both sides, the strength first."""
        return (self.strong, self.weak)


def front_of(answers: Mapping[str, str]) -> Front:
    """Give the front that checked answers tell of."""
    edges: dict[Place, str] = {"strong": answers["strong_edge"], "weak": answers["weak_edge"]}
    both = edges["strong"] == edges["weak"] == "linebacker"
    three_inside = answers["inside"] == "three" and not both
    nose: Place | None = {"four nose away": "weak", "four nose to": "strong"}.get(  # type: ignore[assignment]
        answers["front"]
    )
    tackle: Place | None = None if nose is None else ("strong" if nose == "weak" else "weak")
    others = _others(edges, nose, tackle)
    usual: list[tuple[str, Place]] = [("Mike", "strong"), ("Will", "weak")]
    if three_inside:
        usual.insert(1, ("Buck", "strong"))
    if edges["strong"] == "linebacker":
        usual.insert(0, ("Sam", "strong"))
    if edges["weak"] == "linebacker":
        usual.append(("Jack", "weak"))
    taken = [name for name, _ in others]
    names = men_of(answers["linebackers"], [name for name, _ in usual], taken)
    called = dict(zip([name for name, _ in usual], names, strict=True))
    graded = tuple((called[name], place) for name, place in usual)
    return Front(
        strong=_flank("strong", edges, nose, tackle, called),
        weak=_flank("weak", edges, nose, tackle, called),
        middle=called.get("Buck"),
        nose_place=nose,
        tackle_place=tackle,
        graded=graded,
        others=tuple(others),
    )


def _others(
    edges: Mapping[Place, str], nose: Place | None, tackle: Place | None
) -> list[tuple[str, Place | None]]:
    men: list[tuple[str, Place | None]] = [("Strong end", "strong"), ("Nose", nose)]
    if tackle is not None:
        men.append(("Tackle", tackle))
    men += [("Weak end", "weak"), ("Strong safety", "strong"), ("Weak safety", "weak")]
    if edges["strong"] == "safety":
        men.append(("Strong corner", "strong"))
    if edges["weak"] == "safety":
        men.append(("Weak corner", "weak"))
    return men


def _flank(
    place: Place,
    edges: Mapping[Place, str],
    nose: Place | None,
    tackle: Place | None,
    called: Mapping[str, str],
) -> Flank:
    side = place.capitalize()
    who = edges[place]
    edge = {
        "end": f"{side} end",
        "linebacker": called.get("Sam" if place == "strong" else "Jack", ""),
        "safety": f"{side} safety",
    }[who]
    end_gap = None if who == "end" else ("C" if tackle == place else "B")
    held = {end_gap}
    if nose in (None, place):
        held.add("A")
    if tackle == place:
        held.add("B")
    return Flank(
        place=place,
        edge=edge,
        behind=f"{side} corner" if who == "safety" else f"{side} safety",
        inside=called["Mike" if place == "strong" else "Will"],
        end=None if who == "end" else f"{side} end",
        end_gap=end_gap,
        open_two=tuple(gap for gap in "AB" if gap not in held),
        open_more=tuple(gap for gap in "ABC" if gap not in held),
    )
