"""scheme start: a first scheme from answers."""

from __future__ import annotations

import json
from pathlib import Path

from gradecut.scheme import load_scheme
from gradecut.scheme.starting import QUESTIONS
from tests.cli.conftest import Run


def test_it_makes_a_sound_scheme_from_answers(run: Run, tmp_path: Path) -> None:
    """The file is there, says what was answered, and the sentence names his men."""
    goal = tmp_path / "mine.toml"
    made = run("scheme", "start", "--out", goal, "--answer", "front=three", "--answer", "name=Oak")
    assert made.exit_code == 0, made.stderr
    assert "Oak has" in made.stdout
    assert "Sam, Mike, Will" in made.stdout
    scheme = load_scheme(goal)
    assert (scheme.name, bool(scheme.audit())) == ("Oak", True)


def test_a_file_that_is_there_stays(run: Run, tmp_path: Path) -> None:
    """A coach's rules are never written over."""
    goal = tmp_path / "mine.toml"
    goal.write_text("my rules", encoding="utf-8")
    made = run("scheme", "start", "--out", goal)
    assert made.exit_code == 1
    assert "is there already" in made.stderr
    assert goal.read_text(encoding="utf-8") == "my rules"


def test_the_questions_are_listed_for_people_and_for_machines(run: Run) -> None:
    """Every question with its answers, and nothing is made."""
    listed = run("scheme", "start", "--questions")
    assert listed.exit_code == 0
    assert all(question.asks in listed.stdout for question in QUESTIONS)
    for_machines = json.loads(run("scheme", "start", "--questions", "--json").stdout)
    assert [one["key"] for one in for_machines] == [question.key for question in QUESTIONS]


def test_a_blank_scheme_has_no_rules(run: Run, tmp_path: Path) -> None:
    """For a coach who says what each man owed as he grades."""
    goal = tmp_path / "blank.toml"
    told = json.loads(run("scheme", "start", "--out", goal, "--blank", "--json").stdout)
    assert (told["rules"], told["graded"]) == (0, ["Sam", "Mike", "Will"])
    assert load_scheme(goal).rules == ()


def test_bad_answers_are_told_and_nothing_is_made(run: Run, tmp_path: Path) -> None:
    """An answer there is none is work that failed; one that is no answer is wrong use."""
    goal = tmp_path / "mine.toml"
    unknown = run("scheme", "start", "--out", goal, "--answer", "front=five")
    assert (unknown.exit_code, "no answer" in unknown.stderr) == (1, True)
    assert run("scheme", "start", "--out", goal, "--answer", "front").exit_code == 2
    twice = ("--answer", "front=three", "--answer", "front=three")
    assert run("scheme", "start", "--out", goal, *twice).exit_code == 2
    assert run("scheme", "start").exit_code == 2
    assert run("scheme", "start", "--out", tmp_path / "mine.txt").exit_code == 1
    assert list(tmp_path.iterdir()) == []
