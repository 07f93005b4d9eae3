"""Rules learned from what the coach said: they give his answers, and claim nothing beside."""

from __future__ import annotations

from itertools import combinations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gradecut.errors import Cancelled
from gradecut.progress import CancelToken
from gradecut.scheme import Scheme, Value, parse_scheme
from gradecut.scheme.learning import Learned, Said, learn
from gradecut.workflows.learning import accept

HEAD = """# my own words
[scheme]
name = "blank"
tiers = ["base"]
[facts.strength]
values = ["left", "right"]
sided = true
[facts.surface]
values = [2, 3, 4]
per_side = true
[facts.concept]
values = ["inside zone", "split zone", "power", "pass"]
known = "after"
[facts.run]
values = ["left", "right"]
sided = true
known = "after"
applies = { concept = { not = "pass" } }
[facts.pull]
values = ["left", "right", "none"]
sided = true
known = "after"
[positions.Keel]
side = { same_as = "strength" }
[positions.Port]
side = "as aligned"
[positions.Mast]
side = "none"
[fits."fill A"]
job = "fill"
gap = "A"
[fits."hang A"]
job = "hang"
gap = "A"
[fits."spill C"]
job = "spill"
gap = "C"
[fits.sink]
job = "sink"
graded = false
"""
Look = dict[str, Value]
FITS = ("fill A", "hang A", "spill C", "sink")
BLANK = parse_scheme(HEAD, "blank")
FULL: Look = {
    "strength": "left",
    "surface.left": 3,
    "surface.right": 2,
    "concept": "power",
    "run": "left",
    "pull": "none",
}


def _accepted(scheme: Scheme, learned: Learned) -> Scheme:
    text = scheme.text
    for proposal in learned.proposals:
        text = accept(text, proposal)
    return parse_scheme(text, "accepted")


def _fits(scheme: Scheme, said: Said) -> set[str | None]:
    """Give every fit still possible; on which side may hang on what is not recorded."""
    return {fit for fit, _ in scheme.expect(said.position, said.look, said.side).options}


def _keel(fit: str, clip: str, **look: Any) -> Said:
    return Said(position="Keel", look={**FULL, **look}, fit=fit, clip=clip)


@st.composite
def _said(draw: st.DrawFn, *, whole: bool) -> Said:
    """Draw what a coach said of one man, on a look that may be."""
    look: dict[str, Any] = {}
    for reference in BLANK.references:
        value = draw(st.sampled_from(BLANK.values_of(reference)))
        if whole or draw(st.integers(0, 3)):
            look[reference] = value
    if look.get("concept") == "pass":
        look.pop("run", None)
    man = draw(st.sampled_from(sorted(BLANK.positions)))
    return Said(position=man, look=look, fit=draw(st.sampled_from(FITS)), clip="")


def _numbered(said: list[Said]) -> list[Said]:
    return [
        Said(position=one.position, look=one.look, side=one.side, fit=one.fit, clip=f"c{place}")
        for place, one in enumerate(said)
    ]


def _turned(look: dict[str, Any]) -> dict[str, Any]:
    """Give a look seen in a mirror."""
    other = {"left": "right", "right": "left"}
    found = {}
    for word, value in look.items():
        fact, _, side = word.partition(".")
        turned = f"{fact}.{other[side]}" if side in other else word
        found[turned] = other.get(value, value) if isinstance(value, str) else value
    return found


def _seen_alike(one: Said, two: Said) -> bool:
    """Tell by hand whether two whole looks are the same to a man.

    On which side Port stands is no fact a rule may ask: it is Port's own side, and nothing to
    the others.
    """
    looks = [dict(said.look) for said in (one, two)]
    if one.position != "Port":
        for look in looks:
            look.pop("side.Port", None)
    return looks[0] == looks[1] or (one.position != "Mast" and looks[0] == _turned(looks[1]))


@settings(max_examples=60, deadline=None)
@given(st.lists(_said(whole=True), max_size=25).map(_numbered))
def test_every_answer_that_contradicts_no_other_is_given(said: list[Said]) -> None:
    """All proposals accepted, the scheme says what he said; contradictions are told exactly."""
    learned = learn(BLANK, said)
    clashing = {
        (one.position, clip)
        for one, two in combinations(said, 2)
        if one.position == two.position and one.fit != two.fit and _seen_alike(one, two)
        for clip in (one.clip, two.clip)
    }
    told = {
        (found.position, clip)
        for found in learned.contradictions
        for group in found.clips
        for clip in group
    }
    assert told == clashing
    scheme = _accepted(BLANK, learned)
    for one in said:
        if (one.position, one.clip) not in clashing:
            assert _fits(scheme, one) == {one.fit}


