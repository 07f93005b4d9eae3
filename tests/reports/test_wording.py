from __future__ import annotations

from dataclasses import replace

import pytest

from gradecut.reports import wording
from tests.grading.invented_week import OKORIE, VANDERMOOR, line


@pytest.mark.parametrize(
    ("sign", "did", "result", "fault"),
    [
        ("+", "did it", "✓ right", ""),
        ("h", "overran it", "½ half", "You owed fill A, right: overran it (eyes)."),
        ("f", "played box A", "✗ wrong", "You owed fill A, right and played box A (eyes)."),
        ("?", "can't tell: out of picture", "? can't grade", ""),
        (".", "not graded yet", "not graded yet", ""),
    ],
)
def test_a_rep_in_words(sign: str, did: str, result: str, fault: str) -> None:
    """Each way a rep can come out has its words, its sign, and at most one fault."""
    rep = line(OKORIE, sign, 2)
    assert wording.did_words(rep.grade) == did
    assert wording.result_words(rep.grade) == result
    assert wording.fault_sentence(rep) == fault


def test_no_run_job_and_the_coachs_word() -> None:
    """Where there was nothing to grade it says so; the coach's word is named as his."""
    rep = line(OKORIE, "+", 2)
    assert rep.grade
    idle = replace(rep.grade, fit_result="not graded", fit_points=None)
    assert wording.did_words(idle) == "no run job on this look"
    word = replace(rep, grade=replace(rep.grade, owed_by="coach", expected_rule=None))
    assert wording.rule_words(word) == "coach's word"
    assert wording.rule_words(line(VANDERMOOR, ".", 2)) == "K14"


def test_what_is_owed_stands_as_it_was_graded() -> None:
    """A scheme changed since does not change what an old grade was about."""
    rep = replace(line(OKORIE, "+", 2), expected_fit="scrape C", expected_side="left")
    assert wording.owed_words(rep) == "fill A, right"
    assert wording.owed_words(replace(rep, grade=None)) == "scrape C, left"
    assert wording.owed_words(replace(rep, grade=None, expected_fit=None)) == "not settled"


def test_an_unnamed_miss_is_a_sentence_too() -> None:
    """A miss without a name or cause is told without them."""
    rep = line(OKORIE, "-", 2)
    assert rep.grade
    bare = replace(rep, grade=replace(rep.grade, did_name="", cause=""))
    assert wording.fault_sentence(bare) == "You owed fill A, right and missed it."


def test_plays() -> None:
    """A play is named by its place, and by the script's number where that differs."""
    rep = line(OKORIE, "+", 2)
    assert wording.play_words(rep) == "play 2"
    drifted = replace(rep, clip=replace(rep.clip, script_number=3))
    assert wording.play_words(drifted) == "play 2 (script 3)"
    assert wording.percent(None) == "—"


def test_a_fact_is_named_as_it_is_said() -> None:
    """No dot and no underscore of the scheme's file reaches the coach."""
    told = wording.look_words({"concept": "power", "box_count.left": 4, "late_motion": False})
    assert told == "box count left 4; no late motion"
