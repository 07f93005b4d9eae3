"""Which one fact, had it been another, would have changed what a man owes."""

from __future__ import annotations

import pickle
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from gradecut.errors import LookError, SchemeError
from gradecut.samples import week_folder
from gradecut.scheme import Scheme, load_scheme, parse_scheme
from tests.scheme import plain_reading as plain
from tests.scheme.invented_schemes import looks, schemes, tied_schemes, written

SLOW = settings(
    max_examples=100,
    deadline=None,
    suppress_health_check=[
        HealthCheck.too_slow,
        HealthCheck.filter_too_much,
        HealthCheck.data_too_large,
    ],
)
MOST = 120  # completions: the plain reading goes through all of them for every change

PULL = """
[scheme]
tiers = ["base", "pull"]
[facts.pulls]
asks = "Did the guard pull?"
values = [true, false]
known = "after"
had = { true = "had the guard pulled", false = "had the guard not pulled" }
[facts.run]
values = ["left", "right"]
sided = true
known = "after"
had = { to = "had the run come his way", away = "had the run gone away" }
[facts.surface]
values = [2, 3, 4]
per_side = true
had = { 2 = "had there been two blockers" }
[facts.wing]
values = ["left", "right", "none"]
sided = true
[facts.wing_goes]
values = ["stays", "leads"]
known = "after"
applies = { wing = ["left", "right"] }
[facts.motion]
values = [true, false]
[positions.Keel]
side = "right"
[positions.Bow]
side = "as aligned"
[fits."fill A"]
job = "fill"
gap = "A"
[fits."fill B"]
job = "fill"
gap = "B"
[fits.sink]
job = "sink"
graded = false
[[rules]]
id = "K02"
for = ["Keel"]
when = { run = "to" }
fit = "fill A"
[[rules]]
id = "K03"
for = ["Keel"]
when = { run = "away", "surface.to" = { min = 3 } }
fit = "sink"
[[rules]]
id = "K07"
for = ["Keel"]
tier = "pull"
when = { pulls = true, run = "to" }
fit = "fill B"
[[rules]]
id = "B01"
for = ["Bow"]
when = [{ motion = true }, { wing_goes = "leads" }]
fit = "fill A"
[[rules]]
id = "B02"
for = ["Bow"]
when = { motion = false, wing_goes = { not = "leads" } }
fit = "fill B"
"""
KNOWN: dict[str, Any] = {
    "pulls": True, "run": "right", "surface.left": 2, "surface.right": 3, "wing": "left",
    "wing_goes": "leads", "motion": False,
}  # fmt: skip


@pytest.fixture(scope="module")
def pull() -> Scheme:
    """Give a scheme with a pull tier and clauses of the coach's own."""
    return parse_scheme(PULL, "pull")


def test_the_sentence_tells_rule_tier_override_and_what_would_turn_it(pull: Scheme) -> None:
    """One sentence: the rule, its tier, what it overrode, and the fact that brings that back."""
    assert pull.expect("Keel", KNOWN).reason == (
        "Rule K07 of tier pull asks for fill B, right side; it overrides K02; "
        "had the guard not pulled: fill A."
    )


def test_every_flip_is_told_most_telling_first(pull: Scheme) -> None:
    """The fact that brings the overridden rule back comes before others the rule names."""
    found = pull.flips("Keel", KNOWN)
    assert [(flip.reference, flip.value, flip.fit, flip.side) for flip in found] == [
        ("pulls", False, "fill A", "right"),
        ("run", "left", "sink", None),
    ]
    assert found[1].words == "had the run gone away: sink"


def test_facts_the_rule_names_come_before_others_and_late_before_early(pull: Scheme) -> None:
    """Without an override: first what the answering rule names, then what is known late."""
    away = {**KNOWN, "run": "left"}
    assert [flip.reference for flip in pull.flips("Keel", away)] == ["run"]
    no_pull = {**KNOWN, "pulls": False}
    assert [flip.reference for flip in pull.flips("Keel", no_pull)] == ["run", "pulls"]


