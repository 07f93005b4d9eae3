"""How long the window takes to open on a book of 10,000 clips.

Makes such a book in a temporary folder, then starts the window in processes of its own and
takes the time from the start of the process until the first page of the book is painted.
Modules are compiled as an installation leaves them: by a start that is told apart. Prints every
time, their median, and where the imports go.

    python benchmarks/window_open.py [--clips 10000] [--runs 5]
"""

from __future__ import annotations

import argparse
import os
import statistics
import subprocess
import sys
import tempfile
import time
from fractions import Fraction
from pathlib import Path

from gradecut.book import Book
from gradecut.records import (
    Angle,
    Clip,
    FactValue,
    FilmFile,
    Fingerprint,
    Grade,
    Moment,
    Player,
    Rep,
    Session,
    StoredFilm,
)
from gradecut.samples import week_folder
from gradecut.timebase import Pts
from gradecut.workflows.booking import new_book

A_SESSION = 100
GOAL_S = 1.5
POSITIONS = ("Keel", "Bow", "Port")
LOOK: dict[str, str | int] = {
    "strength": "right",
    "surface.left": 2,
    "surface.right": 3,
    "back": "left",
    "concept": "power",
    "run": "right",
}

CHILD = """
import sys
from PyQt6.QtCore import QEventLoop
from PyQt6.QtWidgets import QApplication
from gradecut.app import open_window
from gradecut.app.leaving import leave_with

def paint_once():
    app = QApplication.instance()
    for _ in range(40):
        app.processEvents(QEventLoop.ProcessEventsFlag.AllEvents, 50)
        window = next(w for w in app.topLevelWidgets() if hasattr(w, "pages"))
        if window.pages and window.pages.name and window.isVisible():
            window.repaint()
            app.processEvents()
            print("painted", flush=True)
            sys.stdin.readline()
            window.close()
            return 0
    return 1

QApplication.exec = staticmethod(paint_once)
sys.exit(leave_with(open_window(sys.argv[1])))
"""


def main() -> int:
    """Make the book, open it again and again, and print the times."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--clips", type=int, default=10_000)
    parser.add_argument("--runs", type=int, default=5)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "season.gradecut"
        began = time.perf_counter()
        make_book(path, asked.clips)
        size = path.stat().st_size / 1e6
        print(
            f"a book of {asked.clips} clips ({size:.0f} MB) made in "
            f"{time.perf_counter() - began:.0f} s"
        )
        print(f"first start, which compiles every module: {open_once(path, folder):.2f} s")
        times = [open_once(path, folder) for _ in range(asked.runs)]
        print("seconds:", " ".join(f"{one:.2f}" for one in times))
        median = statistics.median(times)
        print(f"median {median:.2f} s, goal {GOAL_S} s")
        print_imports(folder)
    return 0 if median <= GOAL_S else 1


def make_book(path: Path, clips: int) -> None:
    """Make a season: sessions of 100 plays, three men on each, two of them graded."""
    scheme = week_folder() / "harbor.toml"
    book = new_book(path, name="A long season", author="J. Alder", scheme=scheme)
    men = [Player(name=f"Player {position}", position=position) for position in POSITIONS]
    with book.act("bring in the roster") as act:
        act.put(*men)
    for first in range(0, clips, A_SESSION):
        put_session(book, men, first // A_SESSION, min(A_SESSION, clips - first))
    book.close()


def put_session(book: Book, men: list[Player], number: int, plays: int) -> None:
    """Put one session with all its rows in, as one act."""
    session = Session(name=f"Session {number + 1}", day=f"2026-{1 + number // 28:02d}-01")
    rows: list[object] = [session]
    for order in range(1, plays + 1):
        clip = Clip(session_id=session.id, order=order)
        film = StoredFilm(
            name=f"{number}-{order}",
            fingerprint=Fingerprint(algorithm="blake2b", digest=f"{number:08x}{order:08x}"),
            width=1280, height=720, rate=Fraction(30), time_base=Fraction(1, 15360),
            frame_count=210, first_pts=Pts(0), duration_s=Fraction(7),
        )  # fmt: skip
        angle = Angle(
            clip_id=clip.id, film_id=film.id, name="end", start_pts=Pts(0), stop_pts=Pts(209 * 512)
        )
        place = FilmFile(film_id=film.id, computer=book.computer, path=f"/film/{film.name}.mp4")
        reps = [
            Rep(clip_id=clip.id, player_id=man.id, position=position)
            for man, position in zip(men, POSITIONS, strict=True)
        ]
        rows += [clip, film, place, angle, *reps]
        rows.append(Moment(angle_id=angle.id, kind="snap", pts=Pts(60 * 512)))
        rows += [FactValue(clip_id=clip.id, reference=r, value=v) for r, v in LOOK.items()]
        rows += [
            Grade(rep_id=rep.id, author="J. Alder", expected_fit="fill A", fit_points=2)
            for rep in reps[:2]
        ]
    with book.act("add a session") as act:
        act.put(*rows)


def open_once(path: Path, folder: str) -> float:
    """Start the window in a process of its own; return the seconds until it is painted."""
    env = compiled_in(folder) | {"XDG_CONFIG_HOME": folder, "XDG_STATE_HOME": folder}
    if not (env.get("DISPLAY") or env.get("WAYLAND_DISPLAY")):
        env["QT_QPA_PLATFORM"] = "offscreen"
    began = time.perf_counter()
    with subprocess.Popen(
        [sys.executable, "-c", CHILD, str(path)],
        env=env, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
    ) as child:  # fmt: skip
        assert child.stdout is not None
        told = child.stdout.readline().strip()
        took = time.perf_counter() - began
        child.communicate("\n")
    if told != "painted":
        raise SystemExit("The window did not open.")
    return took


def compiled_in(folder: str) -> dict[str, str]:
    """Return the environment, with compiled modules kept in a folder whatever it says of them."""
    kept = {name: told for name, told in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return kept | {"PYTHONPYCACHEPREFIX": str(Path(folder) / "compiled")}


def print_imports(folder: str) -> None:
    """Print what the imports of the window cost, the dearest first."""
    words = [sys.executable, "-X", "importtime", "-c", "import gradecut.app.opening"]
    told = subprocess.run(
        words, capture_output=True, text=True, check=True, env=compiled_in(folder)
    ).stderr
    rows = []
    for line in told.splitlines():
        parts = line.removeprefix("import time:").split("|")
        if len(parts) == 3 and parts[0].strip().isdigit():
            rows.append((int(parts[0]), parts[2].strip()))
    print("dearest imports (ms of their own):")
    for own, name in sorted(rows, reverse=True)[:12]:
        print(f"  {own / 1000:6.1f}  {name}")


if __name__ == "__main__":
    sys.exit(main())
