from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from gradecut.grading import board
from gradecut.reports import write_board_table
from gradecut.reports.cells import guarded
from tests.grading.invented_week import OKORIE, RUBRIC, line, week

OWASP = [
    ('=1+2";=1+2', '"\'=1+2"";=1+2"'),
    ("=1+2'\" ;,=1+2", '"\'=1+2\'"" ;,=1+2"'),
]
"""The examples of OWASP's page on CSV injection (www-community), raw and escaped."""


def test_reads_back(tmp_path: Path) -> None:
    """Another program reads the same counts and shares."""
    write_board_table(tmp_path / "board.csv", board(week(), rubric=RUBRIC))
    with (tmp_path / "board.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    power = next(
        row for row in rows if (row["player"], row["situation"]) == ("Tavin Okorie", "power")
    )
    assert (power["n"], power["half"], power["wrong"], power["number"]) == ("3", "1", "2", "44")
    assert float(power["rate"]) == pytest.approx(1 / 6, abs=5e-5)
    counter = next(row for row in rows if row["situation"] == "counter")
    assert counter["effort_rate"] == ""


@pytest.mark.parametrize(("text", "told"), OWASP)
def test_owasps_examples(tmp_path: Path, text: str, told: str) -> None:
    """Names that would start a formula come out as OWASP's page writes them."""
    rep = replace(line(OKORIE, "+", 1), player=replace(OKORIE, name=text))
    write_board_table(tmp_path / "board.csv", board([rep], rubric=RUBRIC))
    written = (tmp_path / "board.csv").read_bytes().decode("utf-8")
    assert written.splitlines()[1].startswith(f"{told},")
    assert "\r\n" in written


@pytest.mark.parametrize("first", ["=", "+", "-", "@", "\t", "\r", "\n"])
def test_signs_that_start_a_formula(first: str) -> None:
    """Each of OWASP's first characters is guarded, and plain words are left alone."""
    assert guarded(f"{first}1") == f"'{first}1"
    assert guarded(f"own 35 {first}") == f"own 35 {first}"
