"""A condition is the same on one line of text and in the file, both ways."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from gradecut.errors import SchemeError
from gradecut.samples import week_folder
from gradecut.scheme import Scheme, parse_scheme
from gradecut.scheme.editing import (
    condition_key,
    read_condition_text,
    read_names,
    row_key,
    spell_condition,
    spell_names,
)
from gradecut.scheme.editing import written as as_written
from gradecut.workflows.rule_words import rule_when
from tests.scheme.invented_schemes import schemes, written
from tests.scheme.plain_reading import completions

ODD = [
    "or",
    "not in",
    "a | b",
    'say "go"',
    "3",
    "yes",
    "any",
    "x or y",
    " lead",
    "a;b",
    "\\",
    "<= 2",
]
# Half characters are no text, and no name holds a control character or a break of lines.
SIGNS = st.characters(exclude_categories=["Cs", "Cc", "Zl", "Zp"])
WORDS = st.one_of(st.sampled_from(ODD), st.text(SIGNS, min_size=1))
SCHEME = """
[facts.back]
values = ["left", "right", "behind", "none"]
sided = true
[facts.surface]
values = [2, 3, 4]
per_side = true
[facts.motion]
values = [true, false]
[facts.concept]
values = ["inside zone", "split zone", "power", "pass"]
[facts."wing goes"]
values = ["stays", "leads"]
[positions.Keel]
side = "left"
"""


@pytest.fixture(scope="module")
def scheme() -> Scheme:
    """Make a scheme with every kind of fact."""
    return parse_scheme(SCHEME, "facts")


@settings(max_examples=80)
@given(schemes())
def test_every_condition_can_be_written_on_one_line(scheme: dict[str, Any]) -> None:
    """Spelled and read again, a condition of any scheme is the one it was."""
    assume(completions(scheme, {}))
    parsed = parse_scheme(written(scheme), "invented")
    for rule in parsed.rules:
        sides = {parsed.positions[man].sided for man in rule.men}
        sided = sides.pop() if len(sides) == 1 else None
        when = as_written(rule.when)
        assert read_condition_text(spell_condition(when), parsed, sided=sided) == when


@settings(max_examples=60)
@given(st.lists(WORDS, min_size=2, unique=True))
def test_values_of_any_kind_stand_on_the_line(values: list[str]) -> None:
    """A coach's own words may hold bars, quotes and the words the line itself uses."""
    listed = ", ".join('"' + "".join(f"\\U{ord(s):08X}" for s in v) + '"' for v in values)
    parsed = parse_scheme(f"{SCHEME}\n[facts.odd]\nvalues = [{listed}]\n", "odd")
    when = {"odd": list(parsed.facts["odd"].values)}
    assert read_condition_text(spell_condition(when), parsed, sided=True) == when
    assert read_names(spell_names(values)) == tuple(values)


@pytest.mark.parametrize(
    ("line", "when"),
    [
        ("", {}),
        ("always", {}),
        ("back to", {"back": "to"}),
        ("wing goes leads", {"wing goes": "leads"}),
        ("concept inside zone | power; surface.to >= 3", None),
        ("surface.back not 2 <= 3", {"surface.back": {"not": 2, "max": 3}}),
        ("surface.to ≥ 3 ≤ 4", {"surface.to": {"min": 3, "max": 4}}),
        ("motion true", {"motion": True}),
        ("back any", {"back": {}}),
        ("motion yes or back away", [{"motion": True}, {"back": "away"}]),
        ("back to;", {"back": "to"}),
        ("back to him", {"back": "to"}),
        ("back To him or behind", {"back": ["to", "behind"]}),
        ("back not away from him", {"back": {"not": "away"}}),
        ("concept power or pass", {"concept": ["power", "pass"]}),
        ("concept inside zone, power or pass", {"concept": ["inside zone", "power", "pass"]}),
        ("surface 3 to him", {"surface.to": 3}),
        ("surface away from him 3", {"surface.away": 3}),
        ("surface 3 or more where the back goes", {"surface.back": {"min": 3}}),
        ("surface where the back goes 2 or fewer", {"surface.back": {"max": 2}}),
        ("no motion · back to him", {"motion": False, "back": "to"}),
        ("motion", {"motion": True}),
    ],
)
def test_what_a_coach_types_is_understood(scheme: Scheme, line: str, when: Any) -> None:
    """Lines in plain words, with or without what is not needed."""
    if when is None:
        when = {"concept": ["inside zone", "power"], "surface.to": {"min": 3}}
    assert read_condition_text(line, scheme, sided=True) == when


@pytest.mark.parametrize(
    ("line", "sided", "sentence"),
    [
        ("bak to", True, "no fact"),
        ("concept powr", True, 'did you mean "power"?'),
        ("concept", True, 'a value for "concept" is missing'),
        ("concept power |", True, 'a value for "concept" is missing'),
        ("concept power; pass", True, '"pass" is a value, not a fact'),
        ("back left", True, "write to or away"),
        ("back to", False, "write left or right"),
        ("back to", None, "name none"),
        ("back to him", False, "write left or right"),
        ("surface 3 to him", False, "write left or right"),
        ("surface 3", True, "write surface.to"),
        ("surface.to > 3", True, "write >= or <="),
        ("surface.to >= many", True, "a whole number is missing"),
        ("surface.to >= 9", True, "can never hold"),
        ('concept "power', True, "quotation mark"),
        ("back to; back away", True, "stands twice"),
        ("x" * 30_000, True, "too long"),
    ],
)
def test_a_faulty_line_costs_one_sentence(
    scheme: Scheme, line: str, sided: bool | None, sentence: str
) -> None:
    """Each mistake is told once, with what to write."""
    with pytest.raises(SchemeError) as refused:
        read_condition_text(line, scheme, sided=sided)
    assert len(refused.value.faults) == 1
    assert sentence in refused.value.faults[0].message


def test_the_words_of_a_row_can_be_typed() -> None:
    """Each line of the sample grid, typed as it stands, is the condition it was."""
    harbor = parse_scheme((week_folder() / "harbor.toml").read_text(), "harbor")
    for rule in harbor.rules:
        sided = {harbor.positions[man].sided for man in rule.men}
        typed = read_condition_text(
            rule_when(rule.when), harbor, sided=sided.pop() if len(sided) == 1 else None
        )
        assert condition_key(typed) == condition_key(as_written(rule.when))


def test_why_those_words_are_due_is_said(scheme: Scheme) -> None:
    """A form says which switch brings the words that were typed."""
    with pytest.raises(SchemeError, match="turn it on"):
        read_condition_text("back to him", scheme, sided=False, because="turn it on")


def test_one_row_however_it_is_written() -> None:
    """Order and lists of one make no other row; type and tier do."""
    one = tomllib.loads('w = { a = ["x", "y"], b = 1 }')["w"]
    two = tomllib.loads('w = [{ b = [1], a = ["y", "x"] }]')["w"]
    assert condition_key(one) == condition_key(two)
    assert row_key("base", one) == row_key("base", two) != row_key("week", two)
    ways: list[Any] = [1, True, "1"]
    assert len({condition_key({"b": way}) for way in ways}) == 3
