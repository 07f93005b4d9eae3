"""The script is checked and moved from the command line."""

from __future__ import annotations

from pathlib import Path

from gradecut.book import open_book
from gradecut.records import Clip
from tests.cli.conftest import Run
from tests.workflows.test_script_drift import TRUTH, practice, see


def drifted(folder: Path) -> Path:
    """Start a practice whose fourth play of eleven is not on its script."""
    with practice(folder, 11) as book:
        see(book, TRUTH, [1, 2, 3, 5, 6, 7])
    return folder / "herons.gradecut"


def test_a_drift_is_told_with_its_evidence_and_nothing_is_moved(run: Run, tmp_path: Path) -> None:
    """One sentence, how sure, then what speaks for it."""
    path = drifted(tmp_path)
    done = run("add", path, "--session", "Tuesday", "--check-script")
    assert done.exit_code == 0, done.output
    assert "From play 4 on the script seems one line ahead" in done.output
    assert "number 5 fits." in done.output
    with open_book(path) as book:
        assert [one.script_number for one in book.find(Clip)] == [*range(1, 11), None]


def test_the_script_is_moved_and_then_lies_right(run: Run, tmp_path: Path) -> None:
    """One act, and the check after it finds nothing."""
    path = drifted(tmp_path)
    done = run("add", path, "--session", "Tuesday", "--move-script", "4:1", "--check-script")
    assert done.exit_code == 0, done.output
    assert "The script moved by 1 from play 4 on; 8 plays changed." in done.output
    assert "Nothing tells that the script lies beside the wrong plays." in done.output
    with open_book(path) as book:
        assert [one.script_number for one in book.find(Clip)] == TRUTH


def test_a_move_that_is_none_is_wrong_use(run: Run, tmp_path: Path) -> None:
    """One sentence says how it is written; a session is needed."""
    path = drifted(tmp_path)
    wrong = run("add", path, "--session", "Tuesday", "--move-script", "four")
    assert wrong.exit_code == 2
    assert "FROM_PLAY:BY" in wrong.output
    assert run("add", path, "--check-script").exit_code == 2
    refused = run("add", path, "--session", "Tuesday", "--move-script", "11:1")
    assert refused.exit_code == 1
    assert "says nothing of play 11" in refused.output
