"""A real book of three short plays, with two linebackers who may be shown and one who may not."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

from gradecut.book import Book
from gradecut.film import write_film
from gradecut.records import Clip, Mark, Player, Rep
from gradecut.timebase import Frame
from gradecut.workflows.adding import add_film
from gradecut.workflows.booking import new_book
from gradecut.workflows.marking import add_mark
from gradecut.workflows.moments import mark_moment, timeline_of
from tests.reels.numbered_film import numbered_frame

COACH = "J. Alder"
OKORIE, LISOWAY, VANDERMOOR = "Tavin Okorie", "Brandt Lisoway", "Joss Vandermoor"
SESSION = "Tuesday inside run"
RATE = Fraction(30)
SNAP = Frame(30)
FRAMES = 75

SCHEME = """
[scheme]
name = "Harbor, cut short"

[facts.run]
asks = "Which way did the run go?"
values = ["left", "right"]
sided = true

[positions.Keel]
side = "left"
[positions.Bow]
side = "right"
[positions.Port]
side = "right"

[fits."fill A"]
job = "fill"
gap = "A"
misses = [{ name = "ran past it" }, { name = "caught it at depth", credit = "half" }]
[fits."hang A"]
job = "hang"
gap = "A"
misses = [{ name = "chased flat over the top" }]
[fits."force D"]
job = "force"
gap = "D"

[[rules]]
id = "to"
for = ["Keel", "Port"]
when = { run = "to" }
fit = "fill A"
[[rules]]
id = "away"
for = ["Keel", "Port"]
when = { run = "away" }
fit = "hang A"
[[rules]]
id = "edge"
for = ["Bow"]
fit = "force D"
"""
ROSTER = f"""name,position,practice_number,under_18,consent
{OKORIE},Keel,44,no,no
{LISOWAY},Bow,9,no,no
{VANDERMOOR},Port,38,yes,no
"""
SCRIPT = f"""number,period,run,Keel,Bow,Port
1,Team run,left,{OKORIE},{LISOWAY},{VANDERMOOR}
2,Team run,right,{OKORIE},{LISOWAY},
3,Team run,left,{OKORIE},{LISOWAY},
"""


def tiny_book(folder: Path) -> Book:
    """Start the book, bring its film in, and mark snap and brackets on every play."""
    films = folder / "film"
    films.mkdir(parents=True)
    for number in range(1, 4):
        numbers = range(200 * number, 200 * number + FRAMES)
        write_film(
            films / f"{number:02}.mp4", map(numbered_frame, numbers), rate=RATE,
            preset="ultrafast", threads=1,
        )  # fmt: skip
    for name, text in (("harbor.toml", SCHEME), ("roster.csv", ROSTER), ("script.csv", SCRIPT)):
        (folder / name).write_text(text, encoding="utf-8")
    book = new_book(
        folder / "herons.gradecut",
        name="Cedar Fork Herons",
        author=COACH,
        scheme=folder / "harbor.toml",
        roster=folder / "roster.csv",
    )
    add_film(book, [films], session=SESSION, day="2026-10-06", script=folder / "script.csv")
    for clip in book.find(Clip):
        line = timeline_of(book, clip.id)
        angle = line.angles[0]
        snap = line.films[angle.film_id].pts_of(SNAP / RATE)
        mark_moment(book, angle, "snap", snap)
        for rep in book.find(Rep, clip_id=clip.id):
            for kind, meaning in (("bracket", "plain"), ("ring", "owed")):
                add_mark(
                    book,
                    Mark(
                        angle_id=angle.id, kind=kind, meaning=meaning, points=((160, 120),),
                        from_pts=snap, to_pts=snap, rep_id=rep.id, text="late again",
                    ),
                )  # fmt: skip
    return book


def player(book: Book, name: str) -> Player:
    """Find a man of the roster."""
    return book.find(Player, name=name)[0]


def rep_of(book: Book, name: str, play: int) -> Rep:
    """Find a man's rep on a play."""
    clip = next(clip for clip in book.find(Clip) if clip.order == play)
    return book.find(Rep, clip_id=clip.id, player_id=player(book, name).id)[0]
