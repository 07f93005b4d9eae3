"""The staff's page and the players' reel from the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.book import open_book
from gradecut.workflows.counting import toggle_flag
from gradecut.workflows.judging import judge
from tests.cli.conftest import Run
from tests.workflows.small_week import COACH, clip_of, rep_of


@pytest.fixture
def flagged(book_path: Path) -> Path:
    """Give the week's book, closed, with Keel flagged on play 1 and Port, a minor, on play 4."""
    with open_book(book_path, author=COACH) as book:
        for play, position in ((1, "Keel"), (4, "Port")):
            toggle_flag(book, clip_of(book, play), rep_of(book, play, position))
    return book_path


def test_the_staffs_page_alone(run: Run, flagged: Path, tmp_path: Path) -> None:
    """No grade sheet is asked for."""
    done = run("sheet", flagged, "--staff", tmp_path / "staff.html")
    assert done.exit_code == 0, done.output
    assert done.stdout.splitlines()[0] == f"Written: {tmp_path / 'staff.html'}"
    assert "Keel 44" in (tmp_path / "staff.html").read_text(encoding="utf-8")
    assert not list(tmp_path.glob("*.xlsx"))


def test_nothing_asked_for_is_wrong_use(run: Run, flagged: Path) -> None:
    """With what can be said."""
    refused = run("sheet", flagged)
    assert refused.exit_code == 2
    assert "--staff" in refused.stderr


def test_the_mornings_reel(run: Run, flagged: Path, tmp_path: Path) -> None:
    """It says who is left out; the staff's eyes may see him."""
    out = tmp_path / "morning.mp4"
    done = run("reel", flagged, "--morning", "--out", out)
    assert done.exit_code == 0, done.output
    assert done.stdout.startswith(f"Written: {out} (")
    assert "Left out, under 18 without consent on file: Joss Vandermoor." in done.stdout
    assert out.with_suffix(".vtt").read_text(encoding="utf-8").startswith("WEBVTT")


def test_the_mornings_reel_of_one_grader(run: Run, book_path: Path, tmp_path: Path) -> None:
    """A flagged play shows the men he saw miss, not all, as another's newer word would have it."""
    with open_book(book_path, author=COACH) as book:
        toggle_flag(book, clip_of(book, 1))
        judge(book, rep_of(book, 1, "Keel"), did="miss", name="ran past it")
        book.author = "B. Marsh"
        judge(book, rep_of(book, 1, "Keel"))
    out = tmp_path / "morning.mp4"
    done = run("reel", book_path, "--morning", "--grader", COACH, "--out", out)
    assert done.exit_code == 0, done.output
    chapters = out.with_suffix(".vtt").read_text(encoding="utf-8")
    assert "Keel" in chapters
    assert "Bow" not in chapters


def test_one_kind_of_reel_at_a_time(run: Run, flagged: Path) -> None:
    """A question, the corrections, or the morning's."""
    assert run("reel", flagged, "Keel", "--morning").exit_code == 2
    assert run("reel", flagged, "--corrections", "--morning").exit_code == 2
