from __future__ import annotations

from gradecut.desk.scheme_fits import fit_choices
from gradecut.samples import week_folder
from gradecut.scheme import load_scheme

HARBOR = load_scheme(week_folder() / "harbor.toml")


def names(typed: str, *used: str, man: str = "") -> list[str]:
    """Return the names of the fits that go with some letters."""
    return [choice.name for choice in fit_choices(HARBOR, typed, used, man)]


def test_letters_find_fits_by_beginning_initials_and_content() -> None:
    """What begins with them comes before first letters of words, and these before the rest."""
    assert names("fill") == ["fill A", "fill B"]
    assert names("fa") == ["fill A", "fold A"]
    assert names("ov d") == ["overlap D"]
    assert names("quee") == ["squeeze B", "squeeze C", "squeeze D"]
    assert names("xyz") == []


def test_fits_used_last_come_first_then_those_of_the_man() -> None:
    """The list learns from the coach: last used on top, then what this man has elsewhere."""
    assert names("", "hold B", "box A", man="Port")[:2] == ["hold B", "box A"]
    his = {rule.fit for rule in HARBOR.rules if "Port" in rule.men}
    assert set(names("", man="Port")[: len(his)]) == his
