from __future__ import annotations

import os
from pathlib import Path

import pytest

from gradecut.errors import OutputError
from gradecut.outfile import check_folder, check_goal, make_folder, whole_file


def write_half(goal: Path) -> None:
    """Break off half-way through a file."""
    with whole_file(goal) as draft:
        draft.write_text("half")
        raise KeyError


def test_the_file_appears_when_the_block_ends(tmp_path: Path) -> None:
    """Before the end nothing stands at the goal; after it the whole file does."""
    goal = tmp_path / "sheet.csv"
    with whole_file(goal) as draft:
        draft.write_text("whole")
        assert not goal.exists()
        assert draft.parent == goal.parent
        assert draft.suffix == ".csv"
    assert goal.read_text() == "whole"
    assert [path.name for path in tmp_path.iterdir()] == ["sheet.csv"]


def test_an_error_leaves_nothing(tmp_path: Path) -> None:
    """When the block raises, no file and no draft are left."""
    with pytest.raises(KeyError):
        write_half(tmp_path / "sheet.csv")
    assert list(tmp_path.iterdir()) == []


def test_an_error_keeps_the_older_file(tmp_path: Path) -> None:
    """What stood there before stays when the new one fails."""
    goal = tmp_path / "sheet.csv"
    goal.write_text("older")
    with pytest.raises(KeyError):
        write_half(goal)
    assert goal.read_text() == "older"


def test_a_newer_file_takes_the_place_of_the_older(tmp_path: Path) -> None:
    """Writing again replaces the file."""
    goal = tmp_path / "sheet.csv"
    goal.write_text("older")
    with whole_file(goal) as draft:
        draft.write_text("newer")
    assert goal.read_text() == "newer"


def test_missing_folders_are_made(tmp_path: Path) -> None:
    """The folder of the goal is made if need be."""
    goal = tmp_path / "week" / "sheets" / "sheet.csv"
    with whole_file(goal) as draft:
        draft.write_text("whole")
    assert goal.read_text() == "whole"


def test_the_file_may_be_read_by_others(tmp_path: Path) -> None:
    """The file has the rights any new file would have, not a private draft's."""
    goal = tmp_path / "sheet.csv"
    with whole_file(goal) as draft:
        draft.write_text("whole")
    ordinary = tmp_path / "ordinary"
    ordinary.write_text("x")
    assert goal.stat().st_mode == ordinary.stat().st_mode


def test_a_folder_below_a_file_is_refused(tmp_path: Path) -> None:
    """A place that can't be a folder is one sentence with the path and what to do."""
    (tmp_path / "file").write_text("in the way")
    goal = tmp_path / "file" / "sheet.csv"
    with pytest.raises(OutputError) as caught, whole_file(goal):
        pytest.fail("the block must not run")
    assert caught.value.path == os.fspath(goal.parent)
    assert caught.value.reason == "this is a file, not a folder; choose a folder you can write to."
    with pytest.raises(OutputError, match="choose a folder"):
        make_folder(goal.parent)


def test_a_folder_in_the_goals_place_is_refused(tmp_path: Path) -> None:
    """Where a folder has the goal's name, it stays and nothing else is left."""
    goal = tmp_path / "sheet.csv"
    (goal / "inside").mkdir(parents=True)
    with pytest.raises(OutputError, match="this is a folder; name a file in it"), whole_file(goal):
        pytest.fail("the block must not run")
    assert (goal / "inside").is_dir()
    assert [path.name for path in tmp_path.iterdir()] == ["sheet.csv"]


def test_a_full_disk_inside_the_block_is_told(tmp_path: Path) -> None:
    """A system error while writing becomes a sentence, and nothing is left."""
    with pytest.raises(OutputError, match="free some space"), whole_file(tmp_path / "a.csv"):
        raise OSError(28, "No space left on device")
    assert list(tmp_path.iterdir()) == []


def test_make_folder_returns_the_folder(tmp_path: Path) -> None:
    """Making a folder twice does no harm."""
    goal = tmp_path / "exports" / "demo"
    assert make_folder(goal) == goal
    assert make_folder(goal).is_dir()


def test_a_place_is_checked_without_leaving_anything(tmp_path: Path) -> None:
    """Before long work: a wrong ending, a folder of that name, a file where a folder must be."""
    (tmp_path / "roster.csv").write_text("in the way")
    endings = (".xlsx",)
    for name, said in (
        ("s.pdf", "has “.pdf”, but the sheet ends in .xlsx; name it so."),
        ("sheet", "has no ending, but the sheet ends in .xlsx; name it so."),
        (".", "this is a folder; name a file in it."),
        ("roster.csv/deep/s.xlsx", "roster.csv is a file, not a folder;"),
    ):
        with pytest.raises(OutputError) as caught:
            check_goal(tmp_path / name, endings=endings, what="the sheet")
        assert said in caught.value.reason
    assert check_goal(tmp_path / "new" / "S.XLSX", endings=endings) == tmp_path / "new" / "S.XLSX"
    assert check_folder(tmp_path / "new") == tmp_path / "new"
    assert [path.name for path in tmp_path.iterdir()] == ["roster.csv"]


@pytest.mark.parametrize(
    "name", ["a" * 300 + ".csv", "a" * 300 + "/sheet.csv", "no\0pe.csv", "no\0pe/a"]
)
def test_a_name_no_file_can_have_is_refused(tmp_path: Path, name: str) -> None:
    """Too long for a disk, or with a NUL in it: a sentence each time, and nothing is made."""
    goal = tmp_path / name

    def write() -> None:
        with whole_file(goal):
            raise AssertionError

    for attempt in (
        write, lambda: check_goal(goal), lambda: check_folder(goal), lambda: make_folder(goal)
    ):  # fmt: skip
        with pytest.raises(OutputError) as refused:
            attempt()
        assert "too long; choose a shorter name" in str(refused.value) or "(NUL)" in str(
            refused.value
        )
    assert list(tmp_path.iterdir()) == []


def test_every_ending_that_is_allowed_is_named(tmp_path: Path) -> None:
    """A sheet that may be either kind says so."""
    with pytest.raises(OutputError, match=r"the grid ends in \.csv or \.xlsx; name it so"):
        check_goal(tmp_path / "x.txt", endings=(".csv", ".xlsx"), what="the grid")
