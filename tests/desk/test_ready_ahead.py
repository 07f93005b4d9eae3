from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import Any, cast

from gradecut.desk.film_place import FilmPlace
from gradecut.desk.ready_ahead import ReadyAhead
from gradecut.records import Moment
from gradecut.timebase import Frame, Pts
from gradecut.workflows.moments import Timeline
from tests.desk.test_playing import place


class Told:
    """A frame server that notes what it is told."""

    def __init__(self) -> None:
        self.ahead: list[tuple[object, ...]] = []
        self.near: list[tuple[object, ...]] = []
        self.goals: list[tuple[object, object]] = []

    def prefetch(self, *told: object) -> None:
        """Note what comes next."""
        self.ahead.append(told)

    def stay_near(self, *told: object) -> None:
        """Note what is on stage."""
        self.near.append(told)

    def keep_ready(self, goals: object, *, at_rest: object) -> None:
        """Note what one key leads to."""
        self.goals.append((goals, list(cast("Any", at_rest))))


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


def two_angles() -> tuple[FilmPlace, FilmPlace]:
    """Make a play of two angles; its snap is marked on both, a step on the first."""
    end, side = place(200), place(300)
    line = Timeline(
        angles=[end.angle, side.angle],
        films={one.film.id: one.film for one in (end, side)},
        moments=[
            Moment(angle_id=end.angle.id, kind="snap", pts=Pts(60)),
            Moment(angle_id=end.angle.id, kind="whistle", pts=Pts(150)),
            Moment(angle_id=side.angle.id, kind="snap", pts=Pts(100)),
        ],
    )
    return replace(end, timeline=line), replace(side, timeline=line, path="side.mp4")


def test_what_one_key_leads_to_is_told_to_the_frame_server() -> None:
    """The snap with the steps after it, other moments, the other angle; then the next plays."""
    told = Told()
    ahead = ReadyAhead(cast("Any", told))
    end, side = two_angles()
    following, later = replace(place(60), path="2.mp4"), replace(place(60), path="3.mp4")
    ahead.beside([side])
    ahead.follow_with(following, later)
    ahead.stay_near(end, Frame(30))
    goals, at_rest = told.goals[-1]
    assert goals == [
        *(("1.mp4", frame) for frame in range(60, 67)), ("1.mp4", 150),
        ("side.mp4", 70), ("side.mp4", 100), ("3.mp4", 0),
    ]  # fmt: skip
    assert at_rest == []
    assert told.ahead == [("2.mp4", 0, 0, 59)]


def test_the_same_moment_of_the_other_angle_follows_the_playhead_where_it_stands() -> None:
    """Forty frames apart by their snaps; while the film runs it is not asked for."""
    told = Told()
    ahead = ReadyAhead(cast("Any", told))
    end, side = two_angles()
    ahead.beside([side])
    ahead.stay_near(end, Frame(70), standing=True)
    ahead.stay_near(end, Frame(71))
    ahead.stay_near(end, Frame(80), standing=True)
    assert [at_rest for _, at_rest in told.goals] == [[("side.mp4", 110)], [("side.mp4", 120)]]
