from __future__ import annotations

from dataclasses import replace

from gradecut.records import Reaction
from gradecut.reports import players_left_out, standings
from gradecut.reports.men_standings import median_reaction
from tests.grading.invented_week import RUBRIC, VANDERMOOR, aligned_week, pass_play, week


def test_men_in_order_and_the_group_last() -> None:
    """Each man once, then the group with everything."""
    told = standings([*week(), pass_play(VANDERMOOR)], RUBRIC)
    assert [one.name for one in told] == [
        "Tavin Okorie", "Brandt Lisoway", "Joss Vandermoor", "the group",
    ]  # fmt: skip
    assert [one.number for one in told] == ["44", "9", "38", ""]
    assert len(told[-1].cell.rep_ids) == 18
    assert [one.stale for one in told] == [1, 1, 1, 3]
    assert told[0].events["missed tackle"] == 2
    assert told[0].events["loaf"] == 0
    assert told[2].reasons == {("effort", "film ends early"): 1, ("fit", "out of picture"): 1}


def test_alignment_is_counted_by_itself() -> None:
    """Three men of three and one of three: the group has 7 of 9, and no other number moves."""
    plain, told = standings(week(), RUBRIC), standings(aligned_week(), RUBRIC)
    assert [(one.lined_up.n, one.lined_up.cannot) for one in told] == [
        (3, 1),
        (3, 0),
        (3, 0),
        (9, 1),
    ]
    assert told[-1].lined_up.rate == 7 / 9
    assert [
        replace(one, lined_up=bare.lined_up) for one, bare in zip(told, plain, strict=True)
    ] == [*plain]


def test_films_of_two_rates_have_no_middle_in_frames() -> None:
    """Six frames at 30 and twelve at 60 are the same time: only milliseconds have a middle."""
    slow = Reaction(frames=6, time_ms=200.2, frame_ms=1001 / 30)
    fast = Reaction(frames=12, time_ms=200.2, frame_ms=1001 / 60)
    both = median_reaction([slow, fast])
    assert both is not None
    assert (both.frames, both.time_ms, both.frame_ms, both.n) == (None, 200.2, 1001 / 30, 2)
    alike = median_reaction([slow, replace(slow, frames=1, time_ms=1001 / 30)])
    assert alike is not None
    assert (alike.frames, alike.doubtful) == (3.5, 1)
    assert median_reaction([]) is None


def test_who_is_left_out_of_what_is_shared() -> None:
    """Under 18 without consent; with consent he is in."""
    assert players_left_out(week()) == (VANDERMOOR,)
    agreed = [replace(one, player=replace(one.player, consent=True)) for one in week()]
    assert players_left_out(agreed) == ()
