"""The twelve plays of the samples: what the script says, and how each was filmed."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

from gradecut.samples.folders import week_folder

__all__ = ["SIDE_ORDERS", "Filming", "Play", "load_plays"]

SIDE_ORDERS = (1, 5, 6, 11)
_BALL_Y_YD = {"left": 100 / 3, "middle": 80 / 3, "right": 20.0}
_RATES: dict[int, Fraction] = {
    3: Fraction(60),
    6: Fraction(60),
    8: Fraction(60000, 1001),
    12: Fraction(60),
}
_VARIABLE = 9
_POOR = {4: 29, 9: 27, 12: 26}


@dataclass(frozen=True, slots=True, kw_only=True)
class Filming:
    """How a play was filmed from one side.

    Attributes
    ----------
    angle : str
        "end" or "side".
    rate : Fraction
        Pictures a second; of a variable film, the mean.
    variable : bool
        Each picture has a time of its own, as phones do it.
    snap_s, stop_s : float
        The snap, and the end, from the first picture.
    seed : int
        For hand and grain.
    quality : int
        The encoder's constant quality; a higher number is a poorer film.
    """

    angle: str
    rate: Fraction
    variable: bool
    snap_s: float
    stop_s: float
    seed: int
    quality: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Play:
    """One play of the script.

    Attributes
    ----------
    order : int
        From 1; the number of its clip.
    number : int
        Its number in the script.
    concept, run, strength, back, formation, tempo : str
        As the script has them.
    surface : dict of str to int
        Attached blockers to the left and right.
    ball_yd : tuple of float
        Where the ball lies on the field.
    shirts : dict of str to str
        Practice number of Keel, Bow and Port.
    names : dict of str to str
        Their names.
    """

    order: int
    number: int
    concept: str
    run: str
    strength: str
    back: str
    formation: str
    tempo: str
    surface: dict[str, int]
    ball_yd: tuple[float, float]
    shirts: dict[str, str]
    names: dict[str, str]

    def filmed(self, angle: str) -> Filming:
        """Return how this play was filmed from one side."""
        place = 0 if angle == "end" else 100
        variable = angle == "end" and self.order == _VARIABLE
        rate = _RATES.get(self.order, Fraction(30))
        snap = 2.35 + (self.order * 37 + place) % 11 * 0.11
        if angle == "side":
            rate = Fraction(60) if self.order == 11 else Fraction(30)
        return Filming(
            angle=angle,
            rate=rate,
            variable=variable,
            snap_s=snap,
            stop_s=snap + 3.35 + (self.order * 5 % 4) * 0.1,
            seed=1000 * self.order + place,
            quality=_POOR.get(self.order, 24) if angle == "end" else 25,
        )


def load_plays(week: Path | None = None) -> tuple[Play, ...]:
    """Return the plays of the week's script, in order."""
    folder = week or week_folder()
    with (folder / "roster.csv").open(encoding="utf-8", newline="") as sheet:
        shirts = {row["name"]: row["practice_number"] for row in csv.DictReader(sheet)}
    with (folder / "script.csv").open(encoding="utf-8", newline="") as sheet:
        rows = list(csv.DictReader(sheet))
    return tuple(_play(order, row, shirts) for order, row in enumerate(rows, start=1))


def _play(order: int, row: dict[str, str], shirts: dict[str, str]) -> Play:
    """Return one play from its line of the script."""
    half, yard = row["ball_on"].split()
    names = {position: row[position] for position in ("Keel", "Bow", "Port")}
    return Play(
        order=order,
        number=int(row["number"]),
        concept=row["concept"],
        run=row["run"],
        strength=row["strength"],
        back=row["back"],
        formation=row["formation"],
        tempo=row["tempo"],
        surface={side: int(row[f"surface.{side}"]) for side in ("left", "right")},
        ball_yd=(10.0 + (int(yard) if half == "own" else 100 - int(yard)), _BALL_Y_YD[row["hash"]]),
        shirts={position: shirts[name] for position, name in names.items()},
        names=names,
    )
