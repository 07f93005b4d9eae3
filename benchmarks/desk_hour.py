"""An evening at the Film page: how long each key takes, and what the window's memory does.

A practice of plays is cut from two cameras' films (1080p60) into a book, and the real window
grades it with keys: plays let through, men missed with their cause, facts turned, film stepped
forward and back, played, the other angle shown, a flag and a take-back now and then. Taken are

- the time from a key that changes the play until its first picture is painted,
- from a step key until its picture is painted, where it was seen on this play and where not,
- the longest time the window's loop stood still,
- the process's memory, minute by minute.

    python -m benchmarks.desk_hour [--films FOLDER] [--minutes 60] [--plays 120] [--clips 10000]
"""

from __future__ import annotations

import argparse
import os
import random
import statistics
import sys
import tempfile
import time
from array import array
from collections import defaultdict
from collections.abc import Iterator, Sequence
from fractions import Fraction
from pathlib import Path

from PyQt6.QtCore import QTimer
from PyQt6.QtGui import QKeySequence
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication

from benchmarks.made_films import HD, Making, make
from benchmarks.window_open import make_book
from gradecut.app.film_page import FilmPage
from gradecut.app.leaving import leave_with
from gradecut.app.opening import take_short_turns
from gradecut.app.theme import DARK_THEME, Dress, load_type
from gradecut.app.window import MainWindow
from gradecut.book import Book, open_book
from gradecut.desk.remembered import Remembered
from gradecut.records import Angle, Clip, FactValue, LineUp, Moment, Player, Rep, Session
from gradecut.timebase import Pts
from gradecut.workflows.films import read_film

POSITIONS = ("Keel", "Bow", "Port")
LOOK: dict[str, str | int] = {
    "strength": "right", "surface.left": 2, "surface.right": 3, "back": "left",
    "concept": "power", "run": "right",
}  # fmt: skip
PLAY_S = Fraction(13, 2)
SNAP_S = Fraction(2)
MOVES: dict[str, tuple[str, ...]] = {
    "clean": ("Return",),
    "missed": ("2", "1", "1", "Return"),
    "can't be graded": ("3", "U", "1", "Return"),
    "stepped": ("S", *("Right",) * 12, *("Left",) * 12, *("Right",) * 6, "Return"),
    "other angle": ("S", "A", *("Right",) * 8, *("Left",) * 8, "A", "Return"),
    "flagged": ("1", "F", "Escape", "Return"),
    "taken back": ("1", "1", "1", "Ctrl+Z", "Ctrl+Z", "Return"),
}
SHARES = (8, 4, 1, 3, 2, 1, 1)
"""How often each happens: half of the plays are clean, and some are looked at by the frame."""


