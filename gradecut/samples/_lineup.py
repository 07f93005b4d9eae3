"""Where the twenty-two men and an official line up, before anybody has moved."""

from __future__ import annotations

from dataclasses import dataclass

from gradecut.samples._plays import Play

__all__ = ["GAPS_YD", "Spot", "line_up", "sign_of"]

# Middle of each gap on its side, yards from the ball, before the snap.
GAPS_YD: dict[str, float] = {"A": 0.75, "B": 2.25, "C": 3.75, "D": 5.3, "E": 7.0}
_NUMBERS = {
    "LT": "72",
    "LG": "64",
    "C": "55",
    "RG": "66",
    "RT": "77",
    "TE": "86",
    "Y": "88",
    "H": "84",
    "X": "81",
    "Z": "18",
    "S": "3",
    "QB": "12",
    "RB": "24",
    "FB": "40",
    "SE": "91",
    "ST": "97",
    "WT": "94",
    "WE": "99",
    "CL": "2",
    "CR": "21",
    "FS": "6",
    "SS": "28",
}
_LINE = -1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """A man before the play.

    Attributes
    ----------
    side, number, stance : str
    at : tuple of float
        Downfield and left of the ball, yards.
    big : bool
        A lineman.
    """

    side: str
    number: str
    stance: str
    at: tuple[float, float]
    big: bool = False


def sign_of(side: str) -> int:
    """Return +1 for left, -1 for right."""
    return 1 if side == "left" else -1


def line_up(play: Play) -> dict[str, Spot]:
    """Return every man of a play by his place."""
    return {**_blockers(play), **_skill(play), **_front(play), **_cover(play), **_official(play)}


def _spot(name: str, side: str, stance: str, at: tuple[float, float], *, big: bool = False) -> Spot:
    """Return a spot with the number that goes with the place."""
    return Spot(side=side, number=_NUMBERS[name], stance=stance, at=at, big=big)


def _blockers(play: Play) -> dict[str, Spot]:
    """Return the five linemen and the attached blockers."""
    line = {"LT": 2.95, "LG": 1.48, "C": 0.0, "RG": -1.48, "RT": -2.95}
    stance = "three" if play.formation in {"I right", "Heavy right"} else "two"
    spots = {
        name: _spot(
            name,
            "offence",
            "snapper" if name == "C" else stance,
            (_LINE + (0.1 if name == "C" else -0.12 if name in {"LT", "RT"} else 0.0), left),
            big=True,
        )
        for name, left in line.items()
    }
    strong = sign_of(play.strength)
    strong_count, weak_count = play.surface[play.strength], min(play.surface.values())
    if strong_count >= 3:
        spots["TE"] = _spot("TE", "offence", "three", (_LINE - 0.05, strong * 4.5), big=True)
    if strong_count >= 4:
        spots["H"] = _spot("H", "offence", "two", (_LINE - 1.0, strong * 5.75))
    if weak_count >= 3:
        spots["Y"] = _spot("Y", "offence", "three", (_LINE - 0.05, -strong * 4.5), big=True)
    return spots


def _skill(play: Play) -> dict[str, Spot]:
    """Return quarterback, backs and receivers."""
    deep = {"I right": 1.4, "Heavy right": 1.4}.get(play.formation)
    strong = sign_of(play.strength)
    spots: dict[str, Spot] = {}
    pistol = play.back == "behind" and deep is None
    if deep:
        spots["QB"] = _spot("QB", "offence", "under", (-1.75, 0.0))
        spots["RB"] = _spot("RB", "offence", "back", (-7.2, 0.0))
    else:
        spots["QB"] = _spot("QB", "offence", "gun", (-4.4 if pistol else -5.2, 0.0))
        back = (-7.3, 0.0) if pistol else (-5.3, sign_of(play.back) * 1.65)
        spots["RB"] = _spot("RB", "offence", "back", back)
    if play.formation == "I right":
        spots["FB"] = _spot("FB", "offence", "back", (-4.6, 0.0))
    if play.formation.startswith("H off ball"):
        spots["H"] = _spot("H", "offence", "two", (-2.9, 3.6))
    spots["X"] = _spot("X", "offence", "stand", (-0.9, -strong * 11.2))
    if play.formation.startswith("Trips"):
        spots["S"] = _spot("S", "offence", "stand", (-1.5, strong * 8.2))
        spots["Z"] = _spot("Z", "offence", "stand", (-1.2, strong * 11.6))
    elif play.formation == "Doubles":
        spots["S"] = _spot("S", "offence", "stand", (-1.5, -strong * 8.0))
        spots["Z"] = _spot("Z", "offence", "stand", (-1.2, strong * 11.4))
    elif play.formation != "Heavy right":
        spots["Z"] = _spot("Z", "offence", "stand", (-1.2, strong * 11.2))
    if len(spots) + 5 + sum(play.surface.values()) - 4 > 11:
        spots.pop("S", None)
    return spots


def _front(play: Play) -> dict[str, Spot]:
    """Return four linemen and the three linebackers."""
    strong = sign_of(play.strength)
    edge = 5.7 if play.surface[play.strength] == 3 else 7.1
    spots = {
        name: _spot(name, "defence", "three", (1.05, strong * left), big=True)
        for name, left in (("SE", 4.0), ("ST", 1.95), ("WT", -0.45), ("WE", -3.5))
    }
    places = {
        "Bow": (3.1, strong * edge),
        "Keel": (4.9, strong * 0.8),
        "Port": (4.8, -strong * (2.2 if min(play.surface.values()) == 2 else 2.9)),
    }
    for name, at in places.items():
        spots[name] = Spot(side="defence", number=play.shirts[name], stance="ready", at=at)
    return spots


def _cover(play: Play) -> dict[str, Spot]:
    """Return corners over the widest men, and the safeties."""
    strong = sign_of(play.strength)
    trips = play.formation.startswith("Trips")
    heavy = play.formation == "Heavy right"
    left_wide, right_wide = 11.3, -11.3
    if heavy:
        right_wide = -8.5
    return {
        "CL": _spot("CL", "defence", "deep", (6.4, left_wide)),
        "CR": _spot("CR", "defence", "deep", (6.6, right_wide)),
        "SS": _spot(
            "SS", "defence", "deep", (7.4 if trips else 9.6, strong * (8.4 if trips else 5.6))
        ),
        "FS": _spot("FS", "defence", "deep", (10.8, -strong * (1.5 if trips else 5.2))),
    }


def _official(play: Play) -> dict[str, Spot]:
    """Return the official behind the offence."""
    right = 1 if play.order % 2 else -1
    at = (-9.6, 5.2 * right)
    return {"official": Spot(side="official", number="", stance="official", at=at)}
