"""Pictures of the window, from the sample week and from books that lack something.

Needs a display; on a machine without one:

    xvfb-run -a -s "-screen 0 2700x1600x24" python docs/make_screenshots.py

Writes the README's pictures beside this file, and one of each state the window can be in below
``screens``: the pages at three sizes, dark and light, every other state at one size. With a
folder (``--all FOLDER``) every state is written there at all sizes, dark and light; ``--only
WORD`` keeps the states whose name holds a word.
"""

from __future__ import annotations

import argparse
import shutil
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Literal

from PyQt6.QtCore import QEvent
from PyQt6.QtGui import QColor, QImage, QPainter
from PyQt6.QtWidgets import QApplication, QDialog, QWidget

from gradecut.app import coach_doors, forms, sheets
from gradecut.app.leaving import leave_with
from gradecut.app.theme import DARK_THEME, LIGHT_THEME, Dress, load_type
from gradecut.app.tour import Tour
from gradecut.app.window import MainWindow
from gradecut.book import open_book
from gradecut.desk.film_desk import FilmDesk
from gradecut.desk.remembered import Remembered
from gradecut.records import Rep, RepLine
from gradecut.samples import clips_folder, week_folder
from gradecut.workflows.adding import add_film
from gradecut.workflows.booking import new_book
from gradecut.workflows.demo import QUESTION, sample_week
from gradecut.workflows.handing_off import write_hand_off
from gradecut.workflows.judging import judge
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.teaching import build_reel, corrections

HERE = Path(__file__).resolve().parent
SCREENS = HERE / "screens"
SIZES = ((1280, 720), (1920, 1080), (2560, 1440))
THEMES: tuple[Literal["dark", "light"], ...] = ("dark", "light")
QUALITY = 76
SETTLE_S, SHORT_S = 3.0, 1.2
GRADER = "J. Alder"


def main(arguments: list[str]) -> int:
    """Build the books, bring about each state and keep its pictures."""
    asked = _arguments(arguments)
    app = QApplication(sys.argv[:1])
    app.setQuitOnLastWindowClosed(False)
    load_type()
    dress = Dress()
    with tempfile.TemporaryDirectory() as folder:
        books = Books(Path(folder))
        for state in STATES:
            if asked.only in state.name:
                _take_all(app, dress, books, state, asked.all)
        if not asked.all and not asked.only:
            _take_readme(app, dress, books)
    return 0


def _arguments(arguments: list[str]) -> argparse.Namespace:
    told = argparse.ArgumentParser(description=__doc__)
    told.add_argument("--all", type=Path, default=None, metavar="FOLDER")
    told.add_argument("--only", default="", metavar="WORD")
    return told.parse_args(arguments)


# ---------------------------------------------------------------------- books


class Books:
    """The books the states are shown on, each built when it is first asked for."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._made: dict[str, Path] = {}

    def copy_of(self, kind: str) -> Path | None:
        """Return a fresh copy of a book, beside its films; None for no book."""
        if not kind:
            return None
        if kind not in self._made:
            home = self._folder / kind
            home.mkdir()
            self._made[kind] = getattr(self, f"_{kind}")(home)
        made = self._made[kind]
        fresh = made.with_name("Herons.gradecut")
        shutil.copy(made, fresh)
        return fresh

    def _week(self, home: Path) -> Path:
        path = home / "book.gradecut"
        with sample_week(path) as book:
            build_reel(book, QUESTION)
            corrections(book)
        return path

    def _empty(self, home: Path) -> Path:
        return self._start(home, films=0, rules=False, roster=False)

    def _ruled(self, home: Path) -> Path:
        return self._start(home, films=0, rules=True, roster=True)

    def _rules_missing(self, home: Path) -> Path:
        return self._start(home, films=16, rules=False, roster=True)

    def _roster_missing(self, home: Path) -> Path:
        return self._start(home, films=16, rules=True, roster=False)

    def _fresh(self, home: Path) -> Path:
        return self._start(home, films=16, rules=True, roster=True, script=True)

    def _film_missing(self, home: Path) -> Path:
        made = self._fresh(home)
        shutil.rmtree(home / "card")
        return made

    def _film_damaged(self, home: Path) -> Path:
        made = self._fresh(home)
        for film in sorted((home / "card").iterdir()):
            film.write_bytes(film.read_bytes()[:40_000])
        return made

    def _start(
        self, home: Path, *, films: int, rules: bool, roster: bool, script: bool = False
    ) -> Path:
        """Start a book with some of the sample week's films, copied beside it."""
        week, path = week_folder(), home / "book.gradecut"
        book = new_book(
            path, name="Cedar Fork Herons", season="2026", author=GRADER,
            scheme=week / "harbor.toml" if rules else None,
            roster=week / "roster.csv" if roster else None,
        )  # fmt: skip
        with book:
            if films:
                card = home / "card"
                card.mkdir()
                for film in sorted((clips_folder() / "end").iterdir())[:films]:
                    shutil.copy(film, card / film.name)
                add_film(
                    book, [card], session="Tuesday inside run", day="2026-10-06",
                    script=week / "script.csv" if script else None,
                )  # fmt: skip
        return path