class Evening:
    """Presses keys in the window's own loop and takes the times."""

    def __init__(self, window: MainWindow, seconds: float, pause_s: float) -> None:
        assert window.pages is not None
        page = window.pages.pages["Film"]
        assert isinstance(page, FilmPage)
        self.page = page
        # In plain doubles: half a million of them are not to count as the window's memory.
        self.at: dict[str, array[float]] = defaultdict(lambda: array("d"))
        self.times: dict[str, array[float]] = defaultdict(lambda: array("d"))
        self.memory: list[tuple[float, float]] = []
        self.keys = 0
        self.ended = False
        self._began = time.perf_counter()
        self._seconds = seconds
        self._moves = self._script()
        self._pending: tuple[str, float] | None = None
        self._painted: set[tuple[str, int]] = set()
        self._beat = time.perf_counter()
        self._heart = QTimer()
        self._heart.timeout.connect(self._mark_beat)
        self._heart.start(5)
        self._hand = QTimer()
        self._hand.timeout.connect(self._press)
        self._hand.start(10)
        self._pause_s, self._ready_at = pause_s, 0.0
        page.film.playhead.pictured.connect(self._look)

    def _script(self) -> Iterator[str]:
        chance = random.Random(6)
        while True:
            (name,) = chance.choices(list(MOVES), SHARES)
            yield from MOVES[name]

    def _mark_beat(self) -> None:
        now = time.perf_counter()
        self._take("the loop stood still", now - self._beat)
        self._beat = now
        spent = now - self._began
        if not self.memory or spent - self.memory[-1][0] > 60:
            self.memory.append((spent, resident_mb()))
        if spent > self._seconds:
            self._heart.stop()
            self._hand.stop()
            self.ended = True

    def _press(self) -> None:
        """Press the next key once the one before has its picture."""
        self._look()
        now = time.perf_counter()
        if self._pending is not None and now - self._pending[1] < 10:
            self._ready_at = now + self._pause_s
            return
        if now < self._ready_at:
            return
        self._ready_at = now + self._pause_s
        key = next(self._moves)
        head = self.page.film.playhead
        before = (self.page.film.clip.id if self.page.film.clip else "", head.frame)
        start = time.perf_counter()
        *held, last = key.split("+")
        focus = QApplication.focusWidget() or self.page
        QTest.keySequence(focus, QKeySequence("+".join((*held, _NAMED.get(last, last)))))
        self.keys += 1
        handled = time.perf_counter() - start
        after = (self.page.film.clip.id if self.page.film.clip else "", head.frame)
        if after[0] != before[0]:
            self._painted.clear()
            self._pending = ("to another play's first picture", start)
        elif after[1] != before[1]:
            known = (head.angle.id if head.angle else "", head.frame) in self._painted
            self._pending = ("to a step's picture, seen before" if known else
                             "to a step's picture, not seen yet", start)  # fmt: skip
        else:
            self._take("a key was handled in", handled)
        if self._at_end():
            self.page.film.open_clip(self.page.film.plays.line.boxes[0].clip_id)

    def _at_end(self) -> bool:
        clip = self.page.film.clip
        boxes = self.page.film.plays.line.boxes
        return clip is not None and clip.id == boxes[-1].clip_id

    def _look(self) -> None:
        """Take the time once the wished picture is there, painted at once."""
        head = self.page.film.playhead
        if head.picture is not None and head.shown is not None and not head.rough and head.angle:
            self._painted.add((head.angle.id, head.shown))
        if self._pending is None or head.picture is None or head.shown is None:
            return
        what, start = self._pending
        if head.shown == head.frame or head.playing:
            self._pending = None
            self.page.stage.repaint()
            self._take(what, time.perf_counter() - start)

    def _take(self, what: str, took_s: float) -> None:
        self.at[what].append(time.perf_counter() - self._began)
        self.times[what].append(took_s)


_BLOCK_MINUTES = 10
_NAMED = {"Return": "Return", "Escape": "Esc", "Right": "Right", "Left": "Left"}


