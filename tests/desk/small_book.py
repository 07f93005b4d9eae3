"""A small book for the desk's and the window's tests: three plays, six reps, tiny films."""

from __future__ import annotations

import queue
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import numpy as np

from gradecut.book import Book
from gradecut.film import write_film
from gradecut.records import Clip, Player, Rep
from gradecut.samples import week_folder
from gradecut.workflows.adding import add_film
from gradecut.workflows.booking import new_book, scheme_in_force
from gradecut.workflows.counting import toggle_flag
from gradecut.workflows.judging import judge
from gradecut.workflows.line_ups import put_in
from gradecut.workflows.looks import tell_facts
from gradecut.workflows.moments import mark_moment, timeline_of

ROSTER = """name,position,game_number,practice_number,under_18,consent
Amos Rudd,Keel,44,44,no,no
Ben Sorley,Bow,9,9,no,no
Cal Teague,Port,31,31,yes,no
"""
RUNS = ("inside zone", "power", "inside zone")
FRAMES, RATE = 90, 30


class Posted:
    """Runs what is posted when the test says so, as a window's loop would."""

    def __init__(self) -> None:
        self._waiting: queue.Queue[Callable[[], None]] = queue.Queue()

    def __call__(self, work: Callable[[], None]) -> None:
        """Keep work for later; from any thread."""
        self._waiting.put(work)

    def until(self, done: Callable[[], bool], within_s: float = 30) -> None:
        """Run what is posted until something holds."""
        last = time.monotonic() + within_s
        while not done():
            if time.monotonic() > last:
                raise AssertionError("what was waited for never came")
            try:
                self._waiting.get(timeout=0.02)()
            except queue.Empty:
                continue


def make_films(folder: Path) -> Path:
    """Write three tiny films, each a brighter grey with a moving bar."""
    folder.mkdir()
    for number in range(3):
        frames = []
        for frame in range(FRAMES):
            picture = np.full((90, 160, 3), 40 + 30 * number, np.uint8)
            picture[:, frame : frame + 8] = 220
            frames.append(picture)
        write_film(folder / f"play {number + 1}.mp4", frames, rate=Fraction(RATE))
    return folder


def make_book(path: Path, films: Path) -> Book:
    """Start a book with three plays; Keel misses twice, Port's last rep can't be graded."""
    roster = path.with_suffix(".csv")
    roster.write_text(ROSTER)
    scheme_file = week_folder() / "harbor.toml"
    book = new_book(
        path, name="Small Herons", author="Coach Alder", scheme=scheme_file, roster=roster
    )
    add_film(book, [films], session="Monday", day="2026-10-05", angle="end")
    scheme = scheme_in_force(book)
    assert scheme is not None
    men = {man.position: man for man in book.find(Player)}
    for clip, run in zip(book.find(Clip), RUNS, strict=True):
        look = {
            "strength": "right",
            "surface.left": 2,
            "surface.right": 3,
            "back": "left",
            "wing": "none",
            "concept": run,
            "run": "right",
        }
        tell_facts(book, scheme, clip, look, source="marked")
        line = timeline_of(book, clip.id)
        angle = line.angles[0]
        film = line.films[angle.film_id]
        mark_moment(book, angle, "snap", film.pts_of(Fraction(1)))
        for position in ("Keel", "Bow") if clip.order < 3 else ("Keel", "Port"):
            put_in(book, clip, position, men[position])
    _grade(book)
    return book


def _grade(book: Book) -> None:
    clips = book.find(Clip)
    for clip in clips:
        for rep in book.find(Rep, clip_id=clip.id):
            if rep.position == "Keel" and clip.order != 2:
                judge(book, rep, did="miss", name="ran past it", cause="eyes")
                toggle_flag(book, clip, rep)
            elif rep.position == "Port":
                judge(book, rep, did="cannot grade", name="out of picture")
            else:
                judge(book, rep, how="passed")
