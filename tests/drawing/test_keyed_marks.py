"""Marks that go along with a man pass through their keys, smoothly and without overshooting."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.interpolate import PchipInterpolator

from gradecut.drawing import mark_at, marks_at, moved_by_px
from gradecut.records.marks import Mark, MarkKey
from gradecut.timebase import Pts

MOVES = st.floats(-2000, 2000, allow_nan=False).map(lambda number: round(number, 2))
GAPS = st.integers(1, 5000)


@st.composite
def keys_in_order(draw: st.DrawFn, least: int = 1) -> tuple[MarkKey, ...]:
    """Make keys of a mark in the order of their timestamps."""
    gaps = draw(st.lists(GAPS, min_size=least, max_size=8))
    at = draw(st.integers(-10_000, 10_000))
    made = []
    for gap in gaps:
        made.append(MarkKey(pts=Pts(at), by=(draw(MOVES), draw(MOVES))))
        at += gap
    return tuple(made)


def ring(*keys: MarkKey, first: int = 0, last: int = 100) -> Mark:
    """Make a ring with keys."""
    return Mark(
        angle_id="end", kind="ring", points=((50, 60),), from_pts=Pts(first), to_pts=Pts(last),
        keys=keys,
    )  # fmt: skip


@given(keys_in_order())
def test_it_passes_through_every_key(keys: tuple[MarkKey, ...]) -> None:
    """On the very frame where it was set by hand it is where it was set."""
    for key in keys:
        assert moved_by_px(keys, key.pts) == key.by


@given(keys_in_order(least=2), st.integers(0, 50))
def test_it_never_overshoots(keys: tuple[MarkKey, ...], step: int) -> None:
    """Between two keys it lies between them, and goes one way only, on each axis."""
    for one, two in pairwise(keys):
        at = [one.pts + round((two.pts - one.pts) * share / 50) for share in range(51)]
        way = [moved_by_px(keys, Pts(pts)) for pts in at]
        for axis in (0, 1):
            line = [place[axis] for place in way]
            low, high = sorted((one.by[axis], two.by[axis]))
            assert low <= line[step] <= high
            rises = [later - sooner for sooner, later in pairwise(line)]
            slack = 1e-9 * (high - low) + 1e-12
            assert min(rises) >= -slack or max(rises) <= slack


@given(keys_in_order(least=2), st.floats(0, 1))
def test_another_program_finds_the_same_place(keys: tuple[MarkKey, ...], share: float) -> None:
    """scipy.interpolate.PchipInterpolator (Fritsch and Butland 1984) agrees at any timestamp."""
    pts = Pts(round(keys[0].pts + share * (keys[-1].pts - keys[0].pts)))
    outside = PchipInterpolator([key.pts for key in keys], [key.by for key in keys])
    # It divides by products of slopes, so that steps near nought differ in rounding.
    assert np.allclose(moved_by_px(keys, pts), outside(pts), rtol=1e-6, atol=1e-6)


@given(keys_in_order(), st.integers(1, 10_000))
def test_before_the_first_key_and_after_the_last_it_stands(
    keys: tuple[MarkKey, ...], away: int
) -> None:
    """Nobody said where it goes there, so it stays where it was set last."""
    assert moved_by_px(keys, Pts(keys[0].pts - away)) == keys[0].by
    assert moved_by_px(keys, Pts(keys[-1].pts + away)) == keys[-1].by


def test_motion_has_no_corner_at_a_key() -> None:
    """Just before and just after a key in the midst of a run it goes equally fast."""
    keys = tuple(
        MarkKey(pts=Pts(at), by=by) for at, by in ((0, (0, 0)), (1000, (50, 5)), (3000, (90, 30)))
    )
    before, at, after = (moved_by_px(keys, Pts(pts)) for pts in (999, 1000, 1001))
    for axis in (0, 1):
        assert at[axis] - before[axis] == pytest.approx(after[axis] - at[axis], rel=0.01)


def test_a_mark_is_moved_whole_and_its_keys_are_used_up() -> None:
    """All its points move alike; what is moved once is not moved again."""
    keys = (MarkKey(pts=Pts(0), by=(0, 0)), MarkKey(pts=Pts(10), by=(20, -10)))
    arrow = Mark(
        angle_id="end", kind="arrow", points=((5, 5), (9, 9)), from_pts=Pts(0), to_pts=Pts(10),
        keys=keys,
    )  # fmt: skip
    there = mark_at(arrow, Pts(10))
    assert [*there.points] == [(25, -5), (29, -1)]
    assert mark_at(there, Pts(0)) == there
    assert there.id == arrow.id


def test_a_still_mark_stays_as_it_is() -> None:
    """Without keys it is anchored to the film."""
    still = ring()
    assert mark_at(still, Pts(77)) is still


def test_only_marks_seen_at_a_frame_are_given() -> None:
    """First and last frame are both in it."""
    key = MarkKey(pts=Pts(0), by=(7, 0))
    one, two = ring(key, first=10, last=20), ring(first=20, last=30)
    assert [mark.id for mark in marks_at((one, two), Pts(20))] == [one.id, two.id]
    assert [mark.id for mark in marks_at((one, two), Pts(21))] == [two.id]
    assert marks_at((one, two), Pts(10))[0].points == ((57, 60),)
