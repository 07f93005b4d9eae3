"""The examples of the language page load and mean what the page says."""

from __future__ import annotations

import pytest

from gradecut.errors import LookError
from gradecut.scheme import Scheme, parse_scheme

# Every example of the page, in one file; the facts and fits they take for granted are added.
PAGE = """
[scheme]
name = "Page"
version = "1"
tiers = ["base", "flow", "pull"]

[facts.back]
asks = "Where is the back?"
values = ["left", "right", "behind", "none"]
sided = true
known = "before"

[facts.surface]
asks = "Blockers attached, guard out"
values = [2, 3, 4]
per_side = true
known = "before"

[facts.wing_goes]
asks = "What did the wing do?"
values = ["stays", "leads", "crosses"]
known = "after"
applies = { wing = ["left", "right"] }

[facts.wing]
values = ["left", "right", "none"]
sided = true

[facts.motion]
values = [true, false]

[facts.strength]
values = ["left", "right", "none"]
sided = true

[facts.nose_gap]
values = ["left", "right"]
sided = true
known = "after"

[facts.concept]
values = ["inside zone", "split zone", "power", "counter", "midline", "zone read"]
known = "after"

[facts.run]
values = ["left", "right"]
sided = true
known = "after"

[positions.Keel]
group = "linebackers"
side = { same_as = "strength", otherwise = "left" }

[positions.Bow]
side = "as aligned"

[positions.Nose]
side = "none"
graded = false

[fits."fill A"]
job = "fill"
gap = "A"
side = "to"
owns = ["cutback"]
misses = [
  { name = "overran it", credit = "half" },
  { name = "wrong shoulder" },
]
graded = true

[fits."box A"]
job = "box"
gap = "A"

[fits."other A"]
job = "fill"
gap = "A"
side = { opposite_of = "nose_gap" }

[fits."with the ball"]
job = "follow"
gap = "B"
side = { same_as = "run" }

[[rules]]
id = "K14"
for = ["Keel"]
tier = "base"
when = { concept = ["inside zone", "split zone"], run = "to" }
fit = "fill A"
also = ["box A"]
cue = "Downhill through the near hip of the back"

[[rules]]
id = "K15"
for = ["Keel"]
when = { back = { not = ["behind", "none"] }, concept = "power" }
fit = "box A"

[[rules]]
id = "K16"
for = ["Keel"]
tier = "flow"
when = { "surface.to" = { min = 3 }, concept = "counter" }
fit = "other A"

[[rules]]
id = "K17"
for = ["Keel"]
tier = "pull"
when = [ { motion = true, concept = "midline" }, { wing = "to", concept = "midline" } ]
fit = "with the ball"

[[rules]]
id = "B1"
for = ["Bow"]
when = { "surface.run" = 4 }
fit = "fill A"

[[rules]]
id = "N1"
for = ["Nose"]
fit = "other A"

[[alignments]]
id = "a1"
for = ["Keel"]
tier = "base"
when = { wing = { not = "to" } }
depth_yd = 4.5
landmark = "B"
side = "to"
tolerance_yd = 1.0
eyes = "near guard to back"

[[impossible]]
when = { concept = "midline", back = "none" }

[[duties]]
name = "every gap has an owner"
each_side = true
when = { "surface.to" = 3 }
gaps = ["A", "B", "C", "D"]

[[duties]]
name = "someone has the quarterback"
when = { concept = ["zone read", "midline"] }
owned = "quarterback"
at_least = 1
at_most = 1

[rubric]
fit = { right = 2, half = 1, wrong = 0 }
technique = ["eyes", "footwork", "hands", "tackle"]
technique_scale = [0, 1, 2]
effort = [0, 1, 2]
causes = ["alignment", "eyes", "no call", "technique", "beaten", "did not know", "rule unclear"]
events = ["missed tackle", "tackle", "loaf", "call owed", "call made"]
good = 0.85
weights = { fit = 0.5, technique = 0.3, effort = 0.2 }
"""


@pytest.fixture(scope="module")
def page() -> Scheme:
    """Give the page's scheme, loaded."""
    return parse_scheme(PAGE, "page")


def test_a_rule_answers_with_all_it_says(page: Scheme) -> None:
    """Fit, gap, side, cue, misses, what is right too, and where he lines up."""
    look = {"strength": "right", "concept": "inside zone", "run": "right", "wing": "none"}
    said = page.expect("Keel", look)
    assert (said.fit, said.gap, said.side, said.job) == ("fill A", "A", "right", "fill")
    assert (said.rule, said.tier, said.also) == ("K14", "base", ("box A",))
    assert said.cue == "Downhill through the near hip of the back"
    assert said.misses == (("overran it", "half"), ("wrong shoulder", "wrong"))
    assert said.alignment is not None
    assert (said.alignment.depth_yd, said.alignment.side) == (4.5, "right")
    assert said.alignment.eyes == "near guard to back"


