"""Three periods of inside run, forty plays on two recordings, and the sheet made beforehand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path

from gradecut.book import Book
from gradecut.film import open_film, write_film
from gradecut.records import Angle, Stretch
from gradecut.samples import week_folder
from gradecut.workflows.booking import new_book
from gradecut.workflows.cutting import add_recording
from gradecut.workflows.moments import mark_moment, timeline_of
from tests.reels.numbered_film import numbered_frame

__all__ = ["FRAMES", "LOOKS", "OWED", "PLAYS", "SHEET", "Told", "look_told", "make_forty"]

PLAYS, FRAMES, RATE = 40, 12, 30
LOOKS: tuple[Mapping[str, str | int], ...] = (
    {"strength": "right", "surface.left": 2, "surface.right": 3, "back": "left",
     "concept": "inside zone", "run": "right"},
    {"strength": "left", "surface.left": 4, "surface.right": 2, "back": "behind",
     "concept": "outside zone", "run": "left"},
    {"strength": "right", "surface.left": 2, "surface.right": 3, "back": "behind",
     "concept": "split zone", "run": "left"},
    {"strength": "right", "surface.left": 2, "surface.right": 3, "back": "behind",
     "concept": "power", "run": "right"},
)  # fmt: skip
"""The script runs these over and over. Nobody's script tells of the wing but on the first
play of the second and the third period; on the first play of all he says it himself."""
OWED: tuple[Mapping[str, str], ...] = (
    {"Bow": "squeeze D", "Keel": "fill A", "Port": "cutback B"},
    {"Bow": "force E", "Keel": "scrape C", "Port": "cutback B"},
    {"Bow": "box D", "Keel": "hang A", "Port": "fill B"},
    {"Bow": "spill D", "Keel": "overlap D", "Port": "fold A"},
)
"""What Harbor asks on these four: plays 1, 3, 4 and 6 of the reference table of expected fits
(data/demo_expected_fits.csv)."""
_BEGINS = {1: "Inside run 1", 15: "Inside run 2", 28: "Inside run 3"}
_WING = {15: "none", 28: "right"}
_MEN = {1: "44,9,31", 15: "52,16,38", 28: "44,57,38"}


@dataclass(frozen=True, kw_only=True)
class Told:
    """What the sheet says of one play beside "all right".

    ``wrong`` and ``fit``: position to (miss or other fit, cause).
    """

    wrong: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    fit: Mapping[str, tuple[str, str]] = field(default_factory=dict)
    cannot: Mapping[str, str] = field(default_factory=dict)
    facts: Mapping[str, str | int] = field(default_factory=dict)
    events: Mapping[str, str] = field(default_factory=dict)
    flags: tuple[str, ...] = ()
    no_play: bool = False


SHEET: Mapping[int, Told] = {
    1: Told(facts={"wing": "left"}),
    3: Told(wrong={"Keel": ("chased flat over the top", "eyes")}),
    4: Told(wrong={"Port": ("stayed home", "did not know")}, flags=("Port",)),
    6: Told(facts={"run": "right"}),
    8: Told(cannot={"Bow": "out of picture"}),
    9: Told(events={"Keel": "missed tackle"}),
    11: Told(
        wrong={
            "Bow": ("let it bounce outside", "alignment"), "Keel": ("stopped his feet", "technique")
        }
    ),
    13: Told(no_play=True),
    14: Told(fit={"Keel": ("fill A", "eyes")}),
    16: Told(facts={"concept": "counter"}),
    18: Told(wrong={"Bow": ("lost the edge", "beaten")}),
    19: Told(flags=("Keel",)),
    21: Told(facts={"surface.right": 2}, wrong={"Keel": ("ran past it", "eyes")}),
    24: Told(cannot={"Port": "hidden behind others"}),
    26: Told(wrong={"Port": ("there, but off balance", "technique")}),
    29: Told(events={"Bow": "loaf"}),
    31: Told(facts={"strength": "left"}),
    33: Told(wrong={"Keel": ("caught it at depth", "no call")}, flags=("Keel",)),
    36: Told(
        wrong={"Keel": ("fitted inside the spill", "rule unclear")}, events={"Port": "tackle"}
    ),
    38: Told(facts={"back": "none"}),
}  # fmt: skip
"""Twenty plays; the other twenty were clean."""


def look_told(play: int) -> dict[str, str | int]:
    """Return the whole look of a play as the sheet has it."""
    wing = "left" if play < 15 else "none" if play < 28 else "right"
    told = SHEET.get(play, Told())
    return {**LOOKS[(play - 1) % 4], "wing": wing, **told.facts}


def make_forty(folder: Path) -> Path:
    """Make the book: two recordings of forty plays, a script, snaps marked; return its path."""
    home = folder / "film"
    home.mkdir()
    films = {angle: home / f"{angle}.mp4" for angle in ("end", "side")}
    for first, film in zip((0, 512), films.values(), strict=True):
        frames = (numbered_frame(first + number) for number in range(PLAYS * FRAMES))
        write_film(film, frames, rate=Fraction(RATE), preset="ultrafast", threads=1)
    path = folder / "forty.gradecut"
    week = week_folder()
    book = new_book(
        path, name="Cedar Fork Herons", author="Coach Alder", scheme=week / "harbor.toml",
        roster=week / "roster.csv",
    )  # fmt: skip
    script = folder / "script.csv"
    script.write_text("\n".join(_script()), encoding="utf-8")
    for angle, film in films.items():
        add_recording(
            book, film, _cut(film), session="Tuesday", day="2026-10-06", angle=angle,
            script=script if angle == "end" else None,
        )  # fmt: skip
    _mark_snaps(book)
    book.close()
    return path


def _script() -> list[str]:
    columns = list(LOOKS[0])
    lines = [",".join(["number", "period", *columns, "wing", "Keel", "Bow", "Port"])]
    for play in range(1, PLAYS + 1):
        begun = max(first for first in _BEGINS if first <= play)
        told = [str(LOOKS[(play - 1) % 4][one]) for one in columns]
        lines.append(",".join([str(play), _BEGINS[begun], *told, _WING.get(play, ""), _MEN[begun]]))
    return lines


def _cut(path: Path) -> tuple[Stretch, ...]:
    with open_film(path) as film:
        return tuple(
            Stretch(
                start_pts=film.pts_of(play * FRAMES), stop_pts=film.pts_of((play + 1) * FRAMES - 1)
            )
            for play in range(PLAYS)
        )


def _mark_snaps(book: Book) -> None:
    with book.act("mark the snaps"):
        for angle in book.find(Angle):
            film = timeline_of(book, angle.clip_id).films[angle.film_id]
            snap_s = film.time_of(angle.start_pts) + Fraction(4, RATE)
            mark_moment(book, angle, "snap", film.pts_of(snap_s))
