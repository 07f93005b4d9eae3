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