# ---------------------------------------------------------------------- states


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """One state of the window.

    Attributes
    ----------
    name : str
        Of its pictures.
    book : str
        Which of the books is open; empty for none.
    bring : callable
        Brings it about in a window that is open.
    whole : bool
        Its pictures are kept at all sizes, dark and light.
    settle_s : float
        How long it takes until everything is there.
    """

    name: str
    book: str
    bring: Callable[[MainWindow], object]
    whole: bool = False
    settle_s: float = SHORT_S


def film_of(window: MainWindow) -> FilmDesk:
    """Return what the Film page shows."""
    assert window.desk is not None
    return window.desk.film


def nothing(_window: MainWindow) -> None:
    """Leave the window as it opens."""


def act(name: str, window: MainWindow) -> None:
    """Do what an action of the window or its page is called."""
    assert window.pages is not None
    every = (*window.pages.actions_here(), *window.actions_everywhere)
    next(action for action in every if action.name == name).run()


def show_miss(window: MainWindow) -> None:
    """Show a play with a miss: the man, what he owed and where he went, at the snap."""
    window.show_page("Film")
    film = film_of(window)
    missed = next((line for line in rep_lines(film.book) if was_missed(line)), None)
    if missed is not None and window.pages is not None:
        window.pages.open_rep(missed.clip.id, missed.rep.id)
        film.hand.choose(missed.rep.position)
        snap = film.playhead.snap
        if snap is not None:
            film.playhead.seek(snap)


def was_missed(line: RepLine) -> bool:
    """Whether a rep came out wrong, on a play after the first few."""
    return line.grade is not None and line.grade.fit_result == "wrong" and line.clip.order > 5


def miss_and(*names: str) -> Callable[[MainWindow], None]:
    """Show the miss, and do something more."""

    def bring(window: MainWindow) -> None:
        show_miss(window)
        settle(window.app, SHORT_S)
        for name in names:
            act(name, window)
            settle(window.app, 0.2)

    return bring


def page(name: str, *names: str) -> Callable[[MainWindow], None]:
    """Show a page, and do something there."""

    def bring(window: MainWindow) -> None:
        window.show_page(name)
        settle(window.app, SETTLE_S if names else 0.2)
        for one in names:
            act(one, window)
            settle(window.app, 0.3)

    return bring


def choose_man(window: MainWindow) -> None:
    """Take the first man in hand at the snap."""
    film = film_of(window)
    if film.state is not None and film.state.men:
        film.hand.choose(film.state.men[0].position)


def show_scheme(window: MainWindow) -> None:
    """Show the grid with an edit that the audit beside it has something to say to."""
    window.show_page("Scheme")
    assert window.desk is not None
    scheme = window.desk.scheme
    two = next((row for row in scheme.hand.rows if "trap" in row.words), None)
    if two is not None:
        scheme.hand.take(two.key, "Keel")
        scheme.rows.add_row({"concept": "trap"}, sided=True)
        scheme.hand.set_fit("fill B")


def show_teach(window: MainWindow) -> None:
    """Show the corrections, the preview standing at the first piece's snap."""
    window.show_page("Teach")
    settle(window.app, SETTLE_S)
    assert window.desk is not None
    plan = window.desk.teach.preview.plan
    frozen = [step for step in plan.steps if step.kind == "freeze"] if plan else []
    if frozen:
        window.desk.teach.preview.go(frozen[0].first_frame + 5)


def find_keys(window: MainWindow) -> None:
    """Look a key up by typing."""
    from gradecut.app.cheat_sheet import CheatSheet

    sheets.show_keys(window)
    sheet = next(one for one in window.findChildren(CheatSheet) if one.isVisible())
    sheet.sought.setText("snap")


def refuse(window: MainWindow) -> None:
    """Open a book that is gone: why not is said, and what is open stays."""
    show_miss(window)
    window.open_path("/media/coach/Herons 2025.gradecut")


def grade_all(window: MainWindow) -> None:
    """Let every play through, and stand on the last."""
    film = film_of(window)
    for _ in film.plays.line.boxes:
        film.pass_clip()
        settle(window.app, 0.3)