def test_a_fit_follows_a_fact_and_without_it_his_side_is_open(page: Scheme) -> None:
    """A fit whose side follows a fact that is unknown can be on either side; the fact is asked."""
    assert page.expect("Nose", {"nose_gap": "left"}).side == "right"
    said = page.expect("Nose", {})
    assert set(said.options) == {("other A", "left"), ("other A", "right")}
    assert said.needs == ("nose_gap",)


def test_a_man_told_where_he_is_on_each_rep(page: Scheme) -> None:
    """His side is a reference of its own, asked for like any fact, or told with the question."""
    look = {"run": "left", "surface.left": 4}
    assert page.expect("Bow", look).needs == ("side.Bow",)
    assert page.expect("Bow", look, side="left").side == "left"
    assert page.expect("Bow", {**look, "side.Bow": "right"}).side == "right"
    assert page.references[-1] == "side.Bow"
    assert page.fact_of("side.Bow").values == ("left", "right")


def test_no_rule_is_a_hole_and_two_that_disagree_an_overlap() -> None:
    """Neither is a fit; the reason says which it is, and names the rules."""
    text = PAGE + '[[rules]]\nid = "N2"\nfor = ["Nose"]\nwhen = { motion = true }\nfit = "box A"\n'
    scheme = parse_scheme(text, "page")
    said = scheme.expect("Nose", {"motion": True})
    assert said.options == ((None, None),)
    assert "N1 and N2" in said.reason
    hole = scheme.expect("Keel", {"concept": "zone read"})
    assert (hole.fit, hole.needs, hole.settled) == (None, (), False)
    assert "hole" in hole.reason


def test_a_value_where_a_fact_does_not_apply_is_refused_and_tells_otherwise(page: Scheme) -> None:
    """A recorded value tells that its fact applies."""
    with pytest.raises(LookError, match="wing_goes"):
        page.expect("Keel", {"wing": "none", "wing_goes": "leads"})
    assert page.expect("Keel", {"wing_goes": "leads"}).settled is False
    assert page.look_faults({"wing": "left", "wing_goes": "leads"}) == ()


@pytest.mark.parametrize(
    ("position", "look", "side", "said"),
    [
        ("Kel", {}, None, "Keel"),
        ("Keel", {"bakc": "left"}, None, "back"),
        ("Keel", {"back": "lefty"}, None, "left"),
        ("Keel", {"surface": 3}, None, "surface.left"),
        ("Keel", {"surface.left": True}, None, "surface.left"),
        ("Keel", {"motion": 1}, None, "motion"),
        ("Keel", {"concept": "midline", "back": "none"}, None, "impossible"),
        ("Keel", {"strength": "left"}, "right", "on the right"),
        ("Nose", {}, "left", "no side"),
        ("Bow", {"side.Bow": "left"}, "right", "side.Bow"),
        ("Bow", {}, "middle", "middle"),
    ],
)
def test_questions_that_can_not_be_answered_are_refused(
    page: Scheme, position: str, look: dict[str, object], side: str | None, said: str
) -> None:
    """Unknown position, reference or value, impossible look, wrong side: one sentence each."""
    with pytest.raises(LookError, match=said.replace(".", r"\.")):
        page.expect(position, look, side)  # type: ignore[arg-type]


def test_a_side_that_was_seen_tells_of_the_fact_it_follows(page: Scheme) -> None:
    """Keel seen on the right means that the strength is there."""
    look = {"concept": "split zone", "run": "right"}
    assert page.side_of("Keel", look) is None
    assert page.side_of("Keel", look, side="right") == "right"
    assert page.expect("Keel", look, side="right").fit == "fill A"


def test_all_men_are_answered_at_once_as_one_by_one(page: Scheme) -> None:
    """The picture of the look takes every man's expectation from one question."""
    look = {"concept": "counter", "run": "left", "strength": "left"}
    together = page.expect_all(look, {"Bow": "left"})
    assert list(together) == ["Keel", "Bow", "Nose"]
    assert together["Bow"] == page.expect("Bow", look, "left")
    assert together["Nose"] == page.expect("Nose", look)
    assert together["Nose"].graded is False


def test_weights_and_scales_are_kept(page: Scheme) -> None:
    """The rubric is handed to grading as written."""
    assert page.rubric.weights == (("fit", 0.5), ("technique", 0.3), ("effort", 0.2))
    assert page.rubric.effort_top == 2
    assert [duty.name for duty in page.duties] == [
        "every gap has an owner",
        "someone has the quarterback",
    ]
