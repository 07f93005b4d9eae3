"""Keys of a mark are set, moved, taken away and thinned."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.desk.mark_keys import few_keys, with_key, with_keys, without_key
from gradecut.drawing import mark_at, moved_by_px
from gradecut.records import Mark, MarkKey
from gradecut.timebase import Pts

RING = Mark(angle_id="end", kind="ring", points=((50, 60),), from_pts=Pts(10), to_pts=Pts(20))
STEPS = st.lists(st.tuples(st.integers(-40, 40), st.integers(-40, 40)), min_size=1, max_size=30)


def keys_along(steps: list[tuple[int, int]]) -> list[MarkKey]:
    """Make a key a frame of a man who walks by these steps."""
    x = y = 0
    found = []
    for at, (dx, dy) in enumerate(steps):
        x, y = x + dx, y + dy
        found.append(MarkKey(pts=Pts(512 * at), by=(x, y)))
    return found


def test_a_key_set_where_it_is_moves_nothing() -> None:
    """Going along begins where it stands; a second key in between changes no place at a key."""
    first = with_key(RING, Pts(12))
    assert mark_at(first, Pts(12)).points == RING.points
    gone = with_key(first, Pts(18), (30, 6))
    between = with_key(gone, Pts(15))
    assert mark_at(between, Pts(15)).points == mark_at(gone, Pts(15)).points
    assert [key.pts for key in between.keys] == [12, 15, 18]


def test_a_key_at_the_same_frame_replaces_the_one_there() -> None:
    """There is one place for one frame."""
    mark = with_key(with_key(RING, Pts(12)), Pts(12), (5, 5))
    assert mark.keys == (MarkKey(pts=Pts(12), by=(5, 5)),)


def test_a_key_beyond_its_frames_lets_it_be_seen_there() -> None:
    """Moved to where he is on a later frame, it is seen up to that frame."""
    mark = with_key(with_key(RING, Pts(12)), Pts(40), (9, 9))
    assert (mark.from_pts, mark.to_pts) == (10, 40)
    assert with_key(mark, Pts(2), (0, 0)).from_pts == 2


def test_the_last_key_taken_away_leaves_it_where_that_was() -> None:
    """It stands still again, in the very place."""
    mark = with_key(RING, Pts(12), (7, -3))
    still = without_key(mark, Pts(12))
    assert still.keys == ()
    assert still.points == mark_at(mark, Pts(12)).points
    two = with_key(mark, Pts(18), (9, 9))
    assert without_key(two, Pts(12)).keys == (MarkKey(pts=Pts(18), by=(9, 9)),)
    assert without_key(RING, Pts(12)) == RING


@given(STEPS, st.floats(0.5, 30))
def test_few_keys_come_as_near_as_asked(steps: list[tuple[int, int]], tolerance: float) -> None:
    """Followed frame by frame and thinned, it is never farther from the hand than allowed."""
    keys = keys_along(steps)
    few = few_keys(keys, tolerance)
    assert set(few) <= set(keys)
    for key in keys:
        x, y = moved_by_px(few, key.pts)
        assert hypot(x - key.by[0], y - key.by[1]) <= tolerance


def test_a_straight_run_needs_two_keys() -> None:
    """Even speed in one direction: its first and its last frame say it all."""
    keys = keys_along([(3, 1)] * 20)
    assert few_keys(keys, 1.0) == (keys[0], keys[-1])


def test_followed_frames_replace_what_was_set_there_before() -> None:
    """Keys before and after the frames he was followed on stay."""
    old = tuple(MarkKey(pts=Pts(at), by=(at, 0)) for at in (0, 10, 30))
    mark = with_keys(
        replace(RING, keys=old), [MarkKey(pts=Pts(8), by=(1, 1)), MarkKey(pts=Pts(12), by=(2, 2))]
    )
    assert [key.pts for key in mark.keys] == [0, 8, 12, 30]
    assert moved_by_px(mark.keys, Pts(10)) == pytest.approx((1.5, 1.5), abs=0.5)
