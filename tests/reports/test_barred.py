"""Whose film stays with the staff is told with what is known of each man's age."""

from __future__ import annotations

from dataclasses import replace

from gradecut.records import AGE_NOT_TOLD, Player
from gradecut.reports.barred import barred_words
from gradecut.reports.cautions import STAFF_ONLY, staff_only

YOUNG = Player(name="Fenn Orchard", under_18=True)
UNTOLD = Player(name="Ike Marsh", under_18=True, remark=f"{AGE_NOT_TOLD}: counts as under 18")


def test_a_man_whose_age_nobody_told_is_not_called_under_18() -> None:
    """He is kept out all the same, and the words say no more than is known."""
    assert not UNTOLD.may_be_shared
    assert barred_words([YOUNG, UNTOLD]) == (
        "under 18 without consent on file: Fenn Orchard; Ike Marsh, whose age is not on the roster"
    )
    assert barred_words([UNTOLD, replace(UNTOLD, name="Bo Lang")]) == (
        "Ike Marsh and Bo Lang, whose age is not on the roster"
    )
    assert barred_words([YOUNG]) == "under 18 without consent on file: Fenn Orchard"
    assert barred_words([]) == ""


def test_an_unknown_man_has_no_age_told() -> None:
    """Nobody knows who he is, so nobody can have told how old."""
    assert not Player(name="Unknown-1", under_18=True, unknown=True).age_told
    assert YOUNG.age_told


def test_his_sheet_says_why_it_stays_with_the_staff() -> None:
    """Under 18, or of an age nobody told."""
    assert staff_only(YOUNG) == STAFF_ONLY
    assert "his age is not on the roster" in staff_only(UNTOLD)
