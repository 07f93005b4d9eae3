"""The sample week, from film to sheet and reel, done once and held against its truth."""

from __future__ import annotations

import json
import sqlite3
import statistics
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from click.testing import Result
from openpyxl import load_workbook
from typer.testing import CliRunner

from gradecut.book import Book, open_book
from gradecut.cli import app
from gradecut.errors import OutputError
from gradecut.film import open_film
from gradecut.records import Clip, Player, RepLine
from gradecut.samples import clips_folder
from gradecut.workflows import demo
from gradecut.workflows.booking import new_book
from gradecut.workflows.lines import rep_lines

FILES = {
    "book.gradecut", "grade_sheet.xlsx", "board.csv", "ideal_fits.mp4", "ideal_fits.vtt",
    "corrections.mp4", "corrections.vtt", "report.html",
}  # fmt: skip
WITHIN_FRAMES = 3
"""How near a man's reaction, marked by eye, must come to the truth: the step begins with a foot
that barely leaves the grass, and the film shows it in whole frames (judged, no source)."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give the folder the demo writes to."""
    return tmp_path_factory.mktemp("demo") / "out"


@pytest.fixture(scope="module")
def done(folder: Path) -> Result:
    """Run the demo once, as a machine would."""
    return CliRunner().invoke(app, ["demo", "--out", str(folder), "--json"])


@pytest.fixture(scope="module")
def summary(done: Result) -> dict[str, Any]:
    """Give what it says of itself: JSON, and nothing else on stdout."""
    assert done.exit_code == 0, done.stderr
    told: dict[str, Any] = json.loads(done.stdout)
    return told


@pytest.fixture(scope="module")
def book(summary: dict[str, Any], folder: Path) -> Iterator[Book]:
    """Open the book it wrote."""
    assert summary
    with open_book(folder / "book.gradecut") as opened:
        yield opened


@pytest.fixture(scope="module")
def lines(book: Book) -> list[RepLine]:
    """Read its reps."""
    return rep_lines(book)


def fit_truth(line: RepLine) -> dict[str, Any]:
    """Return what was really drawn for a rep, from beside its clip."""
    beside = clips_folder() / "end" / f"{line.clip.order:02}.truth.json"
    truth: dict[str, Any] = json.loads(beside.read_text(encoding="utf-8"))
    return next(fit for fit in truth["fits"] if fit["position"] == line.rep.position)


def test_every_file_is_there_and_nothing_else(summary: dict[str, Any], folder: Path) -> None:
    """Named in the summary too; no half-written folder is left behind."""
    assert {Path(path).name for path in summary["files"]} == FILES
    assert {path.name for path in folder.iterdir()} == FILES


def test_the_summary_is_what_the_book_says(
    summary: dict[str, Any], book: Book, lines: list[RepLine]
) -> None:
    """Counted again from the rows."""
    results = [line.grade.fit_result for line in lines if line.grade]
    assert summary["clips"] == book.count(Clip) == 12
    assert summary["reps"] == len(lines) == 36
    assert summary["right"] == results.count("right")
    assert summary["cannot_grade"] == results.count("cannot grade")
    assert summary["graded"] == len(results) - summary["cannot_grade"]
    reactions = [line.reaction.time_ms for line in lines if line.reaction]
    assert summary["reaction_median_ms"] == statistics.median(reactions)


def test_every_man_owes_what_was_drawn(lines: list[RepLine]) -> None:
    """The scheme's answers from script and roster equal the truth beside the clips."""
    for line in lines:
        owed = fit_truth(line)["owed"]
        assert (line.expected_fit, line.expected_side) == (owed["fit"], owed["side"])


def test_reactions_come_near_the_truth(lines: list[RepLine]) -> None:
    """Each within three frames, half of them within one and a half."""
    off = []
    for line in lines:
        assert line.reaction is not None
        truth_ms = 1000 * fit_truth(line)["reaction_s"]
        off.append(abs(line.reaction.time_ms - truth_ms) / line.reaction.frame_ms)
    assert max(off) <= WITHIN_FRAMES + 0.05
    assert statistics.median(off) <= WITHIN_FRAMES / 2


def test_the_reels_open_and_the_sheet_has_every_man(
    summary: dict[str, Any], folder: Path, lines: list[RepLine]
) -> None:
    """Film in the size it was asked for, chapters beside it, names in the workbook."""
    assert summary["notes"] == []
    for name in ("ideal_fits", "corrections"):
        with open_film(folder / f"{name}.mp4") as film:
            assert (film.width, film.height, film.rate) == (1280, 720, 30)
            assert film.frame_count > 300
        chapters = (folder / f"{name}.vtt").read_text(encoding="utf-8")
        assert chapters.startswith("WEBVTT")
    workbook = load_workbook(folder / "grade_sheet.xlsx", read_only=True)
    text = "\n".join(str(cell) for sheet in workbook for row in sheet.values for cell in row)
    for name in {line.player.name for line in lines}:
        assert name in text


def test_no_minor_without_consent_is_shown(folder: Path, lines: list[RepLine]) -> None:
    """Vandermoor is in on a play, and in no reel."""
    assert any(line.player.name == "Joss Vandermoor" for line in lines)
    for name in ("ideal_fits.vtt", "corrections.vtt"):
        assert "Port 38" not in (folder / name).read_text(encoding="utf-8")


def test_a_book_that_was_worked_in_outlives_the_next_demo(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is put aside and named; one nobody has touched makes way; an open one is refused."""

    def only_the_book(draft: Path, *_: object) -> tuple[object, ...]:
        new_book(draft / "book.gradecut", name="Herons", author="J. Alder").close()
        return [("book.gradecut", "the book")], [], 0, []

    monkeypatch.setattr(demo, "_make_all", only_the_book)
    out = tmp_path / "out"
    for _ in range(2):
        assert demo.run_demo(out).notes == ()
        assert [path.name for path in out.iterdir()] == ["book.gradecut"]
    with open_book(out / "book.gradecut", author="B. Holt") as own, own.act("a man") as act:
        act.put(Player(name="Anders Pell"))
    (note,) = demo.run_demo(out).notes
    (kept,) = (path for path in out.iterdir() if path.name != "book.gradecut")
    assert str(kept) in note
    with open_book(kept) as own:
        assert [man.name for man in own.find(Player)] == ["Anders Pell"]

    with closing(sqlite3.connect(out / "book.gradecut")) as elsewhere:
        elsewhere.execute("PRAGMA journal_mode=WAL")
        elsewhere.execute("SELECT * FROM sqlite_master").fetchall()
        with pytest.raises(OutputError, match="open elsewhere"):
            demo.run_demo(out)
