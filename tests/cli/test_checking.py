"""A scheme checked from the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.cli.conftest import Run
from tests.scheme.auditing.test_bounds import TIED

HOLE = """
[facts.run]
values = ["left", "right"]
sided = true
known = "after"
[positions.Keel]
side = "left"
[fits."fill A"]
job = "fill"
gap = "A"
[[rules]]
id = "1"
for = ["Keel"]
when = { run = "to" }
fit = "fill A"
"""


def test_what_rules_leave_open_is_told_and_fails(run: Run, tmp_path: Path) -> None:
    """A hole is told in a sentence with its smallest look; the exit code is 1."""
    path = tmp_path / "open.toml"
    path.write_text(HOLE, encoding="utf-8")
    done = run("scheme", "check", path)
    assert done.exit_code == 1
    assert (
        "hole: Keel, on the left, has no rule when the run goes away from him. [run = right]"
        in done.stdout
    )
    assert "Not sound over all 2 looks: 1 thing to settle." in done.stdout


def test_a_machine_reads_the_same(run: Run, tmp_path: Path) -> None:
    """With --json: sound or not, how many looks, each finding with its parts."""
    path = tmp_path / "open.toml"
    path.write_text(HOLE, encoding="utf-8")
    told = json.loads(run("scheme", "check", path, "--json").stdout)
    assert (told["sound"], told["looks"], told["faults"]) == (False, 2, [])
    (found,) = told["findings"]
    assert (found["kind"], found["position"], found["look"]) == ("hole", "Keel", {"run": "right"})


def test_faults_come_before_the_audit(run: Run, tmp_path: Path) -> None:
    """A file with a fault is not audited: its faults are told, each with its line."""
    path = tmp_path / "faulty.toml"
    path.write_text(HOLE.replace('fit = "fill A"', 'fit = "fil A"'), encoding="utf-8")
    done = run("scheme", "check", path, "--json")
    assert done.exit_code == 1
    told = json.loads(done.stdout)
    assert (told["sound"], [fault["line"] for fault in told["faults"]]) == (False, [15])


def test_a_sound_scheme_is_told_so(run: Run, tmp_path: Path) -> None:
    """Nothing open: exit 0, and over how many looks it was proven."""
    path = tmp_path / "sound.toml"
    path.write_text(HOLE.replace('when = { run = "to" }\n', ""), encoding="utf-8")
    done = run("scheme", "check", path)
    assert done.exit_code == 0
    assert "Sound over all 2 looks" in done.stdout
    assert "idle: Nothing depends on run" in done.stdout


def test_what_could_not_be_settled_is_told(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A sound scheme in which an idle fact can't be proven says so, and stays sound."""
    path = tmp_path / "tied.toml"
    path.write_text(TIED, encoding="utf-8")
    monkeypatch.setattr("gradecut.scheme._changes._MOST_SEARCHED", 0)
    done = run("scheme", "check", path)
    assert done.exit_code == 0
    assert "not proven: Whether anything depends on a could not be settled." in done.stdout
    told = json.loads(run("scheme", "check", path, "--json").stdout)
    assert len(told["unproven"]) == 2


def test_an_empty_scheme_reads_well(run: Run, tmp_path: Path) -> None:
    """No men, no rules, one look: said as a coach would; and there is no sheet to write."""
    path = tmp_path / "empty.toml"
    path.write_text("", encoding="utf-8")
    told = run("scheme", "check", path).stdout
    assert "The scheme has 0 rules in 1 tier for 0 men; nobody is graded." in told
    assert "Sound over 1 look:" in told
    refused = run("scheme", "sheet", path, "--out", tmp_path / "sheets")
    assert (refused.exit_code, refused.stdout) == (1, "")
    assert "no man is graded" in refused.stderr
    assert list(tmp_path.iterdir()) == [path]