def lined_up_elsewhere(window: MainWindow) -> None:
    """Say that the man in hand stood at the other side, and ring him on film, a large one."""
    show_miss(window)
    settle(window.app, SHORT_S)
    act("he lined up on the other side", window)
    marks = film_of(window).marks
    marks.take("ring")
    marks.press((520.0, 300.0))
    marks.lift((520.0, 300.0))
    ((x, y),) = marks.chosen_points()
    marks.press((x, y))
    marks.lift((x + 40, y))


def name_unknown(window: MainWindow) -> None:
    """Put an unknown man in, and name him."""
    choose_man(window)
    act("an unknown man in, from here on", window)
    act("name an unknown man, everywhere", window)


def compare_hand_off(window: MainWindow) -> None:
    """Hold what a second coach saw otherwise against one's own."""
    assert window.desk is not None
    path = window.desk.book.path
    copy = path.with_name("outside.gradecut")
    shutil.copy(path, copy)
    with open_book(copy, author="T. Birch") as book:
        for rep in book.find(Rep)[:3]:
            judge(book, rep, did="cannot grade", name="hidden")
        told = write_hand_off(book, path.with_name("outside.hand")).path
    coach_doors.hold_hand_off(window, str(told))


def copy_card(window: MainWindow) -> None:
    """Show work that goes on: a card half copied."""
    show_miss(window)
    window.line.say("6 plays are ready; the rest come as they are copied.")
    window.line.show_progress("Copying the card: film 7 of 36", 0.19)
    settle(window.app, SHORT_S)


STATES = (
    State(name="start", book="", bring=nothing),
    State(name="empty-book", book="empty", bring=nothing, whole=True),
    State(name="no-film", book="ruled", bring=nothing),
    State(name="no-rules", book="rules_missing", bring=nothing),
    State(name="no-roster", book="roster_missing", bring=choose_man),
    State(name="fresh-play", book="fresh", bring=nothing),
    State(name="film", book="week", bring=show_miss, whole=True, settle_s=SETTLE_S),
    State(name="film-miss", book="week", bring=miss_and("he was right", "back one step")),
    State(name="film-facts", book="week", bring=miss_and("facts of the look")),
    State(name="film-technique", book="week", bring=miss_and("technique and effort")),
    State(name="film-both-angles", book="week", bring=miss_and("both angles at once"),
          settle_s=SETTLE_S),
    State(name="film-loupe", book="week", bring=miss_and("loupe on the man chosen")),
    State(name="film-alone", book="week", bring=miss_and("the film alone")),
    State(name="film-draw", book="week", bring=miss_and("draw on film")),
    State(name="round", book="week", bring=miss_and("look closely at what is flagged, or leave")),
    State(name="history", book="week", bring=miss_and("history of his rep")),
    State(name="line-up", book="week", bring=miss_and("line-up of this period")),
    State(name="script", book="week", bring=miss_and("the script beside the plays")),
    State(name="lined-up-elsewhere", book="week", bring=lined_up_elsewhere),
    State(name="unknown-man", book="fresh", bring=name_unknown),
    State(name="hand-off", book="week", bring=coach_doors.ask_hand_off),
    State(name="differences", book="week", bring=compare_hand_off, settle_s=SETTLE_S),
    State(name="print", book="week", bring=miss_and("print the picture")),
    State(name="play-facts", book="week",
          bring=miss_and("what the play was: call, tempo, yards")),
    State(name="add-film", book="week", bring=miss_and("add film")),
    State(name="keys", book="week", bring=miss_and("all keys")),
    State(name="keys-found", book="week", bring=find_keys),
    State(name="tour", book="week", bring=partial(act, "tour of the Film page")),
    State(name="cautions", book="", bring=sheets.show_cautions),
    State(name="new-book", book="", bring=forms.ask_new_book),
    State(name="refused", book="week", bring=refuse, settle_s=SETTLE_S),
    State(name="all-graded", book="fresh", bring=grade_all),
    State(name="copying", book="week", bring=copy_card),
    State(name="film-missing", book="film_missing", bring=nothing),
    State(name="film-damaged", book="film_damaged", bring=nothing),
    State(name="scheme", book="week", bring=show_scheme, whole=True, settle_s=SETTLE_S),
    State(name="scheme-empty", book="empty", bring=page("Scheme")),
    State(name="scheme-row", book="week", bring=page("Scheme", "add a row")),
    State(name="scheme-versions", book="week", bring=page("Scheme", "versions kept")),
    State(name="scheme-fits", book="week", bring=page("Scheme", "the fits")),
    State(name="board", book="week", bring=page("Board"), whole=True, settle_s=SETTLE_S),
    State(name="board-empty", book="empty", bring=page("Board")),
    State(name="teach", book="week", bring=show_teach, whole=True, settle_s=SETTLE_S),
    State(name="teach-empty", book="empty", bring=page("Teach")),
)  # fmt: skip
"""Every state, in the order an evening meets them."""