@settings(max_examples=60, deadline=None)
@given(st.lists(_said(whole=False), max_size=20).map(_numbered))
def test_a_look_with_facts_missing_is_given_whatever_they_turn_out_to_be(said: list[Said]) -> None:
    """A missing fact is unknown, never false."""
    learned = learn(BLANK, said)
    clashing = {
        (found.position, clip)
        for found in learned.contradictions
        for group in found.clips
        for clip in group
    }
    scheme = _accepted(BLANK, learned)
    for one in said:
        if (one.position, one.clip) not in clashing:
            assert _fits(scheme, one) == {one.fit}


@settings(max_examples=30, deadline=None)
@given(
    st.booleans().flatmap(lambda whole: st.lists(_said(whole=whole), max_size=15)).map(_numbered),
    st.data(),
)
def test_what_is_accepted_is_not_proposed_again_and_never_turned(
    said: list[Said], data: st.DataObject
) -> None:
    """With some answers' rules in force, new answers are learned and the old ones stand."""
    first = said[: data.draw(st.integers(0, len(said)))]
    before = _accepted(BLANK, learn(BLANK, first))
    assert learn(before, first).proposals == ()
    learned = learn(before, said)
    after = _accepted(before, learned)
    clashing = {clip for found in learned.contradictions for group in found.clips for clip in group}
    for one in said:
        agreed = _fits(before, one) == {one.fit}
        if agreed or one.clip not in clashing:
            assert _fits(after, one) == {one.fit}


@settings(max_examples=20, deadline=None)
@given(st.lists(_said(whole=True), max_size=15).map(_numbered))
def test_the_same_answers_give_the_same_proposals(said: list[Said]) -> None:
    """Nothing depends on chance."""
    assert learn(BLANK, said) == learn(BLANK, said)


@settings(max_examples=40, deadline=None)
@given(st.lists(_said(whole=True), min_size=1, max_size=15).map(_numbered))
def test_the_look_asked_about_can_be_and_is_open(said: list[Said]) -> None:
    """Two rival answers exist there, or the man was never told on a look like it."""
    asked = learn(BLANK, said).ask
    if asked is not None:
        assert not BLANK.look_faults(asked.look)
        assert asked.look not in [one.look for one in said if one.position == asked.position]


def test_a_look_with_two_answers_is_not_asked_about_again() -> None:
    """A third answer would settle nothing; another look he was never told on is asked."""
    said = [_keel("fill A", "1", pull="left"), _keel("hang A", "2", pull="left")]
    asked = learn(BLANK, said, met=[{**FULL, "pull": "right"}]).ask
    assert asked is not None
    assert (asked.position, asked.look["pull"], asked.met) == ("Keel", "right", True)


def test_to_and_away_are_one_rule_each() -> None:
    """Left and right are his side and the other; four clips make two rules of one fact."""
    said = [
        _keel("fill A", "1"),
        _keel("hang A", "2", run="right"),
        _keel("fill A", "3", strength="right", run="right", concept="inside zone"),
        _keel("hang A", "4", strength="right", concept="inside zone"),
    ]
    found = learn(BLANK, said).proposals
    assert sorted((rule.fit, rule.clips) for rule in found) == [
        ("fill A", ("1", "3")),
        ("hang A", ("2", "4")),
    ]
    assert all(set(rule.when) <= {"run"} for rule in found)


def test_an_exception_stands_above_the_rule_it_breaks() -> None:
    """Whatever they run he fills, but for one puller: the general rule below, the puller above."""
    said = [
        _keel("fill A", f"{concept} {surface} {run}", concept=concept, run=run, **{
            "surface.left": surface
        })
        for concept in ("inside zone", "split zone", "power")
        for surface in (2, 3)
        for run in ("left", "right")
    ]  # fmt: skip
    said += [_keel("spill C", "pulled", pull="left")]
    low, high = learn(BLANK, said).proposals
    assert (low.fit, dict(low.when), low.tier, low.new_tier) == ("fill A", {}, "base", False)
    assert (high.fit, dict(high.when), high.new_tier) == ("spill C", {"pull": "to"}, True)
    assert (low.against, high.clips) == (("pulled",), ("pulled",))


def test_men_with_the_same_rule_share_it() -> None:
    """One rule for both, with the clips of both."""
    said = [
        Said(position=man, look={**FULL, "side.Port": "left"}, fit="fill A", clip=man)
        for man in ("Keel", "Port")
    ]
    (rule,) = learn(BLANK, said).proposals
    assert (rule.men, rule.clips) == (("Keel", "Port"), ("Keel", "Port"))


