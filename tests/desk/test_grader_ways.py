"""How each grader works is kept for each book, and never lost to a damaged file."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from gradecut.desk.grader_ways import GraderWays, with_ways
from gradecut.desk.remembered import Remembered, recall, remember

PATH = "/books/herons.gradecut"


def test_ways_are_kept_for_each_grader_of_each_book(tmp_path: Path) -> None:
    """One grades blind, the other not; both are as they were after a restart."""
    blind = GraderWays(group="linebackers").begin_blind()
    told = with_ways(Remembered(), PATH, "R. Boone", blind)
    told = with_ways(told, PATH, "J. Alder", GraderWays(group=""))
    file = tmp_path / "window.json"
    assert remember(file, told) == ""
    kept = recall(file).ways
    assert kept == {PATH: {"R. Boone": blind, "J. Alder": GraderWays(group="")}}
    assert kept[PATH]["R. Boone"].blind
    assert not kept[PATH]["J. Alder"].blind


def test_lifting_keeps_when_and_where_and_can_begin_anew() -> None:
    """Lifted twice is lifted once; who has seen once counts from before that only."""
    blind = GraderWays().begin_blind()
    assert blind.begin_blind() == blind
    lifted = blind.lift_blind("Tuesday, play 7")
    assert (lifted.blind, lifted.lifted_where) == (False, "Tuesday, play 7")
    assert lifted.lift_blind("elsewhere") == lifted
    again = lifted.begin_blind()
    assert again.blind
    assert (again.lifted_at, again.lifted_where) == (lifted.lifted_at, "Tuesday, play 7")
    assert again.lift_blind("Tuesday, play 9") == lifted
    assert GraderWays().lift_blind("here") == GraderWays()


def test_a_book_no_longer_recent_stays_blind() -> None:
    """Opening many other books lifts nothing."""
    told = with_ways(Remembered(), PATH, "R. Boone", GraderWays().begin_blind())
    for number in range(12):
        told = told.with_book(f"/books/{number}.gradecut", "another")
    assert PATH not in told.recent
    assert told.ways[PATH]["R. Boone"].blind


@pytest.mark.parametrize(
    "ways",
    [5, [], {"a": 5}, {"a": {"b": 5}}, {"a": {"b": {"group": 5, "blind_since": None, "x": 1}}}],
)
def test_what_cannot_be_read_is_forgotten(tmp_path: Path, ways: object) -> None:
    """A damaged file gives the usual ways, never an error."""
    file = tmp_path / "window.json"
    file.write_text(json.dumps({"grader": "J. Alder", "ways": ways}), encoding="utf-8")
    told = recall(file)
    assert told.grader == "J. Alder"
    assert all(one == GraderWays() for graders in told.ways.values() for one in graders.values())