def test_a_hole_tells_what_would_have_brought_an_answer(pull: Scheme) -> None:
    """No rule for him, and the nearest look on which there is one; the side is told per side."""
    short = {**KNOWN, "run": "left", "surface.right": 2}
    assert pull.expect("Keel", short).reason == (
        "No answer: the scheme has no rule for Keel on this look (a hole); "
        "had the run come his way: fill B, right side."
    )
    words = [flip.words for flip in pull.flips("Keel", short)]
    assert words[1] == "had the surface been 3 on the right: sink"


def test_what_does_not_apply_any_more_is_left_out(pull: Scheme) -> None:
    """Without a blocker off the ball there is nothing he does: the flip drops that fact."""
    found = {(flip.reference, flip.value): flip for flip in pull.flips("Bow", KNOWN, "left")}
    assert found["wing", "none"].fit == "fill B"
    assert found["wing", "none"].words == "had the wing been none: fill B"
    assert found["side.Bow", "right"].words == "had Bow been on the right: fill A, right side"
    still = {**KNOWN, "motion": True, "wing": "none"}
    del still["wing_goes"]
    assert "had the answer to “motion” been no: fill B" in [
        flip.words for flip in pull.flips("Bow", still, "left")
    ]


def test_an_open_answer_has_nothing_to_turn(pull: Scheme) -> None:
    """While facts are open no flip is told, and the sentence asks instead."""
    assert pull.flips("Keel", {}) == ()
    assert "First answer" in pull.expect("Keel", {}).reason
    with pytest.raises(LookError):
        pull.flips("Keal", {})


def test_the_sentence_is_text_wherever_it_is_kept(pull: Scheme) -> None:
    """Compared, pickled and replaced, an expectation has its sentence, made on reading."""
    one, two = pull.expect("Keel", KNOWN), pull.expect("Keel", dict(KNOWN))
    assert one == two
    assert hash(one) == hash(two)
    assert pickle.loads(pickle.dumps(pull.expect("Keel", KNOWN))) == one
    assert replace(one, cue="now").reason == one.reason


def test_a_look_changed_after_the_question_changes_no_sentence(pull: Scheme) -> None:
    """The sentence is about the look that was asked about."""
    look = dict(KNOWN)
    said = pull.expect("Keel", look)
    look["run"] = "left"
    assert "had the guard not pulled" in said.reason


def _same_flips(drawn: dict[str, Any], data: st.DataObject) -> None:
    try:
        scheme = parse_scheme(written(drawn), "drawn")
    except SchemeError:
        assume(False)
    whole = plain.completions(drawn, {})
    assume(0 < len(whole) <= MOST)
    look = data.draw(looks(whole, plain.references(drawn)))
    for position in ("Keel", "Port"):
        found = scheme.flips(position, look)
        told = {(flip.reference, flip.value, (flip.fit, flip.side)) for flip in found}
        assert len(told) == len(found)
        assert told == plain.flips(drawn, position, look)
        said = scheme.expect(position, look)
        if found:
            assert said.reason.endswith(f"; {found[0].words}.")
        else:
            assert ": " not in said.reason.rpartition("; ")[2] or not said.settled


@SLOW
@given(st.data())
def test_flips_are_those_of_the_plain_reading(data: st.DataObject) -> None:
    """On any part of any look: each single change that settles another answer, and no other."""
    _same_flips(data.draw(schemes()), data)


@SLOW
@given(st.data())
def test_flips_keep_to_what_can_be(data: st.DataObject) -> None:
    """Where facts are tied by what cannot be, a change that leaves no look is passed over."""
    _same_flips(data.draw(tied_schemes()), data)


def test_every_answer_of_harbor_says_what_would_turn_it() -> None:
    """On a complete run look of the demo every graded man's sentence has a flip."""
    harbor = load_scheme(week_folder() / "harbor.toml")
    look = {
        "strength": "right", "surface.left": 2, "surface.right": 3, "back": "left",
        "wing": "none", "concept": "power", "run": "right",
    }  # fmt: skip
    for said in harbor.expect_all(look).values():
        assert "; had " in said.reason
