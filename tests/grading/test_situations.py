from __future__ import annotations

from dataclasses import replace

import pytest

from gradecut.errors import LookError
from gradecut.grading import situations_of
from gradecut.records import RepLine
from tests.grading.invented_week import LISOWAY, aligned_week, line

FIRST, SECOND = line(LISOWAY, "+", 2), line(LISOWAY, "+", 4)


def test_joined_as_a_coach_says_it() -> None:
    """Concept and run side make "power to"."""
    assert situations_of([FIRST, SECOND], ("concept", "run side")) == [
        ("power to", True),
        ("counter to", True),
    ]


@pytest.mark.parametrize(
    ("by", "told"),
    [
        ("position", "Bow"),
        ("period", "Team"),
        ("session", "Monday practice"),
        ("fit", "spill D"),
        ("run", "run right"),
        ("motion", "motion no"),
    ],
)
def test_words_and_facts(by: str, told: str) -> None:
    """A board can be cut by words of the rep and by facts; bare sides and yes or no get a name."""
    assert situations_of([FIRST], (by,)) == [(told, True)]


def test_how_men_lined_up_cuts_a_board() -> None:
    """Right, off and what can't be told are columns; what nobody judged is named as such."""
    told = situations_of(aligned_week(), ("lined up",))
    assert told.count(("lined up right", True)) == 7
    assert told.count(("lined up off", True)) == 2
    assert told.count(("alignment can't be told", True)) == 1
    assert told.count(("alignment not judged", False)) == 8


def test_what_nobody_recorded_is_named_so() -> None:
    """A look without the concept does not fall into another column."""
    blank: RepLine = replace(SECOND, look={}, run_side=None)
    assert situations_of([FIRST, blank], ("concept", "run side")) == [
        ("power to", True),
        ("concept not known, side not known", False),
    ]


def test_an_unknown_fact_names_the_nearest() -> None:
    """A slip of the pen is answered with the fact that was meant."""
    with pytest.raises(LookError, match="did you mean “concept”"):
        situations_of([FIRST], ("concpt",))
    with pytest.raises(LookError, match="try one of run side"):
        situations_of([FIRST], ("xyz",))


def test_no_reps_no_complaint() -> None:
    """An empty week has no situations, and no name is wrong yet."""
    assert situations_of([], ("concept",)) == []
