"""Corrections on the strip are taken back and made again, the last first."""

from __future__ import annotations

from gradecut.desk.cutting_corrections import Corrections, State
from gradecut.desk.cutting_steps import Cut
from gradecut.timebase import Frame


def state(*edges: tuple[int, int]) -> State:
    """Give plays, the first in hand."""
    return tuple(Cut(first=Frame(first), last=Frame(last)) for first, last in edges), 0


FIRST, SECOND, THIRD = state((0, 9)), state((0, 7)), state((0, 7), (8, 9))


def test_what_was_taken_back_can_be_made_again() -> None:
    """There and back gives the very plays; at either end there is nothing more."""
    kept = Corrections()
    assert kept.take_back(FIRST) is None
    kept.note(FIRST)
    kept.note(SECOND)
    assert kept.take_back(THIRD) == SECOND
    assert kept.take_back(SECOND) == FIRST
    assert not kept
    assert kept.make_again(FIRST) == SECOND
    assert kept.make_again(SECOND) == THIRD
    assert kept.make_again(THIRD) is None
    assert kept


def test_a_new_correction_forgets_what_was_taken_back() -> None:
    """What comes after it is no more."""
    kept = Corrections()
    kept.note(FIRST)
    assert kept.take_back(SECOND) == FIRST
    kept.note(FIRST)
    assert kept.make_again(THIRD) is None
    kept.forget()
    assert not kept
    assert kept.take_back(THIRD) is None