README: tuple[tuple[str, str, Literal["dark", "light"]], ...] = (
    ("film", "film", "dark"),
    ("scheme", "scheme", "dark"),
    ("board", "board", "dark"),
    ("board-light", "board", "light"),
    ("teach", "teach", "dark"),
)
"""Name of the picture, of the state, and the theme, at the window's usual size."""


# ---------------------------------------------------------------------- taking them


def _take_all(
    app: QApplication, dress: Dress, books: Books, state: State, every: Path | None
) -> None:
    """Keep a state at each size and in each theme that is wanted."""
    wanted = list(_wanted(state, every))
    goal = every or SCREENS
    goal.mkdir(parents=True, exist_ok=True)
    for theme in THEMES:
        sizes = [size for size, worn in wanted if worn == theme]
        if not sizes:
            continue
        with_window = _open(app, dress, books.copy_of(state.book), theme, sizes[0])
        state.bring(with_window)
        settle(app, state.settle_s)
        for place, size in enumerate(sizes):
            if place:
                _close_sheets(app)
                with_window.resize(*size)
                settle(app, 0.2)
                state.bring(with_window) if state.name in _BROUGHT_ANEW else None
                settle(app, SHORT_S)
            name = f"{state.name}-{size[0]}-{theme}.jpg"
            _pictured(app, with_window).save(str(goal / name), "JPG", QUALITY)
            sys.stdout.write(f"{goal / name}\n")
        _end(app, with_window)


_BROUGHT_ANEW = frozenset(
    state.name for state in STATES
    if state.name in {"history", "line-up", "script", "play-facts", "add-film", "keys",
                      "keys-found", "tour", "cautions", "new-book", "scheme-row", "scheme-fits",
                      "hand-off", "print", "scheme-versions"}
)  # fmt: skip
"""Sheets take their size from the window they are opened over."""


def _wanted(state: State, every: Path | None) -> Iterator[tuple[tuple[int, int], str]]:
    if every is not None or state.whole:
        yield from ((size, theme) for theme in THEMES for size in SIZES)
    else:
        yield SIZES[0], "dark"


def _take_readme(app: QApplication, dress: Dress, books: Books) -> None:
    """Keep the README's pictures."""
    by_name = {state.name: state for state in STATES}
    for name, of, theme in README:
        window = _open(app, dress, books.copy_of(by_name[of].book), theme, None)
        by_name[of].bring(window)
        settle(app, SETTLE_S)
        window.grab().save(str(HERE / f"{name}.png"))
        sys.stdout.write(f"{HERE / name}.png\n")
        _end(app, window)


def _open(
    app: QApplication,
    dress: Dress,
    book: Path | None,
    theme: Literal["dark", "light"],
    size: tuple[int, int] | None,
) -> MainWindow:
    """Open a window of a size in a theme, on a book."""
    dress.put_on(LIGHT_THEME if theme == "light" else DARK_THEME, app)
    told = Remembered(
        grader=GRADER, cautions_shown=True, theme=theme, plays_run=False, tour_seen=book is not None
    )
    window = MainWindow(app, dress, remembered=told)
    if size is not None:
        window.resize(*size)
    window.show()
    window.activateWindow()
    if book is not None:
        window.open_path(str(book))
    settle(app, 1.5)
    return window


def _pictured(app: QApplication, window: MainWindow) -> QImage:
    """Return the window with the sheets that stand over it, the page behind them veiled."""
    shown = window.grab().toImage()
    for sheet in _sheets(app):
        painter = QPainter(shown)
        painter.fillRect(shown.rect(), _veil(window))
        left = (window.width() - sheet.width()) // 2
        top = (window.height() - sheet.height()) // 2
        painter.drawPixmap(left, top, sheet.grab())
        painter.end()
    return shown


def _veil(window: MainWindow) -> QColor:
    return QColor(0, 0, 0, 150 if window.dress.theme.name == "dark" else 90)


def _sheets(app: QApplication) -> list[QWidget]:
    return [one for one in app.topLevelWidgets() if isinstance(one, QDialog) and one.isVisible()]


def _close_sheets(app: QApplication) -> None:
    tours = (one for one in app.allWidgets() if isinstance(one, Tour) and one.isVisible())
    for over in (*_sheets(app), *tours):
        over.close()
    settle(app, 0.05)


def _end(app: QApplication, window: MainWindow) -> None:
    _close_sheets(app)
    window.close()
    window.deleteLater()
    app.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)


def settle(app: QApplication, seconds: float) -> None:
    """Let threads hand over what they make."""
    last = time.monotonic() + seconds
    while time.monotonic() < last:
        app.processEvents()
        time.sleep(0.005)


if __name__ == "__main__":
    sys.exit(leave_with(main(sys.argv[1:])))
