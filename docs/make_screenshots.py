"""Pictures of the four pages, from the sample week, for the README.

Needs a display; on a machine without one:

    xvfb-run -a -s "-screen 0 1600x1000x24" python docs/make_screenshots.py

Writes film.png, scheme.png, board.png, board-light.png and teach.png beside this file.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from PyQt6.QtWidgets import QApplication

from gradecut.app.theme import Dress, load_type
from gradecut.app.window import MainWindow
from gradecut.desk.remembered import Remembered
from gradecut.records import RepLine
from gradecut.workflows.demo import QUESTION, sample_week
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.teaching import build_reel, corrections

HERE = Path(__file__).resolve().parent
SETTLE_S = 4


def main() -> int:
    """Build the sample week, visit the pages and keep their pictures."""
    app = QApplication(sys.argv[:1])
    load_type()
    dress = Dress()
    dress.put_on(dress.theme, app)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "week.gradecut"
        with sample_week(path) as book:
            build_reel(book, QUESTION)
            corrections(book)
        window = MainWindow(
            app, dress, remembered=Remembered(grader="J. Alder", cautions_shown=True)
        )
        window.show()
        window.activateWindow()
        window.open_path(str(path))
        for name, prepare in PAGES:
            prepare(window)
            settle(app)
            window.grab().save(str(HERE / f"{name}.png"))
            sys.stdout.write(f"{HERE / name}.png\n")
        window.close()
    return 0


def show_film(window: MainWindow) -> None:
    """Show a play with a miss: the man, what he owed and where he went."""
    window.show_page("Film")
    desk = window.desk
    if desk is None or window.pages is None:
        return
    missed = next((line for line in rep_lines(desk.book) if was_missed(line)), None)
    if missed is not None:
        window.pages.open_rep(missed.clip.id, missed.rep.id)
        snap = desk.film.playhead.snap
        if snap is not None:
            desk.film.playhead.seek(snap)


def show_scheme(window: MainWindow) -> None:
    """Show the grid with an edit that the audit beside it has something to say to."""
    window.show_page("Scheme")
    if window.desk is None:
        return
    scheme = window.desk.scheme
    two = next((row for row in scheme.hand.rows if "trap" in row.words), None)
    if two is not None:
        scheme.hand.take(two.key, "Keel")
        scheme.rows.add_row({"concept": "trap"}, sided=True)
        scheme.hand.set_fit("fill B")


def show_board(window: MainWindow) -> None:
    """Show the board and what to drill."""
    window.show_page("Board")


def show_board_light(window: MainWindow) -> None:
    """Show the same by daylight."""
    window.change_theme()


def show_teach(window: MainWindow) -> None:
    """Show the corrections, the preview standing at the first piece's snap."""
    window.change_theme()
    window.show_page("Teach")
    settle(window.app)
    desk = window.desk
    if desk is not None:
        plan = desk.teach.preview.plan
        frozen = [step for step in plan.steps if step.kind == "freeze"] if plan else []
        if frozen:
            desk.teach.preview.go(frozen[0].first_frame + 5)


PAGES: tuple[tuple[str, Callable[[MainWindow], None]], ...] = (
    ("film", show_film),
    ("scheme", show_scheme),
    ("board", show_board),
    ("board-light", show_board_light),
    ("teach", show_teach),
)


def was_missed(line: RepLine) -> bool:
    """Whether a rep came out wrong, on a play after the first few."""
    return line.grade is not None and line.grade.fit_result == "wrong" and line.clip.order > 5


def settle(app: QApplication) -> None:
    """Let threads hand over what they make."""
    last = time.monotonic() + SETTLE_S
    while time.monotonic() < last:
        app.processEvents()
        time.sleep(0.005)


if __name__ == "__main__":
    sys.exit(main())
