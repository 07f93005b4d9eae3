from __future__ import annotations

from gradecut.workflows.card_script import CardScript
from gradecut.workflows.script import ScriptLine


def lines(*numbers: int) -> list[ScriptLine]:
    """Write a script of nothing but numbers."""
    return [ScriptLine(number=number, told={}, look={}, men={}) for number in numbers]


def numbers_of(script: CardScript, *plays: int) -> list[int | None]:
    """Return the script number each play is matched to."""
    found = [script.line_of(play) for play in plays]
    return [None if line is None else line.number for line in found]


def test_plays_are_matched_by_their_place() -> None:
    """Play 2 is the second line; past the end there is none."""
    assert numbers_of(CardScript(lines(11, 12, 13), None, None), 1, 2, 3, 4) == [11, 12, 13, None]


def test_a_sheet_of_the_new_plays_only_begins_after_those_that_were_there() -> None:
    """Ten plays were there; the sheet has three, so play 11 is its first line."""
    script = CardScript(lines(1, 2, 3), None, None)
    script.before = 10
    assert numbers_of(script, 11, 13, 14) == [1, 3, None]


def test_a_sheet_of_the_whole_session_goes_on_where_the_plays_do() -> None:
    """Two plays were there; the sheet has four, so play 3 is its third line."""
    script = CardScript(lines(1, 2, 3, 4), None, None)
    script.before = 2
    assert numbers_of(script, 3, 4) == [3, 4]


def test_a_script_that_drifted_is_matched_from_where_it_did() -> None:
    """From play 3 on, which really was number 5; before it nothing is said."""
    script = CardScript(lines(1, 2, 5, 6), 3, 5)
    assert numbers_of(script, 2, 3, 4, 5) == [None, 5, 6, None]
