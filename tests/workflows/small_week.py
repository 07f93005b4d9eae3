"""A coach's small week: four tiny plays, a second camera that missed one, and his sheets."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path

from gradecut.book import Book
from gradecut.film import write_film
from gradecut.records import Angle, Clip, Player, Rep
from gradecut.samples import week_folder
from gradecut.timebase import Frame, Pts
from gradecut.workflows.adding import add_film, find_session, shift_pairing
from gradecut.workflows.booking import adopt_scheme, new_book
from gradecut.workflows.moments import timeline_of
from tests.reels.numbered_film import VARIABLE_TIMES_S, numbered_frame

SESSION = "Tuesday"
COACH = "J. Alder"
HARBOR, ROSTER = week_folder() / "harbor.toml", week_folder() / "roster.csv"

END_FILMS: Mapping[str, tuple[int, Fraction, Sequence[Fraction] | None]] = {
    "play 1.mp4": (150, Fraction(30), None),
    "play 2.mp4": (300, Fraction(60000, 1001), None),
    "play 9.mp4": (110, Fraction(15), VARIABLE_TIMES_S[:110]),
    "play 10.mp4": (150, Fraction(30), None),
}
"""In the order of the plays: natural order, which is not that of the alphabet."""
SIDE_FILMS: Mapping[str, tuple[int, Fraction, Sequence[Fraction] | None]] = {
    "1.mp4": (150, Fraction(30), None),
    "2.mp4": (300, Fraction(60), None),
    "3.mp4": (150, Fraction(30), None),
}
"""The side camera missed play 2: its films are of plays 1, 3 and 4."""

HEADER = (
    "number,period,kind,tempo,call,strength,back,surface.left,surface.right,concept,run,"
    "Keel,Bow,Port"
)
SCRIPT = (
    "1,Inside run,run,thud,Harbor,right,left,2,3,inside zone,right,Okorie,9,Marchand-Pike",
    "2,Inside run,run,thud,Harbor,left,behind,4,2,outside zone,left,Okorie,Lisoway,Marchand-Pike",
    "3,Inside run,run,live,Harbor,right,behind,2,3,split zone,left,Hanrattan,Thornbury,Castellow",
    "4,Team,run,live,Harbor,right,behind,2,3,power,right,Hanrattan,Thornbury,Vandermoor",
)
"""What Harbor asks on these four, from its own rules: see OWED."""
OWED = {
    (1, "Keel"): "fill A",
    (1, "Bow"): "squeeze D",
    (1, "Port"): "cutback B",
    (2, "Keel"): "scrape C",
    (2, "Bow"): "force E",
    (2, "Port"): "cutback B",
    (3, "Keel"): "hang A",
    (3, "Bow"): "box D",
    (3, "Port"): "fill B",
    (4, "Keel"): "overlap D",
    (4, "Bow"): "spill D",
    (4, "Port"): "fold A",
}
"""The fits of the reference table of expected fits (data/demo_expected_fits.csv) for these
looks: its plays 1, 3, 4 and 6."""


def write_films(folder: Path) -> tuple[Path, Path]:
    """Write both cameras' films, each frame with its number burnt in, no two films alike."""
    first = 0
    folders = []
    for name, films in (("end", END_FILMS), ("side", SIDE_FILMS)):
        home = folder / name
        home.mkdir(parents=True)
        for film, (count, rate, times_s) in films.items():
            frames = (numbered_frame((first + number) % 1024) for number in range(count))
            write_film(
                home / film, frames, rate=rate, times_s=times_s, preset="ultrafast", threads=1
            )
            first += 97
        folders.append(home)
    return (folders[0], folders[1])


def write_script(path: Path, lines: Sequence[str] = SCRIPT, header: str = HEADER) -> Path:
    """Write a script sheet."""
    return write_lines(path, header, *lines)


def write_lines(path: Path, *lines: str) -> Path:
    """Write a sheet of lines."""
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def write_rows(path: Path, rows: Sequence[Mapping[str, object]]) -> Path:
    """Write a sheet of rows, with every column any of them has."""
    columns = list(dict.fromkeys(key for row in rows for key in row))
    with path.open("w", encoding="utf-8", newline="") as sheet:
        writer = csv.DictWriter(sheet, columns, restval="")
        writer.writeheader()
        writer.writerows(rows)
    return path


def build_book(path: Path, end: Path, side: Path) -> Book:
    """Build the week's book as a coach would: new, film, script, second camera, one move."""
    book = new_book(
        path, name="Cedar Fork Herons", author=COACH, scheme=HARBOR, roster=ROSTER
    )  # fmt: skip
    script = write_script(path.with_suffix(".script.csv"))
    add_film(book, [end], session=SESSION, day="2026-10-06", script=script)
    add_film(book, [side], session=SESSION, angle="side", by_order=True)
    shift_pairing(book, find_session(book, SESSION), "side", from_play=2, by=1)
    return book


def also_on_the_other_side(book: Book, folder: Path, *, box: str = "to") -> None:
    """Put a Harbor in force where Keel fills A away from himself, or boxes A to himself."""
    text = HARBOR.read_text(encoding="utf-8")
    for old, new in (
        ('[fits."fill A"]\n', '[fits."fill A"]\nside = "away"\n'),
        ('[fits."box A"]\n', f'[fits."box A"]\nside = "{box}"\n'),
        ('fit = "fill A"\ncue = "Downhill', 'fit = "fill A"\nalso = ["box A"]\ncue = "Downhill'),
    ):
        assert text.count(old) == 1
        text = text.replace(old, new)
    path = folder / f"box {box}.toml"
    path.write_text(text, encoding="utf-8")
    adopt_scheme(book, path)


def clip_of(book: Book, play: int) -> Clip:
    """Return a play of the week."""
    return next(clip for clip in book.find(Clip) if clip.order == play)


def rep_of(book: Book, play: int, position: str) -> Rep:
    """Return the rep of the man who was in."""
    return book.find(Rep, clip_id=clip_of(book, play).id, position=position)[-1]


def angle_of(book: Book, play: int, name: str = "end") -> Angle:
    """Return one camera's angle of a play."""
    return book.find(Angle, clip_id=clip_of(book, play).id, name=name)[0]


def player_of(book: Book, name: str) -> Player:
    """Return a man by his whole name."""
    return book.find(Player, name=name)[0]


def pts_of(book: Book, angle: Angle, frame: int) -> Pts:
    """Return when a frame of an angle's film is shown, from the film itself."""
    line = timeline_of(book, angle.clip_id)
    film = line.films[angle.film_id]
    if film.rate is None:
        return Pts(line.times[film.id][frame])
    return film.pts_of(Frame(frame) / film.rate)


def stored(book: Book) -> dict[str, int]:
    """Count everything in a book, acts included."""
    from gradecut.book.schema import TABLES

    return {kind.__name__: book.count(kind) for kind in TABLES}
