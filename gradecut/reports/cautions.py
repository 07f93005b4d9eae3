"""What must stand beside film and grades of players, wherever they are shown."""

from __future__ import annotations

from dataclasses import dataclass

from gradecut.records import Player

__all__ = ["CAUTIONS", "CONSENT", "STAFF_ONLY", "Caution", "staff_only"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A few words to print.

    Attributes
    ----------
    title, text : str
        Plain sentences, for coach and player alike.
    source : str
        Where it comes from, for who wants to look it up.
    """

    title: str
    text: str
    source: str


STAFF_ONLY = (
    "This sheet must not leave the staff: he is under 18 and no guardian's consent is on file."
)
_AGE_UNTOLD = (
    "This sheet must not leave the staff: his age is not on the roster, so he counts as under 18."
)

CONSENT = Caution(
    title="Film of minors needs consent",
    text="Film and grades may be school records. Share them only with consent on file, by "
    "no public link, without medical notes, and delete them when the season ends. "
    "Rules differ by country; ask the school.",
    source="FERPA, 34 CFR 99.3 (United States)",
)

CAUTIONS = (
    Caution(
        title="The head stays out of contact",
        text="Tackles are taught and graded with the head out of contact. A clip is never "
        "rewarded for a hit with the helmet, and such a clip goes into no reel.",
        source="NFHS points of emphasis: any initiation of contact with the helmet is illegal",
    ),
    Caution(
        title="No grade says who may play",
        text="A player with signs of concussion leaves, and comes back only when a health-care "
        "professional clears him. Grades and step times are no test for an injury and decide "
        "nothing about playing.",
        source="NFHS concussion rule since 2010; Patricios et al. 2023, Br J Sports Med 57:695",
    ),
    CONSENT,
)


def staff_only(player: Player) -> str:
    """Say why the sheet of a man whose film may not be shared stays with the staff."""
    return STAFF_ONLY if player.age_told else _AGE_UNTOLD
