from __future__ import annotations

from gradecut.desk.what_if import WhatIf
from gradecut.samples import week_folder
from gradecut.scheme import load_scheme

POWER = {
    "strength": "right",
    "surface.left": 2,
    "surface.right": 3,
    "back": "left",
    "wing": "none",
    "concept": "power",
    "run": "right",
}


def what_if(said: list[str] | None = None) -> WhatIf:
    """Begin with Harbor and nothing known."""
    scheme = load_scheme(week_folder() / "harbor.toml")
    return WhatIf(scheme, (said if said is not None else []).append, "linebackers")


def test_questions_come_in_the_order_a_play_shows_them() -> None:
    """With no fact told every man is open; asked is what is seen first of what matters."""
    asked = what_if()
    assert asked.question() == "Which side is the strength?"
    asked.tell("strength", "right")
    asked.tell("surface.left", 2)
    asked.tell("surface.right", 3)
    assert asked.question() == "What did they run?"  # where the back is settles nothing
    assert not any(row.settled for row in asked.men() if row.graded)


def test_power_right_is_as_on_the_page_of_the_play() -> None:
    """Told all of power right, each man owes what Harbor says (its rules R07, R20, R30)."""
    asked = what_if()
    asked.start_from(POWER)
    owed = {row.position: (row.owes, row.told_by) for row in asked.men() if row.graded}
    assert owed["Bow"] == ("spill D, right", "R07 · base")
    assert owed["Keel"] == ("overlap D, right", "R20 · base")
    assert owed["Port"] == ("fold A, right", "R30 · base")
    assert asked.question() is None


def test_a_fact_is_taken_back() -> None:
    """Taking a fact back makes the men it settled open again."""
    asked = what_if()
    asked.start_from(POWER)
    asked.tell("concept", None)
    assert "concept" not in asked.look
    assert asked.question() == "What did they run?"


def test_a_fact_that_has_no_place_any_more_goes() -> None:
    """A pass has no run side: telling the pass drops it instead of refusing."""
    asked = what_if()
    asked.start_from(POWER)
    asked.tell("concept", "pass")
    assert "run" not in asked.look
    assert asked.look["concept"] == "pass"


def test_a_look_that_cannot_be_is_refused_in_a_sentence() -> None:
    """A value the scheme does not have is said, and the look stays as it was."""
    said: list[str] = []
    asked = what_if(said)
    asked.tell("back", "sideways")
    assert asked.look == {}
    assert "sideways" in said[0]


def test_the_picture_shows_each_man_at_his_gap() -> None:
    """The picture has the graded men with the gap and side they owe, and the front's gaps."""
    asked = what_if()
    asked.start_from(POWER)
    picture = asked.picture()
    keel = next(man for man in picture.men if man.position == "Keel")
    assert (keel.owed_gap, keel.owed_side) == ("D", "right")
    assert keel.at_yd is not None
    assert ("A", "left") in picture.front


def test_a_look_of_another_version_is_taken_as_far_as_it_is_known() -> None:
    """A fact and a value the scheme does not have are passed over; nothing is refused."""
    said: list[str] = []
    asked = what_if(said)
    asked.start_from({"run": "left", "concept": "of another year", "weather": "rain"})
    assert asked.look == {"run": "left"}
    assert said == []


def test_where_a_man_lines_up_is_told() -> None:
    """Told of the surface Bow has his alignment (rule A02); before, and for the front, none."""
    asked = what_if()
    assert {row.lines_up for row in asked.men()} == {""}
    asked.start_from(POWER)
    told = {row.position: row.lines_up for row in asked.men()}
    assert told["Bow"].startswith("1 yd deep, outside the tight end right, within 0.5 yd")
    assert told["Anchor"] == ""
