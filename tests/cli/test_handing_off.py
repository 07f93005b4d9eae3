"""Two coaches at the command line: hand over, look at what differs, take."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from gradecut.records import Grade
from gradecut.workflows.judging import judge
from tests.cli.conftest import Run
from tests.workflows.two_books import INSIDE, OUTSIDE, grade_a_bit, make_book, rep_of, tell


@pytest.fixture
def books(tmp_path: Path) -> tuple[Path, Path]:
    """Give two coaches' books, closed; they differ on one fact and one man."""
    paths = tmp_path / "a.gradecut", tmp_path / "b.gradecut"
    with make_book(paths[0], INSIDE) as inside:
        grade_a_bit(inside, "Keel")
    with make_book(paths[1], OUTSIDE) as outside:
        tell(outside, 1, back="right")
        judge(outside, rep_of(outside, 1, "Keel"))
    return paths


def test_hand_and_take_say_what_they_did(
    books: tuple[Path, Path], tmp_path: Path, run: Run
) -> None:
    """Handed over with its cautions; shown without storing; taken; nothing new the second time."""
    file = tmp_path / "over.hand"
    done = run("hand", books[0], "--to", file, "--grader", INSIDE)
    assert done.exit_code == 0
    assert "4 grades" in done.stdout
    assert "staff only" in done.stdout
    shown = run("take", books[1], file, "--show")
    assert "Seen differently here:" in shown.stdout
    assert "Play 1, back: he says behind; R. Boone says right" in shown.stdout
    assert "Judged otherwise here:" in shown.stdout
    assert shown.stdout.rstrip().endswith("Nothing was stored.")
    assert "4 grades" in run("take", books[1], file).stdout
    again = run("take", books[1], file)
    assert again.exit_code == 0
    assert "Nothing of J. Alder's is new" in again.stdout


def test_machines_get_all_of_it(books: tuple[Path, Path], tmp_path: Path, run: Run) -> None:
    """--json says the same, whole, and nothing else stands on stdout."""
    file = tmp_path / "over.hand"
    written = json.loads(run("hand", books[0], "--to", file, "--json").stdout)
    assert (written["grader"], written["counts"]["grades"]) == (INSIDE, 4)
    shown = json.loads(run("take", books[1], file, "--show", "--json").stdout)
    assert shown["taken"] is None
    assert len(shown["differences"]["disputed"]) == 1
    assert shown["differences"]["new"][0]["words"]
    taken = json.loads(run("take", books[1], file, "--json").stdout)
    assert taken["taken"]["new"]["grades"] == 4
    with make_book(tmp_path / "c.gradecut", OUTSIDE) as empty:
        assert empty.count(Grade) == 0


@pytest.mark.parametrize("words", [("take",), ("take", "--show")])
def test_a_file_that_is_none_fails_in_one_sentence(
    books: tuple[Path, Path], tmp_path: Path, run: Run, words: tuple[str, ...]
) -> None:
    """Exit 1, one line on stderr, nothing on stdout."""
    file = tmp_path / "over.hand"
    file.write_text("{}", encoding="utf-8")
    done = run(words[0], books[1], file, *words[1:])
    assert done.exit_code == 1
    assert done.stdout == ""
    assert done.stderr.count("\n") == 1
    assert "no hand-off" in done.stderr


def test_nothing_graded_is_nothing_to_hand_over(tmp_path: Path, run: Run) -> None:
    """It fails with a sentence and leaves no file."""
    with make_book(tmp_path / "a.gradecut", INSIDE):
        pass
    done = run("hand", tmp_path / "a.gradecut", "--to", tmp_path / "over.hand")
    assert done.exit_code == 1
    assert "recorded nothing there yet" in done.stderr
    assert not (tmp_path / "over.hand").exists()
