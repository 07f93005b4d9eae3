from __future__ import annotations

from gradecut.desk.scheme_conditions import (
    AskedFact,
    admitted,
    asked_facts,
    joined,
    parted,
    when_of_look,
    with_values,
)
from gradecut.samples import week_folder
from gradecut.scheme import Scheme, Value, load_scheme

RUN = AskedFact(reference="run", name="run", asks="", values=("to", "away"), may_lack=True)
BACK = AskedFact(reference="back", name="back", asks="", values=("to", "away", "none"))


def harbor() -> Scheme:
    """Load the sample scheme."""
    return load_scheme(week_folder() / "harbor.toml")


def test_facts_are_asked_as_the_man_sees_them() -> None:
    """For a man with a side, sides are to and away; a fact told per side is asked for each."""
    asked = {one.reference: one for one in asked_facts(harbor(), sided=True)}
    assert asked["run"].values == ("to", "away")
    assert asked["surface.to"].name == "surface to him"
    assert asked["surface.run"].name == "surface where the run goes"
    plain = {one.reference: one for one in asked_facts(harbor(), sided=False)}
    assert plain["run"].values == ("left", "right")
    assert "surface.left" in plain


def test_an_entry_lets_through_what_the_language_says() -> None:
    """Equal, one of, not, and bounds, as in the page of the language."""
    assert admitted(3, (2, 3, 4)) == (3,)
    assert admitted(["a", "b"], ("a", "b", "c")) == ("a", "b")
    assert admitted({"not": "a"}, ("a", "b")) == ("b",)
    assert admitted({"min": 3, "not": [4]}, (2, 3, 4, 5)) == (3, 5)
    assert admitted(1, (True, 1)) == (1,)


def test_pressed_values_make_an_entry() -> None:
    """One value, several, or none or all of them: then nothing is asked."""
    when = {"run": "to", "back": "to"}
    assert with_values(when, "run", ["away"], ("to", "away")) == {"run": "away", "back": "to"}
    assert with_values(when, "run", ["to", "away"], ("to", "away")) == {"back": "to"}
    assert with_values({}, "back", ["to", "none"], BACK.values) == {"back": ["to", "none"]}


def test_a_split_loses_no_look() -> None:
    """Where a fact may have no value, the looks without one go with the others."""
    assert parted({"concept": "power"}, RUN, ["to"]) == (
        {"concept": "power", "run": "to"},
        {"concept": "power", "run": {"not": "to"}},
    )
    assert parted({"back": ["to", "none"]}, BACK, ["to"]) == ({"back": "to"}, {"back": "none"})
    assert parted({"back": "to"}, BACK, ["to"]) is None


def test_conditions_that_differ_in_one_fact_are_joined() -> None:
    """The values of both; anything else that differs is no join."""
    assert joined({"a": 1, "b": "x"}, {"a": 2, "b": "x"}) == {"a": [1, 2], "b": "x"}
    assert joined({"a": 1, "b": "x"}, {"a": 2, "b": "y"}) is None
    assert joined({"a": 1}, {"b": 1}) is None
    assert joined({"a": {"min": 1}}, {"a": 3}) is None


def test_a_look_is_written_from_the_mans_own_side() -> None:
    """Left and right become to and away; what only tells his side is left out."""
    look: dict[str, Value] = {
        "strength": "left",
        "surface.left": 3,
        "surface.right": 2,
        "run": "right",
    }
    assert when_of_look(harbor(), look, "Keel") == {
        "surface.to": 3, "surface.away": 2, "run": "away",
    }  # fmt: skip
    assert when_of_look(harbor(), look, "Port") == {
        "surface.away": 3, "surface.to": 2, "run": "to",
    }  # fmt: skip
    assert when_of_look(harbor(), {"run": "right"}, "Keel") == {"run": ["to", "away"]}
