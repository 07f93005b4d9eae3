"""The scheme of a book is compared, kept, listed, gone back to and judged by, from a terminal."""

from __future__ import annotations

import json
from pathlib import Path

from gradecut.book import open_book
from gradecut.workflows.passing import pass_clip
from tests.cli.conftest import Run
from tests.workflows.small_week import COACH, HARBOR, clip_of

COMMANDS = ("compare", "keep", "versions", "back", "regrade", "met")


def graded(book_path: Path, folder: Path) -> Path:
    """Let play 1 through, and write a Harbor that turns Keel's grade."""
    with open_book(book_path, author=COACH) as book:
        pass_clip(book, clip_of(book, 1))
    text = HARBOR.read_text(encoding="utf-8")
    old, new = 'fit = "fill A"\ncue = "Downhill', 'fit = "hang A"\ncue = "Downhill'
    path = folder / "harbor-2.toml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    return path


def test_each_command_shows_one_example(run: Run) -> None:
    """In its help."""
    for name in COMMANDS:
        assert run("scheme", name, "--help").stdout.count("Example: gradecut scheme") == 1


def test_compare_keep_regrade_and_back(run: Run, book_path: Path, tmp_path: Path) -> None:
    """Told before it is kept; kept; judged again; and an older one put in force."""
    path = graded(book_path, tmp_path)
    told = run("scheme", "compare", book_path, path)
    assert told.stdout.startswith("1 of 3 grades turns, on 1 play, of 1 player")
    turned = json.loads(run("scheme", "compare", book_path, path, "--json").stdout)["turned"]
    assert [(one["play"], one["result_now"]) for one in turned] == [(1, "wrong")]
    assert "is in force" in run("scheme", "keep", book_path, path).stdout
    again = run("scheme", "regrade", book_path, "--grader", COACH)
    assert again.stdout == "1 grade was judged again: 1 from right to wrong.\n"
    kept = json.loads(run("scheme", "versions", book_path, "--json").stdout)
    assert [(one["number"], one["in_force"]) for one in kept] == [(1, False), (2, True)]
    assert "is in force" in run("scheme", "back", book_path, 1).stdout
    assert "in force" in run("scheme", "versions", book_path).stdout.splitlines()[1]
    refused = run("scheme", "back", book_path, 9)
    assert (refused.exit_code, refused.stderr.count("\n")) == (1, 1)


def test_faults_are_told_and_nothing_is_kept(run: Run, book_path: Path, tmp_path: Path) -> None:
    """Exit 1, a sentence for each fault, on stderr."""
    bad = tmp_path / "bad.toml"
    bad.write_text("rules = 3\n", encoding="utf-8")
    for name in ("compare", "keep", "met"):
        refused = run("scheme", name, book_path, bad)
        assert (refused.exit_code, refused.stdout) == (1, "")
    assert len(json.loads(run("scheme", "versions", book_path, "--json").stdout)) == 1


def test_what_was_met_is_told_with_its_plays(run: Run, book_path: Path) -> None:
    """Harbor answers its own week."""
    assert run("scheme", "met", book_path).stdout.startswith("12 of 12 reps are well answered")
    assert json.loads(run("scheme", "met", book_path, "--json").stdout)["met"] == []
