"""A first scheme from answers is sound, whatever they are."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import combinations, product

import pytest

from gradecut.errors import SchemeError
from gradecut.scheme import Scheme, Value, parse_scheme
from gradecut.scheme.starting import QUESTIONS, blank_scheme, start_scheme

CHOSEN = {q.key: [choice.value for choice in q.choices] for q in QUESTIONS if q.choices}


def _started(**answers: str) -> Scheme:
    return parse_scheme(start_scheme(answers), "started")


def _one_change() -> Iterator[dict[str, str]]:
    yield {}
    for key, values in CHOSEN.items():
        for value in values:
            yield {key: value}


def _pairwise(seed: int) -> list[dict[str, str]]:
    """Choose sets of answers in which every two answers to two questions meet."""
    chance = random.Random(seed)
    keys = list(CHOSEN)
    left = {
        (one, mine, two, other)
        for one, two in combinations(keys, 2)
        for mine, other in product(CHOSEN[one], CHOSEN[two])
    }
    found = []
    while left:
        tries: list[tuple[int, int, dict[str, str]]] = []
        one, mine, two, other = min(left)
        for _ in range(30):
            answers = {key: chance.choice(CHOSEN[key]) for key in keys} | {one: mine, two: other}
            met = {pair for pair in left if answers[pair[0]] == pair[1]}
            tries.append((sum(answers[pair[2]] == pair[3] for pair in met), len(tries), answers))
        best = max(tries)[2]
        left = {pair for pair in left if (best[pair[0]], best[pair[2]]) != (pair[1], pair[3])}
        found.append(best)
    return found


def _assert_sound(answers: dict[str, str]) -> None:
    audit = parse_scheme(start_scheme(answers), "started").audit()
    assert audit.findings == (), (answers, [finding.message for finding in audit.findings])


@pytest.mark.parametrize("answers", list(_one_change()), ids=str)
def test_every_single_change_from_the_defaults_is_sound(answers: dict[str, str]) -> None:
    """No hole, overlap or broken duty, and no rule or fact that says nothing."""
    _assert_sound(answers)


def test_every_two_answers_together_are_sound() -> None:
    """Each pair of answers to two questions meets in a set that is proven."""
    for answers in _pairwise(5):
        _assert_sound(answers)


def test_every_front_is_sound_with_every_way_to_spill_and_cut_back() -> None:
    """All fronts and edges, with all that decides who takes the gaps left open.

    The answers on where the back is, on the blocker who crosses and on zone read change one man's
    job without touching another's gap; they are drawn by chance here.
    """
    chance = random.Random(11)
    whole = ("front", "inside", "strong_edge", "weak_edge", "kick_out")
    for values in product(*(CHOSEN[key] for key in whole)):
        answers = {key: chance.choice(options) for key, options in CHOSEN.items()}
        _assert_sound(answers | dict(zip(whole, values, strict=True)))


def test_it_says_about_a_dozen_things_and_each_has_a_default_among_its_choices() -> None:
    """A window can show every question with one answer already taken."""
    assert 10 <= len(QUESTIONS) <= 15
    for question in QUESTIONS:
        assert question.asks.endswith("?")
        assert question.why.endswith(".")
        if question.choices:
            assert question.default in {choice.value for choice in question.choices}


def test_the_man_who_spills_has_a_man_outside_him() -> None:
    """Power to Sam: he spills in C and Mike overlaps in D; boxed, Mike keeps his gap."""
    look: dict[str, Value] = {
        "strength": "left", "surface.left": 3, "surface.right": 2, "back": "right",
        "wing": "none", "concept": "power", "run": "left",
    }  # fmt: skip
    spilled = _started().expect_all(look)
    assert (spilled["Sam"].fit, spilled["Mike"].fit, spilled["Will"].fit) == (
        "spill C", "overlap D", "fill A",
    )  # fmt: skip
    boxed = _started(kick_out="box").expect_all(look)
    assert (boxed["Sam"].fit, boxed["Mike"].fit) == ("box D", "fill A")
    behind = _started(kick_out="spill safety").expect_all(look)
    assert (behind["Sam"].fit, behind["Mike"].fit, behind["Strong safety"].fit) == (
        "spill D", "fill A", "overlap D",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("back", "key"), [("left", "back_his"), ("right", "back_other"), ("none", "back_behind")]
)
@pytest.mark.parametrize(("job", "fit"), [("fill", "follow"), ("hang", "hang at home")])
def test_an_inside_man_fills_or_hangs_by_where_the_back_was(
    back: str, key: str, job: str, fit: str
) -> None:
    """Run away from Mike, on the left, with a gap for Will alone."""
    look: dict[str, Value] = {
        "strength": "left", "surface.left": 3, "surface.right": 2, "back": back,
        "wing": "none", "concept": "inside zone", "run": "right",
    }  # fmt: skip
    others = {one: "hang" if job == "fill" else "fill" for one in CHOSEN if one.startswith("back_")}
    assert _started(**(others | {key: job})).expect("Mike", look).fit == fit


@pytest.mark.parametrize(
    ("answer", "owners"),
    [
        ("dive", ("Sam", "Mike", "Strong safety")),
        ("quarterback", ("Mike", "Sam", "Strong safety")),
        ("pitch", ("Will", "Mike", "Sam")),
    ],
)
def test_dive_quarterback_and_pitch_have_the_man_he_said(
    answer: str, owners: tuple[str, ...]
) -> None:
    """Option to Sam: three men for three."""
    look = {"strength": "right", "concept": "option", "run": "right"}
    scheme = _started(option=answer)
    for owed, man in zip(("dive", "quarterback", "pitch"), owners, strict=True):
        assert scheme.expect(man, look).fit == owed


@pytest.mark.parametrize(
    ("crossing", "fit"),
    [("box", "box the crosser"), ("spill", "spill the crosser"), ("nothing", "cutback C")],
)
def test_a_crossing_blocker_changes_the_far_edge_mans_job_or_not(crossing: str, fit: str) -> None:
    """The wing crosses to Sam while the run goes away from him."""
    scheme = _started(crossing=crossing)
    look: dict[str, Value] = {"strength": "left", "wing": "right"}
    look |= {"concept": "inside zone", "run": "right"}
    if "wing_goes" in scheme.facts:
        look["wing_goes"] = "crosses"
    assert scheme.expect("Sam", look).fit == fit


@pytest.mark.parametrize(
    ("edges", "graded"),
    [
        (("end", "end", "two"), ("Mike", "Will")),
        (("linebacker", "end", "two"), ("Sam", "Mike", "Will")),
        (("end", "safety", "three"), ("Mike", "Buck", "Will")),
        (("linebacker", "linebacker", "three"), ("Sam", "Mike", "Will", "Jack")),
    ],
)
def test_two_to_four_linebackers_are_graded(
    edges: tuple[str, str, str], graded: tuple[str, ...]
) -> None:
    """His linebackers and nobody else head the grid, never more than four."""
    strong, weak, inside = edges
    scheme = _started(strong_edge=strong, weak_edge=weak, inside=inside)
    assert scheme.groups["linebackers"] == graded
    assert tuple(man.name for man in scheme.positions.values() if man.graded) == graded


@pytest.mark.parametrize(
    "names",
    ['Bob "Sarge", Mike, W\\ill', "Søren, 李, Ærø", "a.b, [c], #d", "'x', {y}, = z", "A, B, C"],
)
def test_names_of_any_letters_are_safe_in_the_file(names: str) -> None:
    """Quotes, signs of the file's own and letters of all tongues come back as he wrote them."""
    scheme = _started(linebackers=names, name=f"“{names}” \"#' \\ front")
    assert scheme.groups["linebackers"] == tuple(name.strip() for name in names.split(","))
    assert scheme.audit()


