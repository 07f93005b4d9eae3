"""What each linebacker of the samples owed, and what he did.

The expected fits follow the Harbor rules; the errors are invented, eight of them, with one late
step and two men nobody can grade.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from gradecut.samples._lineup import GAPS_YD, sign_of
from gradecut.samples._plays import Play

__all__ = ["Owed", "Took", "owed_by", "spot_of", "taken_by"]

_ZONE = {"inside zone", "split zone", "zone read"}
_PULL = {"power", "counter"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Owed:
    """A fit: a job at a gap of one side ("left", "right")."""

    job: str
    gap: str
    side: str

    @property
    def name(self) -> str:
        """Return the fit's name, such as "fill A"."""
        return f"{self.job} {self.gap}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Took:
    """What he did.

    Attributes
    ----------
    verdict : str
        "right", "wrong" or "cannot grade".
    fit : Owed or None
        The fit he played; None when he missed his own without playing another.
    told : str
        One sentence.
    react_s : float
        First step after the snap.
    late : bool
        The step is late.
    """

    verdict: str
    fit: Owed | None
    told: str
    react_s: float
    late: bool = False


def owed_by(position: str, play: Play) -> Owed:
    """Return the fit the Harbor scheme asks for."""
    own = play.strength if position != "Port" else _other(play.strength)
    to = play.run == own
    job, gap = {"Bow": _bow, "Keel": _keel, "Port": _port}[position](
        play.concept, play.surface[play.run], to
    )
    crosses = (position == "Keel" and play.concept in _PULL and not to) or (
        position == "Port" and play.concept in _PULL and not to
    )
    return Owed(job=job, gap=gap, side=_other(own) if crosses else own)


def _other(side: str) -> str:
    """Return the other side."""
    return "left" if side == "right" else "right"


def _bow(concept: str, surface: int, to: bool) -> tuple[str, str]:
    """Return job and gap of the strength edge."""
    if concept in _PULL:
        return ("spill", "D") if to else ("fold", "B")
    if concept == "zone read":
        return ("squeeze", "D") if to else ("force", "D")
    if concept == "split zone" and not to:
        return "box", "D"
    if concept == "outside zone" and to:
        return "force", {2: "C", 3: "D", 4: "E"}[surface]
    return ("squeeze", "D") if to else ("cutback", "C")


def _keel(concept: str, surface: int, to: bool) -> tuple[str, str]:
    """Return job and gap of the middle man."""
    if concept in _ZONE:
        return ("fill", "A") if to else ("hang", "A")
    if concept == "outside zone":
        return ("scrape", "B" if surface == 2 else "C") if to else ("cutback", "A")
    return ("overlap", "C" if surface == 2 else "D") if to else ("fill", "B")


def _port(concept: str, surface: int, to: bool) -> tuple[str, str]:
    """Return job and gap of the weak man."""
    if concept in _PULL:
        return ("overlap", "C") if to else ("fold", "A")
    if to:
        return (
            ("scrape", "C" if surface == 2 else "D")
            if concept == "outside zone"
            else (
                "fill",
                "B",
            )
        )
    return {"split zone": ("overlap", "C"), "zone read": ("scrape", "C")}.get(
        concept, ("cutback", "B")
    )


def _fit(job: str, gap: str, side: str) -> Owed:
    """Return a fit in one line."""
    return Owed(job=job, gap=gap, side=side)


