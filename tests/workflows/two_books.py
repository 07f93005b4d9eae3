"""Two coaches' books of one practice, without film: copied from each other, or made apart."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from fractions import Fraction
from pathlib import Path
from typing import Any

from gradecut.book import Book, open_book
from gradecut.book.codec import codec_of
from gradecut.book.schema import TABLES, table_of
from gradecut.records import (
    Act,
    Angle,
    Change,
    Clip,
    FactValue,
    Fingerprint,
    Grade,
    LineUp,
    Mark,
    Player,
    Rep,
    Session,
    StoredFilm,
)
from gradecut.samples import week_folder
from gradecut.timebase import Pts
from gradecut.workflows.booking import new_book, scheme_in_force
from gradecut.workflows.counting import add_event, toggle_flag
from gradecut.workflows.expecting import say_owed
from gradecut.workflows.judging import judge
from gradecut.workflows.lining_up import say_lined_up
from gradecut.workflows.looks import tell_facts
from gradecut.workflows.marking import add_mark
from gradecut.workflows.moments import mark_moment

INSIDE, OUTSIDE = "J. Alder", "R. Boone"
PLAYS = 4
PLAY_PTS = 300
MEN: Mapping[str, str] = {
    "Keel": "Tavin Okorie", "Bow": "Brandt Lisoway", "Port": "Joss Vandermoor",
}  # fmt: skip
LOOK: Mapping[str, str | int] = {
    "strength": "right", "surface.left": 2, "surface.right": 3, "back": "left", "wing": "none",
    "concept": "inside zone", "run": "right",
}  # fmt: skip


def make_book(
    path: Path, author: str, *, plays: int = PLAYS, men: Mapping[str, str] = MEN, later_pts: int = 0
) -> Book:
    """Start a coach's own book: two recordings, their plays, men and look from the script.

    Every id is new; films, names and the script are those of the practice. ``later_pts``: his
    plays begin and end so much later.
    """
    book = new_book(
        path, name=f"Herons of {author}", author=author, scheme=week_folder() / "harbor.toml"
    )
    session = Session(name="Tuesday", day="2026-10-06")
    people = {
        spot: Player(name=name, practice_number="4", under_18=spot == "Port", remark="sore knee")
        for spot, name in men.items()
    }
    films = [_film(number) for number in range(2)]
    with book.act("bring film in") as act:
        act.put(session, *people.values(), *films)
        for order in range(1, plays + 1):
            clip = Clip(session_id=session.id, order=order, period="Inside run")
            start = PLAY_PTS * (order // 2) + later_pts
            act.put(
                clip,
                Angle(
                    clip_id=clip.id, film_id=films[order % 2].id, name="end",
                    start_pts=Pts(start), stop_pts=Pts(start + PLAY_PTS - 20),
                ),
            )  # fmt: skip
            for reference, value in LOOK.items():
                act.put(
                    FactValue(
                        clip_id=clip.id, reference=reference, value=value, source="script"
                    )
                )  # fmt: skip
            for spot, man in people.items():
                act.put(Rep(clip_id=clip.id, player_id=man.id, position=spot))
                act.put(LineUp(clip_id=clip.id, position=spot, player_id=man.id, source="script"))
    return book


def _film(number: int) -> StoredFilm:
    return StoredFilm(
        name=f"card {number}.mp4",
        fingerprint=Fingerprint(algorithm="blake2b", digest=f"{number:04x}"),
        width=1280, height=720, rate=Fraction(30), time_base=Fraction(1, 30),
        frame_count=3000, first_pts=Pts(0), duration_s=Fraction(100),
    )  # fmt: skip


def copy_of(book: Book, path: Path, author: str) -> Book:
    """Copy a book for another coach."""
    shutil.copy(book.backup(path.with_suffix(".copy")), path)
    return open_book(path, author=author)


def clip_of(book: Book, play: int) -> Clip:
    """Return a play."""
    return book.find(Clip, order=play)[0]


def rep_of(book: Book, play: int, spot: str) -> Rep:
    """Return a man's rep."""
    return book.find(Rep, clip_id=clip_of(book, play).id, position=spot)[0]


def angle_of(book: Book, play: int) -> Angle:
    """Return a play's angle."""
    return book.find(Angle, clip_id=clip_of(book, play).id)[0]


def tell(book: Book, play: int, **look: str | int) -> None:
    """Mark facts of a look as the book's author."""
    scheme = scheme_in_force(book)
    assert scheme is not None
    tell_facts(book, scheme, clip_of(book, play), look, source="marked")


def grade_a_bit(book: Book, spot: str) -> None:
    """Record one thing of every kind of a man, on plays 1 to 3."""
    one, two, three = (rep_of(book, play, spot) for play in (1, 2, 3))
    angle = angle_of(book, 1)
    judge(book, one, how="passed")
    judge(book, one, did="cannot grade", name="out of picture")
    judge(book, two, technique={}, effort=2, note="late eyes")
    judge(book, three)
    tell(book, 1, back="behind")
    mark_moment(book, angle, "first step", Pts(angle.start_pts + 40), one)
    add_mark(
        book,
        Mark(
            angle_id=angle.id, kind="arrow", points=((10, 10), (40, 20.5)), rep_id=one.id,
            from_pts=angle.start_pts, to_pts=angle.stop_pts, text="here",
        ),
    )  # fmt: skip
    say_owed(book, two, "fill A", side="right", reason="called it so")
    say_lined_up(book, three, off=["too deep"])
    add_event(book, three, "loaf")
    toggle_flag(book, clip_of(book, 3), three)


def content(book: Book, author: str | None = None) -> dict[str, object]:
    """Return all that a book says, whatever ids it says it by; only one coach's where named."""
    names = _Names(book)
    kinds = [kind for kind in TABLES if kind not in (Act, Change)]
    found: dict[str, object] = {}
    for kind in kinds:
        rows: list[Any] = book.find(kind)
        if author is not None:
            rows = [row for row in rows if getattr(row, "author", None) == author]
        found[table_of(kind)] = sorted(names.plain(row) for row in rows)
    return found


def state(book: Book) -> dict[str, list[object]]:
    """Return every row as it stands, ids and all, the journal left out."""
    kinds = [kind for kind in TABLES if kind not in (Act, Change)]
    return {table_of(kind): list(book.find(kind)) for kind in kinds}


class _Names:
    """Rows written without ids: what they name is named by what it is."""

    def __init__(self, book: Book) -> None:
        films = {film.id: film.name for film in book.find(StoredFilm)}
        players = {man.id: man.name for man in book.find(Player)}
        clips = {clip.id: f"play {clip.order}" for clip in book.find(Clip)}
        self._names = {
            **films, **players, **clips,
            **{angle.id: f"{clips[angle.clip_id]} end" for angle in book.find(Angle)},
            **{
                rep.id: f"{clips[rep.clip_id]} {rep.position} {players[rep.player_id]}"
                for rep in book.find(Rep)
            },
            **{grade.id: f"grade of {grade.at}" for grade in book.find(Grade)},
        }  # fmt: skip

    def plain(self, row: object) -> str:
        told = codec_of(type(row)).row_of(row)
        return repr({
            name: self._names.get(value, value) if name.endswith("_id") or name == "supersedes"
            else value
            for name, value in told.items()
            if name not in ("id", "scheme_id", "session_id", "made_at", "added_at")
        })  # fmt: skip