@pytest.mark.parametrize(
    ("answers", "told"),
    [
        ({"linebackers": "Sam, Mike, sam"}, "two linebackers are called"),
        ({"linebackers": "Sam, , Will"}, "is empty"),
        ({"linebackers": "Sam, Mike"}, "has 3 linebackers, but 2 are named"),
        ({"linebackers": "Nose, Mike, Will"}, "another man of this front"),
        ({"linebackers": "S\nam, Mike, Will"}, "can't be printed"),
        ({"linebackers": f"{'x' * 61}, Mike, Will"}, "too long"),
        ({"linebackers": "Ana\u0308, An\u00e4, Will"}, "two linebackers are called"),
        ({"name": "  "}, "the name of the defence is empty"),
        ({"name": "\ud800"}, "can't be printed"),
        ({"front": "five"}, '"front" has no answer "five"; it is three'),
        ({"frunt": "three"}, "did you mean “front”?"),
    ],
)
def test_a_bad_answer_is_refused_in_a_sentence(answers: dict[str, str], told: str) -> None:
    """What is wrong and what to try; nothing is made."""
    for make in (start_scheme, blank_scheme):
        with pytest.raises(SchemeError) as refused:
            make(answers)
        assert len(refused.value.faults) == 1
        assert told in str(refused.value)


def test_names_across_lines_leave_the_remarks_whole() -> None:
    """A line break after a comma is a blank, in the remarks as in the men."""
    text = start_scheme({"linebackers": "Ann,\nBea,\n[x] = 1"})
    assert parse_scheme(text, "started").groups["linebackers"] == ("Ann", "Bea", "[x] = 1")


def test_a_blank_scheme_has_the_same_facts_men_and_fits_and_no_rules() -> None:
    """What is learned by grading fits the words the starter would have used."""
    for answers in ({}, {"front": "three", "inside": "three", "crossing": "nothing"}):
        started, blank = _started(**answers), parse_scheme(blank_scheme(answers), "blank")
        assert blank.facts == started.facts
        assert blank.positions == started.positions
        assert blank.fits == started.fits
        assert blank.tiers == started.tiers
        assert (blank.rules, blank.alignments, blank.duties) == ((), (), ())
        assert not blank.expect("Mike", {"concept": "power"}).settled


def test_its_facts_are_those_a_picture_of_the_look_shows() -> None:
    """Surfaces, back, wing, strength, run and concept go by the names the picture knows."""
    known = {"surface.left", "surface.right", "wing", "back", "strength", "run", "concept"}
    assert known <= set(_started().references)


def test_every_fit_he_grades_can_be_missed() -> None:
    """Each has a miss to name, and each word of the list belongs to a fit."""
    for fit in _started().fits.values():
        assert bool(fit.misses) == fit.graded
