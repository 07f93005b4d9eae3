"""A look as it is drawn: top-down, turned as its film is seen."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gradecut.records.people import Side
from gradecut.records.reps import Did

__all__ = [
    "BackSpot",
    "LookPicture",
    "Manned",
    "Named",
    "PictureFact",
    "PictureMan",
    "PulledMan",
    "Seen",
]

BackSpot = Literal["left", "right", "behind", "none"]
"""Where the back stands: beside the quarterback, behind him, or no back at all."""
PulledMan = Literal["centre", "guard", "tackle", "end", "wing"]
Manned = tuple[str, Side]
"""A gap and its side as the offence faces the line, such as ("A", "left")."""


Named = Literal["named", "unknown", "nobody"]
"""Whether one knows who stands there: a player, a man nobody knows, or nobody named yet."""
Seen = Literal["seen", "told", "open"]
"""Seen on film; told by script, last play or estimate and not seen yet; not known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureFact:
    """One fact of the look beside the picture, where it can be touched.

    Attributes
    ----------
    reference : str
        As the scheme names it, such as "surface.left".
    words : str
        The fact and its value, such as "surface left 2"; "surface left ?" while not known.
    letter : str
        The letter that turns it over; empty for none.
    seen : Seen
        Whether film has confirmed it.
    source : str
        Where it was taken from while not seen, such as "script"; empty for seen and open.
    """

    reference: str
    words: str
    letter: str = ""
    seen: Seen = "seen"
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureMan:
    """One of his men on the picture, with what he owes and what he did.

    Attributes
    ----------
    position : str
        His key on the picture; one man to a position.
    number, name : str
        As worn, and his last name; empty when not told.
    named : Named
        Whether one knows who he is.
    own_side : "left", "right" or None
        The side he plays on; None where that is not known.
    at_yd : (across, depth) or None
        Where he lines up, in yards from the ball: across to the right as the offence faces
        the line, depth to the defence's side. None when not known; he then stands above
        the gap he owes, or else on his own side, and is drawn as not placed.
    stood : "left", "right" or None
        The side he lined up at, where that was said to be another one than the scheme's; he
        is drawn there.
    owed_gap, owed_side, owed_landmark, owed_label
        The fit asked of him: its gap and side, the landmark where it has no gap, and its
        name. All None or empty while facts are open.
    owed_options : tuple of (gap, side)
        While facts are open: the gaps his fit may still be at.
    did : str or None
        None while nobody has said.
    did_gap, did_side, did_label
        Where he went and its name: another fit, a miss or why it can't be graded.
    did_sign : str
        How that came out in one sign: "✓" right, "½" half, "✕" wrong;
        empty where it is not to be told.
    selected : bool
        The man being looked at.
    graded : bool
        False where he has no run job here: he is drawn quiet and takes no touch.
    """

    position: str
    number: str = ""
    name: str = ""
    named: Named = "named"
    own_side: Side | None = None
    at_yd: tuple[float, float] | None = None
    stood: Side | None = None
    owed_gap: str | None = None
    owed_side: Side | None = None
    owed_landmark: str | None = None
    owed_label: str = ""
    owed_options: tuple[Manned, ...] = ()
    did: Did | None = None
    did_gap: str | None = None
    did_side: Side | None = None
    did_label: str = ""
    did_sign: str = ""
    selected: bool = False
    graded: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class LookPicture:
    """What the offence showed and what his men owed on it; None is always "not known".

    Attributes
    ----------
    surface_left, surface_right : int or None
        Blockers attached on that side, the guard left out: 2, 3 with a tight end, 4 with
        a wing.
    wing : "left", "right", "none" or None
        On that side the outermost attached blocker stands off the line.
    back : BackSpot or None
        Where the back stands.
    under_centre : bool or None
        Whether the quarterback stands under centre.
    receivers_left, receivers_right : int or None
        Men split wide.
    strength, run_side : "left", "right" or None
        As the offence faces the line.
    concept : str
        The run, in the coach's word; empty when not told.
    pullers : tuple of (man, side he starts from) or None
        Who leaves the line; empty when nobody does.
    front : tuple of (gap, side)
        Where defensive linemen stand; empty when not known.
    men : tuple of PictureMan
        His men.
    question : str or None
        The one fact still to be asked.
    facts : tuple of PictureFact
        The facts told one by one, each to be touched; empty where the picture only shows.
    turn : int
        Degrees clockwise from the sight behind the offence: 0, 90, 180 or 270. At 90 it is
        seen from the offence's right, at 180 from behind the defence.
    """

    surface_left: int | None = None
    surface_right: int | None = None
    wing: Side | Literal["none"] | None = None
    back: BackSpot | None = None
    under_centre: bool | None = None
    receivers_left: int | None = None
    receivers_right: int | None = None
    strength: Side | None = None
    run_side: Side | None = None
    concept: str = ""
    pullers: tuple[tuple[PulledMan, Side], ...] | None = None
    front: tuple[Manned, ...] = ()
    men: tuple[PictureMan, ...] = ()
    question: str | None = None
    facts: tuple[PictureFact, ...] = ()
    turn: int = 0

    def seen(self, reference: str) -> Seen:
        """Return whether film has confirmed a fact; one that is not listed counts as seen."""
        return next((fact.seen for fact in self.facts if fact.reference == reference), "seen")
