"""The sample week: built as a coach would, and the main job done on it from end to end."""

from __future__ import annotations

import os
import shutil
import statistics
import tempfile
from collections import Counter
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from itertools import chain, count
from os import PathLike
from pathlib import Path

from gradecut.book import Book, open_book
from gradecut.errors import BookError, OutputError
from gradecut.outfile import make_folder
from gradecut.progress import CancelToken, Progress, silent
from gradecut.records import Clip, RepLine
from gradecut.samples import clips_folder, week_folder
from gradecut.workflows.adding import add_film, find_session, shift_pairing
from gradecut.workflows.booking import new_book
from gradecut.workflows.lines import rep_lines
from gradecut.workflows.recording import record_observations
from gradecut.workflows.reporting import write_book_board, write_book_report, write_book_sheet
from gradecut.workflows.teaching import build_reel, corrections, render_reel

__all__ = ["Demo", "run_demo", "sample_week"]

BOOK = "book.gradecut"
SESSION = "Tuesday inside run"
DAY = "2026-10-06"
GRADER = "J. Alder"
QUESTION = "linebackers, right fits on zone to them"
BY = ("concept",)
_ALL_ACTS = 1_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Demo:
    """What the main job on the sample week came to.

    Attributes
    ----------
    clips, reps, graded, right, cannot_grade : int
        Graded: fits that came out right, half or wrong.
    reaction_median_ms : float or None
        Over all reps with a snap and a first step marked.
    files : tuple of (path, what it is)
    lines : tuple of RepLine
    notes : tuple of str
        What the work had to tell on the way.
    """

    clips: int
    reps: int
    graded: int
    right: int
    cannot_grade: int
    reaction_median_ms: float | None
    files: tuple[tuple[Path, str], ...]
    lines: tuple[RepLine, ...]
    notes: tuple[str, ...]


def sample_week(
    path: str | PathLike[str], *, progress: Progress = silent, cancel: CancelToken | None = None
) -> Book:
    """Build the sample week's book: film from two cameras, script, roster, observations.

    The side camera missed eight of the twelve plays: its films are paired by order and
    then moved, as a coach would.

    Raises
    ------
    BookError
        When there is already a file at the path.
    """
    week, clips = week_folder(), clips_folder()
    book = new_book(
        path,
        name="Cedar Fork Herons",
        season="2026",
        author=GRADER,
        scheme=week / "harbor.toml",
        roster=week / "roster.csv",
    )
    add_film(
        book,
        [clips / "end"],
        session=SESSION,
        day=DAY,
        angle="end",
        script=week / "script.csv",
        progress=progress,
        cancel=cancel,
    )
    add_film(
        book, [clips / "side"], session=SESSION, angle="side", by_order=True, progress=progress,
        cancel=cancel,
    )  # fmt: skip
    session = find_session(book, SESSION)
    shift_pairing(book, session, "side", from_play=2, by=3)
    shift_pairing(book, session, "side", from_play=7, by=4)
    record_observations(book, week / "observations.csv")
    return book


def run_demo(
    out: str | PathLike[str],
    *,
    progress: Progress = silent,
    cancel: CancelToken | None = None,
) -> Demo:
    """Do the whole job on the sample clips and leave its files in a folder.

    Everything is made beside the folder first, so that a demo that is stopped leaves
    what was there before. A book of the demo's that somebody has worked in since is kept
    under another name, which the notes tell.

    Raises
    ------
    OutputError
        When the folder can't be made or written to, or its book is open elsewhere.
    Cancelled
        When asked to stop.
    """
    folder = make_folder(out)
    _acts_of(folder / BOOK)
    try:
        draft = Path(tempfile.mkdtemp(prefix=".demo-", dir=folder))
    except OSError as error:
        why = (error.strerror or str(error)).lower()
        raise OutputError(folder, f"{why}; choose a folder you can write to.") from error
    try:
        names, lines, clips, notes = _make_all(draft, progress, cancel)
        notes += _keep_work(folder / BOOK, draft / BOOK)
        for name, _ in names:
            os.replace(draft / name, folder / name)
    finally:
        shutil.rmtree(draft, ignore_errors=True)
    return _summed_up(lines, clips, [(folder / name, what) for name, what in names], notes)


