from __future__ import annotations

import pytest

from gradecut.desk.scheme_part_kinds import PART_KINDS
from gradecut.desk.scheme_part_lines import Saying
from gradecut.errors import SchemeError
from gradecut.samples import week_folder
from gradecut.scheme import Scheme, parse_scheme

HARBOR = (week_folder() / "harbor.toml").read_text()
NEW = {
    "fits": {"name": "slant C", "job": "slant", "gap": "C", "steps": "2", "owns": "cutback",
             "misses": "too flat\ncaught = half", "graded": "yes"},
    "facts": {"name": "motion", "asks": "Did he move?", "values": "yes, no", "known": "before",
              "applies": "wing left | right", "had": "yes = had the wing moved"},
    "men": {"name": "Sloop", "group": "linebackers", "side": "same as strength", "graded": "yes"},
    "tiers": {"name": "pull", "place": "2"},
    "duties": {"name": "someone is deep", "when": "concept power", "owned": "deep",
               "at_least": "0"},
    "impossible": {"when": "concept midline; back none"},
    "alignments": {"for": "Bow, Keel", "tier": "week", "when": "surface.to 3", "depth_yd": "4.5",
                   "landmark": "C", "side": "to", "tolerance_yd": "1"},
}  # fmt: skip


def harbor(text: str = HARBOR) -> Scheme:
    """Read the sample scheme."""
    return parse_scheme(text, "harbor")


@pytest.mark.parametrize("kind", PART_KINDS)
def test_what_is_shown_and_written_back_changes_nothing(kind: str) -> None:
    """Every part of the sample scheme, shown and written as it stands, leaves each letter."""
    scheme, part = harbor(), PART_KINDS[kind]
    for entry in part.entries(scheme):
        assert part.change(HARBOR, scheme, entry, Saying(entry.told)) == HARBOR


@pytest.mark.parametrize("kind", PART_KINDS)
def test_a_part_added_is_shown_as_it_was_told(kind: str) -> None:
    """What was filled in stands in the lines of the new part; all else stays."""
    scheme, part = harbor(), PART_KINDS[kind]
    made = harbor(part.add(HARBOR, scheme, Saying(NEW[kind])))
    before = [entry.told for entry in part.entries(scheme)]
    new = [entry.told for entry in part.entries(made) if entry.told not in before]
    if kind == "tiers":
        assert made.tiers == ("base", "pull", "week")
        return
    told = {key: value for key, value in new[-1].items() if value}
    if kind == "alignments":
        told["for"] = ", ".join(sorted({one["for"] for one in new}))
    assert told == NEW[kind]


@pytest.mark.parametrize("kind", PART_KINDS)
def test_a_part_added_can_be_dropped(kind: str) -> None:
    """Dropping the part just added leaves the scheme that was there."""
    scheme, part = harbor(), PART_KINDS[kind]
    text = part.add(HARBOR, scheme, Saying(NEW[kind]))
    before = [entry.told for entry in part.entries(scheme)]
    names = {entry.name for entry in part.entries(scheme)}
    while True:
        made = harbor(text)
        new = [one for one in part.entries(made) if one.told not in before]
        new = [one for one in new if one.told["name"] == "pull"] if kind == "tiers" else new
        if not new:
            break
        text = part.drop(text, made, new[0])
    assert {entry.name for entry in part.entries(made)} == names


def test_a_value_that_gets_another_name_gets_it_in_every_rule() -> None:
    """One answer written otherwise is a new name for it, not a new answer."""
    scheme, part = harbor(), PART_KINDS["facts"]
    entry = next(one for one in part.entries(scheme) if one.key == "concept")
    told = {**entry.told, "values": entry.told["values"].replace("counter", "counter trey")}
    made = harbor(part.change(HARBOR, scheme, entry, Saying(told)))
    assert "counter trey" in made.facts["concept"].values
    assert any("counter trey" in str(rule.when) for rule in made.rules)


def test_an_empty_line_that_is_needed_is_told() -> None:
    """A fit without a name or a job, a depth that is no number: one sentence."""
    scheme = harbor()
    with pytest.raises(SchemeError, match="job is still empty"):
        PART_KINDS["fits"].add(HARBOR, scheme, Saying({"name": "x"}))
    told = {**NEW["alignments"], "depth_yd": "deep"}
    with pytest.raises(SchemeError, match="depth has to be a number"):
        PART_KINDS["alignments"].add(HARBOR, scheme, Saying(told))


def test_a_fact_is_listed_in_plain_words() -> None:
    """The list writes "wing goes"; the line of its name keeps what the file calls it."""
    text = HARBOR + (
        '\n[facts.wing_goes]\nasks = "Where does the wing go?"\nvalues = ["stays", "leads"]\n'
    )
    entries = {entry.key: entry for entry in PART_KINDS["facts"].entries(harbor(text))}
    assert entries["wing_goes"].name == "wing goes"
    assert entries["wing_goes"].told["name"] == "wing_goes"


@pytest.mark.parametrize(("kind", "key"), [("fits", "side"), ("men", "side")])
def test_what_may_stand_for_a_side_is_told_with_a_whole_example(kind: str, key: str) -> None:
    """The line to type in is shown as it is typed."""
    (field,) = (one for one in PART_KINDS[kind].fields(harbor()) if one.key == key)
    assert "“same as run, otherwise left”" in field.hint