# (order, position): what went otherwise than right.
_OTHERWISE: dict[tuple[int, str], tuple[str, Owed | None, str]] = {
    (2, "Keel"): (
        "wrong",
        _fit("fill", "B", "left"),
        "Ran with the back into B, where Port was already; the bend-back A behind him stood open.",
    ),
    (3, "Keel"): (
        "wrong",
        _fit("fill", "A", "left"),
        "Fell into A behind the flow instead of running over the top to C.",
    ),
    (5, "Bow"): (
        "wrong",
        _fit("box", "D", "right"),
        "Boxed the first puller from outside instead of spilling him; the ball stayed inside.",
    ),
    (6, "Keel"): (
        "wrong",
        _fit("fill", "A", "right"),
        "Filled A, where Port folds, instead of overlapping outside Bow's spill.",
    ),
    (8, "Bow"): (
        "wrong",
        _fit("squeeze", "C", "left"),
        "Squeezed inside the tight end into C and gave the edge away.",
    ),
    (9, "Keel"): (
        "wrong",
        _fit("fill", "A", "right"),
        "Went with the back's first step, away from the pullers, and never got to B.",
    ),
    (10, "Port"): (
        "wrong",
        _fit("cutback", "B", "right"),
        "Sat in B and did not get outside the end who met the crossing blocker.",
    ),
    (11, "Port"): (
        "wrong",
        None,
        "Ran past his cutback lane with the flow; the back door B stood open.",
    ),
    (7, "Port"): (
        "cannot grade",
        None,
        "Went down in a pile at the hole; where he fitted can't be seen.",
    ),
    (12, "Bow"): (
        "cannot grade",
        None,
        "Out of the picture at the fit: the camera followed the back.",
    ),
}
_LATE = (5, "Port")
_REACTIONS = {
    "Bow": (0.28, 0.33, 0.25, 0.37, 0.31, 0.27, 0.4, 0.3, 0.35, 0.26, 0.32, 0.29),
    "Keel": (0.24, 0.3, 0.27, 0.34, 0.29, 0.38, 0.26, 0.31, 0.22, 0.35, 0.28, 0.33),
    "Port": (0.36, 0.28, 0.41, 0.3, 0.79, 0.34, 0.45, 0.27, 0.38, 0.32, 0.25, 0.4),
}


def taken_by(position: str, play: Play) -> Took:
    """Return what a linebacker did on a play."""
    react = _REACTIONS[position][play.order - 1]
    verdict, fit, told = _OTHERWISE.get(
        (play.order, position), ("right", owed_by(position, play), "Did what he owed.")
    )
    late = (play.order, position) == _LATE
    if late:
        told = "Right fit, but his first step came late: he froze on the back's first move."
    return Took(verdict=verdict, fit=fit, told=told, react_s=react, late=late)


_DEPTHS_YD = {
    "fill": 1.0,
    "hang": 2.3,
    "cutback": 2.0,
    "squeeze": 0.9,
    "force": 0.6,
    "spill": 0.1,
    "box": 0.3,
    "overlap": 1.6,
    "scrape": 1.5,
    "fold": 1.1,
}
_ASIDE_YD = {"spill": -0.35, "box": 0.9, "overlap": 0.8, "force": 0.5}


def spot_of(fit: Owed, play: Play, front: Mapping[str, float] | None = None) -> tuple[float, float]:
    """Return where a fit is made on a play, downfield and left of the ball, yards.

    Parameters
    ----------
    fit : Owed
    play : Play
    front : mapping of str to float, optional
        Where each blocker is, yards left of the ball, when the linebackers arrive: zone
        blocking carries the gaps along. Without it the gaps are where they were at the snap.
    """
    side = sign_of(fit.side)
    depth = _DEPTHS_YD[fit.job]
    aside = _ASIDE_YD.get(fit.job, 0.0)
    if play.concept == "zone read" and fit.job == "scrape":
        aside = 1.0  # the end has come inside: his place is outside him
    if front is None or play.concept in _PULL or (fit.job in {"force", "scrape"} and aside):
        wide = GAPS_YD[fit.gap]
        if fit.gap == "C" and play.surface[fit.side] == 2:
            wide += 0.8
        flow = 2.2 * sign_of(play.run) if play.concept == "outside zone" else 0.0
        return depth, side * (wide + aside) + flow
    inner, outer = _walls(fit, play, front)
    place = inner + 0.9 * side if outer is None else (inner + outer) / 2
    return depth, place + aside * side


def _walls(fit: Owed, play: Play, front: Mapping[str, float]) -> tuple[float, float | None]:
    """Return the blocker inside and the one outside a gap, None where nobody is outside."""
    letter = "L" if fit.side == "left" else "R"
    attached = "TE" if fit.side == play.strength else "Y"
    row = ["C", f"{letter}G", f"{letter}T"]
    if play.surface[fit.side] >= 3:
        row.append(attached)
    if play.surface[fit.side] >= 4:
        row.append("H")
    inside = min("ABCDE".index(fit.gap), len(row) - 1)
    outside = inside + 1
    outer = front[row[outside]] if outside < len(row) else None
    return front[row[inside]], outer