def _keep_work(there: Path, new: Path) -> list[str]:
    """Put a book that holds more than the demo's own acts aside; say so."""
    if not there.exists() or _acts_of(there) == _acts_of(new):
        return []
    stem = f"book (before {datetime.now():%Y-%m-%d %H%M})"
    tries = chain([stem], (f"{stem}-{number}" for number in count(2)))
    kept = next(p for name in tries if not (p := there.with_name(f"{name}.gradecut")).exists())
    os.rename(there, kept)
    return [f"The book that was there has been worked in; it is kept as {kept}."]


def _acts_of(path: Path) -> list[tuple[str, str]] | None:
    """Return who did what in a book, newest first; None where it is no book to be read.

    Raises
    ------
    OutputError
        When it is open elsewhere: what is written there now would end in another file.
    """
    if not path.exists():
        return None
    acts = None
    with suppress(BookError), open_book(path) as book:
        acts = [(act.author, act.verb) for act in book.history(_ALL_ACTS)]
    if path.with_name(f"{path.name}-wal").exists():
        raise OutputError(path, "the book is open elsewhere; close it there first.")
    return acts


def _make_all(
    draft: Path, progress: Progress, cancel: CancelToken | None
) -> tuple[list[tuple[str, str]], list[RepLine], int, list[str]]:
    names = [
        (BOOK, "the book: open it with gradecut"),
        ("grade_sheet.xlsx", "the grade sheet"),
        ("board.csv", "players against runs"),
        ("ideal_fits.mp4", f"a reel: {QUESTION}"),
        ("ideal_fits.vtt", "its chapters"),
        ("corrections.mp4", "a reel: all flagged reps"),
        ("corrections.vtt", "its chapters"),
        ("report.html", "the staff's report"),
    ]
    with sample_week(draft / BOOK, progress=_share(progress, 0, 0.2)) as book:
        write_book_sheet(book, draft / "grade_sheet.xlsx", by=BY)
        write_book_board(book, draft / "board.csv", by=BY)
        ideal = build_reel(book, QUESTION, name="Ideal fits: zone to them")
        fix = corrections(book)
        shown = [
            render_reel(
                book,
                reel,
                draft / name,
                progress=_share(progress, start, start + 0.35),
                cancel=cancel,
            )
            for reel, name, start in (
                (ideal, "ideal_fits.mp4", 0.25),
                (fix, "corrections.mp4", 0.6),
            )
        ]
        write_book_report(book, draft / "report.html", by=BY, files=names[:-1])
        lines, clips = rep_lines(book), book.count(Clip)
    progress(1.0, "Done")
    return names, lines, clips, [one for planned in shown for one in planned.missing]


def _summed_up(
    lines: Sequence[RepLine], clips: int, files: Sequence[tuple[Path, str]], notes: Sequence[str]
) -> Demo:
    results = Counter(line.grade.fit_result for line in lines if line.grade)
    reactions = [line.reaction.time_ms for line in lines if line.reaction]
    return Demo(
        clips=clips,
        reps=len(lines),
        graded=results["right"] + results["half"] + results["wrong"],
        right=results["right"],
        cannot_grade=results["cannot grade"],
        reaction_median_ms=statistics.median(reactions) if reactions else None,
        files=tuple(files),
        lines=tuple(lines),
        notes=tuple(notes),
    )


def _share(progress: Progress, start: float, stop: float) -> Progress:
    """Give a part of the work its share of the whole progress."""

    def tell(done: float, saying: str) -> None:
        progress(start + done * (stop - start), saying)

    return tell
