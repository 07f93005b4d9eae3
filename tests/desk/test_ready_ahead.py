from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any, cast

from gradecut.desk.ready_ahead import ReadyAhead
from gradecut.timebase import Frame
from tests.desk.test_playing import place


class Told:
    """A frame server that notes what it is told."""

    def __init__(self) -> None:
        self.ahead: list[tuple[object, ...]] = []
        self.near: list[tuple[object, ...]] = []

    def prefetch(self, *told: object) -> None:
        """Note what comes next."""
        self.ahead.append(told)

    def stay_near(self, *told: object) -> None:
        """Note what is on stage."""
        self.near.append(told)


def test_a_loop_is_made_ready_before_it_turns_and_the_next_clip_after() -> None:
    """Once for each turn, half a second of the clock before it."""
    told = Told()
    ahead = ReadyAhead(cast("Any", told))
    here, following = place(90), replace(place(60), path="2.mp4")
    ahead.follow_with(following)
    ahead.begin()
    for frame in range(30, 90):
        ahead.near_turn(here, Frame(frame), Fraction(1))
    ahead.turned()
    assert told.ahead == [("2.mp4", 0, 0, 59), ("1.mp4", 0, 0, 89), ("2.mp4", 0, 0, 59)]
    told.ahead.clear()
    ahead.near_turn(here, Frame(70), Fraction(1))
    assert not told.ahead
    ahead.near_turn(here, Frame(70), Fraction(2))
    assert told.ahead == [("1.mp4", 0, 0, 89)]


def test_only_film_that_is_there_is_made_ready() -> None:
    """A film that was not found is not asked for."""
    told = Told()
    ahead = ReadyAhead(cast("Any", told))
    ahead.stay_near(replace(place(), path=None), Frame(3))
    ahead.stay_near(None, Frame(3))
    assert not told.near
    ahead.stay_near(place(), Frame(3))
    assert told.near == [("1.mp4", 0, 299, 3)]