def test_a_contradiction_is_told_in_a_sentence_and_the_rest_is_learned() -> None:
    """Two answers on one look: neither is chosen, and no rule is made of them."""
    said = [
        _keel("fill A", "1"),
        _keel("hang A", "2"),
        _keel("spill C", "3", concept="inside zone"),
    ]
    learned = learn(BLANK, said)
    (found,) = learned.contradictions
    assert (found.position, found.fits, found.clips) == (
        "Keel",
        ("fill A", "hang A"),
        (("1",), ("2",)),
    )
    assert "Keel" in found.message
    assert [rule.clips for rule in learned.proposals] == [("3",)]


def test_a_side_only_another_man_has_tells_nothing_apart() -> None:
    """On which side Port stands is no fact Keel's rules may ask: two answers contradict."""
    said = [
        _keel("fill A", "1", **{"side.Port": "left"}),
        _keel("hang A", "2", **{"side.Port": "right"}),
    ]
    learned = learn(BLANK, said)
    assert [found.clips for found in learned.contradictions] == [(("1",), ("2",))]
    assert learned.proposals == ()


def _mast(fit: str, clip: str, **look: Any) -> Said:
    return Said(position="Mast", look={**FULL, **look}, fit=fit, clip=clip)


def test_an_answer_in_force_is_not_turned_when_it_is_contradicted() -> None:
    """He hangs by a rule; told to fill there and elsewhere, he fills only elsewhere."""
    old = _mast("hang A", "1", concept="split zone", run="right", pull="right")
    before = _accepted(BLANK, learn(BLANK, [old]))
    elsewhere = _mast("fill A", "2", concept="inside zone")
    against = _mast("fill A", "3", concept="split zone", run="right", pull="right")
    learned = learn(before, [old, elsewhere, against])
    assert [found.clips for found in learned.contradictions] == [(("3",), ("1",))]
    after = _accepted(before, learned)
    assert (_fits(after, old), _fits(after, elsewhere)) == ({"hang A"}, {"fill A"})


def test_an_answer_in_force_on_a_look_with_facts_missing_is_not_turned_either() -> None:
    """The look that says more is no exception to a rule in force before a person settles it."""
    old = Said(position="Mast", look={"concept": "power"}, fit="hang A", clip="1")
    before = _accepted(BLANK, learn(BLANK, [old]))
    learned = learn(before, [old, _mast("fill A", "2")])
    assert [found.clips for found in learned.contradictions] == [(("2",), ("1",))]
    assert learned.proposals == ()


TIED = f"""{HEAD}
[[impossible]]
when = {{ pull = "none", "surface.left" = 2 }}
[[rules]]
id = "no puller"
for = ["Mast"]
tier = "base"
when = {{ pull = "none" }}
fit = "fill A"
[[rules]]
id = "two on the line"
for = ["Mast"]
tier = "base"
when = {{ "surface.left" = 2 }}
fit = "hang A"
"""


def test_two_answers_in_force_that_meet_on_no_look_that_may_be_both_stand() -> None:
    """What can't be keeps them apart: no contradiction, and a new rule is laid over neither."""
    before = parse_scheme(TIED, "tied")
    old = [
        Said(position="Mast", look={"pull": "none"}, fit="fill A", clip="1"),
        Said(position="Mast", look={"surface.left": 2}, fit="hang A", clip="2"),
    ]
    new = [
        _mast("fill A", f"{run} {surface}", run=run, pull="left", **{"surface.left": surface})
        for surface in (3, 4)
        for run in ("left", "right")
    ]
    learned = learn(before, [*old, *new])
    assert learned.contradictions == ()
    after = _accepted(before, learned)
    assert [_fits(after, one) for one in [*old, *new]] == [{one.fit} for one in [*old, *new]]


def test_answers_no_rule_could_hold_are_left_out_and_named() -> None:
    """A fit, a man or a value the scheme lacks is told, and the rest is learned."""
    said = [
        _keel("plug", "1"),
        Said(position="Bosun", look=FULL, fit="sink", clip="2"),
        _keel("sink", "3", pull="both"),
        _keel("sink", "4"),
    ]
    learned = learn(BLANK, said)
    assert sorted(out.clip for out in learned.left_out) == ["1", "2", "3"]
    assert [rule.clips for rule in learned.proposals] == [("4",)]


def test_accepting_keeps_the_files_comments() -> None:
    """The coach's own words stay."""
    text = HEAD
    for proposal in learn(BLANK, [_keel("sink", "1")]).proposals:
        text = accept(text, proposal)
    assert text.startswith("# my own words")


def test_learning_stops_when_asked() -> None:
    """A coach who closes the page does not wait."""
    token = CancelToken()
    token.cancel()
    with pytest.raises(Cancelled):
        learn(BLANK, [_keel("sink", "1")], cancel=token)
