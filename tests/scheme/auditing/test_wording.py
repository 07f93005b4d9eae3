"""What an audit says: one sentence that reads well, whatever a coach calls his facts."""

from __future__ import annotations

import pytest

from gradecut.scheme import parse_scheme

FACTS = """
[facts.run_goes]
values = ["left", "right"]
sided = true
[facts.back]
values = ["left", "right", "behind"]
sided = true
[facts.wing_goes]
values = ["stays", "leads"]
[facts.motion]
values = [true, false]
[facts.keeps]
values = ["back", "quarterback"]
[facts.surface]
values = [2, 3]
per_side = true
[positions.Keel]
side = "right"
[fits.fill]
job = "fill"
[[rules]]
id = "K1"
for = ["Keel"]
fit = "fill"
"""


@pytest.mark.parametrize(
    ("when", "told"),
    [
        ('{ run_goes = "to" }', "Keel, on the right, has no rule when the run goes away from him."),
        ('{ back = ["behind", "to"] }', "Keel, on the right, has no rule when the back is on the "
                                        "other side."),
        ('{ wing_goes = "leads" }', "Keel, on the right, has no rule when the wing stays."),
        ("{ motion = true }", "Keel, on the right, has no rule when there is no motion."),
        ('{ keeps = "back" }', 'Keel, on the right, has no rule when "keeps" is quarterback.'),
        ('{ "surface.to" = 3 }', "Keel, on the right, has no rule when the surface on his side "
                                 "is 2."),
    ],
)  # fmt: skip
def test_a_look_is_told_in_plain_words(when: str, told: str) -> None:
    """Names become words, sides are told as he sees them, and no clause has two verbs."""
    scheme = parse_scheme(FACTS + f"when = {when}\n", "said")
    assert [one.message for one in scheme.audit().holes] == [told]


def test_an_idle_fact_is_named() -> None:
    """A name that is no thing stands in quotes."""
    said = {one.fact: one.message for one in parse_scheme(FACTS, "said").audit().idle}
    assert said["run_goes"].startswith('Nothing depends on "run goes": ')
    assert said["motion"].startswith("Nothing depends on motion: ")


DUTY = """
[facts.run]
values = ["left", "right"]
sided = true
[facts.motion]
values = [true, false]
[fits.d]
job = "fill"
gap = "D"
[fits.b]
job = "fill"
gap = "B"
[positions.Bow]
side = "right"
[positions.Fin]
side = "right"
[[duties]]
name = "every gap has an owner"
each_side = true
gaps = ["B", "D"]
when = { run = "to" }
[[rules]]
id = "B1"
for = ["Bow"]
fit = "b"
"""


def _duties(text: str) -> list[str]:
    return [one.message for one in parse_scheme(text, "said").audit().duties]


def test_a_broken_duty_names_the_gap_and_its_side() -> None:
    """Only gaps without an owner are named, on the side where they are."""
    told = _duties(
        DUTY.replace('when = { run = "to" }', 'when = { run = "to", motion = true }')
        + """
[[rules]]
id = "F1"
for = ["Fin"]
fit = "d"
when = { motion = false }
[positions.Reef]
side = "left"
[positions.Tide]
side = "left"
[[rules]]
id = "R1"
for = ["Reef"]
fit = "b"
[[rules]]
id = "T1"
for = ["Tide"]
fit = "d"
"""
    )
    assert told == [
        '"every gap has an owner" is not met when the run is on the right and there is motion: '
        "D on the right has no owner."
    ]


def test_where_the_gap_differs_by_look_both_are_named() -> None:
    """One man who fills D or B as the motion is leaves one of the two open, always."""
    told = _duties(
        DUTY.replace('[[rules]]\nid = "B1"\nfor = ["Bow"]\nfit = "b"\n', "")
        + """
[[rules]]
id = "F1"
for = ["Fin"]
fit = "d"
when = { motion = false }
[[rules]]
id = "F2"
for = ["Fin"]
fit = "b"
when = { motion = true }
[[impossible]]
when = { run = "left" }
"""
    )
    assert len(told) == 1
    assert told[0].endswith(": B or D on the right has no owner.")


def test_two_open_gaps_are_both_named() -> None:
    """Nobody on the left: both its gaps have no owner, whatever else the look is."""
    left = '[[impossible]]\nwhen = { run = "right" }\n'
    assert _duties(DUTY + left) == [
        '"every gap has an owner" is not met on any look it asks for: '
        "B and D on the left have no owner."
    ]