def main() -> int:
    """Make the book, grade for so long, and print what it took."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--films", type=Path, help="keep the films here")
    parser.add_argument("--minutes", type=float, default=60)
    parser.add_argument("--plays", type=int, default=120)
    parser.add_argument("--pause-ms", type=float, default=150, help="between two keys; 0: none")
    parser.add_argument("--clips", type=int, default=0, help="clips of other sessions beside it")
    asked = parser.parse_args()
    if not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        os.environ["QT_QPA_PLATFORM"] = "offscreen"
    with tempfile.TemporaryDirectory() as folder:
        films = asked.films or Path(folder)
        path = Path(folder) / "practice.gradecut"
        make_book(path, asked.clips)
        with open_book(path, author="J. Alder") as book:
            add_practice(book, [make(one, films) for one in _MADE], asked.plays)
        evening = grade(path, asked.minutes * 60, asked.pause_ms / 1000)
    tell(evening, asked.minutes)
    return 0


_MADE = tuple(
    Making(name=name, size_px=HD, rate=Fraction(60), seconds=60, group=60, megabits=12)
    for name in ("hd60-group60", "hd60-group60-side")
)
"""The two cameras of the practice."""


def add_practice(book: Book, film_paths: Sequence[Path], plays: int) -> None:
    """Cut two cameras' films into plays, again and again where they are too short."""
    reads = [read_film(book, path) for path in film_paths]
    session = Session(name="Inside run", day="2026-12-01")
    men = {player.position: player for player in book.find(Player)}
    rows: list[object] = [*(row for read in reads for row in read.rows), session]
    starts = int((min(read.film.duration_s for read in reads) - PLAY_S) / Fraction(3, 2))
    for order in range(1, plays + 1):
        clip = Clip(session_id=session.id, order=order, period=f"Inside run {1 + order // 40}")
        rows.append(clip)
        for name, shift, film in (("end", 0, reads[0].film), ("side", 7, reads[1].film)):
            start_s = Fraction(3, 2) * ((order + shift) % starts)
            angle = Angle(
                clip_id=clip.id, film_id=film.id, name=name,
                start_pts=film.pts_of(start_s), stop_pts=film.pts_of(start_s + PLAY_S),
            )  # fmt: skip
            snap = Moment(angle_id=angle.id, kind="snap", pts=Pts(film.pts_of(start_s + SNAP_S)))
            rows += [angle, snap]
        rows += [FactValue(clip_id=clip.id, reference=r, value=v, source="script")
                 for r, v in LOOK.items()]  # fmt: skip
        for position in POSITIONS:
            rep = Rep(clip_id=clip.id, player_id=men[position].id, position=position)
            rows += [rep, LineUp(clip_id=clip.id, position=position, player_id=rep.player_id)]
    with book.act("add a practice") as act:
        act.put(*rows)


def grade(path: Path, seconds: float, pause_s: float) -> Evening:
    """Open the window and let the keys be pressed."""
    take_short_turns()
    app = QApplication(sys.argv[:1])
    load_type()
    dress = Dress()
    dress.put_on(DARK_THEME, app)
    told = Remembered(grader="J. Alder", cautions_shown=True)
    window = MainWindow(app, dress, remembered=told)
    window.show()
    window.open_path(str(path))
    window.activateWindow()
    app.processEvents()
    evening = Evening(window, seconds, pause_s)
    while not evening.ended:
        app.processEvents()
        time.sleep(0.0005)
    window.close()
    return evening


def tell(evening: Evening, minutes: float) -> None:
    """Print what it took."""
    print(f"{evening.keys} keys in {minutes:g} minutes")
    for what, times in evening.times.items():
        print(f"  {what:<34} n {len(times):6}  {spread(times)} ms")
        if minutes > 2 * _BLOCK_MINUTES:
            blocks = by_blocks(evening.at[what], times)
            print(f"    99th percentile of every {_BLOCK_MINUTES} minutes: {blocks}")
    first = evening.memory[min(2, len(evening.memory) - 1)][1]
    print("  memory, MB by the minute:", " ".join(f"{mb:.0f}" for _, mb in evening.memory))
    print(f"  from the third minute to the last: {evening.memory[-1][1] - first:+.0f} MB")


def by_blocks(at: Sequence[float], times: Sequence[float]) -> str:
    """Write the 99th percentile of every ten minutes, in milliseconds."""
    blocks: dict[int, list[float]] = defaultdict(list)
    for at_s, took in zip(at, times, strict=True):
        blocks[int(at_s // (60 * _BLOCK_MINUTES))].append(took)
    return " ".join(f"{late(blocks[block]) * 1000:.0f}" for block in sorted(blocks))


def late(times: Sequence[float]) -> float:
    """Return the 99th percentile of times, in seconds."""
    ranked = sorted(times)
    return ranked[min(len(ranked) - 1, int(0.99 * len(ranked)))]


def spread(times: Sequence[float]) -> str:
    """Write median, 99th percentile and longest in milliseconds."""
    ranked = sorted(times)
    return (
        f"median {statistics.median(ranked) * 1000:6.1f}  p99 {late(ranked) * 1000:6.1f}  "
        f"longest {ranked[-1] * 1000:6.1f}"
    )


def resident_mb() -> float:
    """Return the memory of this process that is in use now, in MB."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


if __name__ == "__main__":
    sys.exit(leave_with(main()))
