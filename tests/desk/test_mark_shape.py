"""Marks under the hand: their outline, their points, how near a touch is."""

from __future__ import annotations

from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.desk.mark_shape import (
    Point,
    distance_px,
    handles,
    moved,
    outline,
    reshaped,
    thinned,
)
from gradecut.records import Mark, MarkKind
from gradecut.timebase import Pts

HIGH = 720.0
WAYS = st.lists(st.tuples(st.integers(0, 1279), st.integers(0, 719)), min_size=2, max_size=40)


def mark(kind: MarkKind, *points: Point, text: str = "") -> Mark:
    """Make a mark of some points."""
    return Mark(angle_id="end", kind=kind, points=points, from_pts=Pts(0), to_pts=Pts(0), text=text)


def from_way(at: Point, way: tuple[Point, ...]) -> float:
    """Return how far a point is from a way, in pixels."""
    return distance_px(mark("path", *way), at, HIGH)


@given(WAYS, st.floats(0.5, 20))
def test_a_thinned_way_keeps_its_ends_and_comes_near_every_point(
    way: list[Point], tolerance: float
) -> None:
    """What was drawn is never farther from what is kept than was allowed."""
    kept = thinned(way, tolerance)
    assert (kept[0], kept[-1]) == (way[0], way[-1])
    assert set(kept) <= set(way)
    assert all(from_way(at, kept) <= tolerance + 1e-9 for at in way)


def test_points_on_a_straight_line_are_left_out() -> None:
    """A hand that went straight leaves two points to reshape by."""
    assert thinned([(float(x), 5.0) for x in range(50)], 1) == ((0, 5), (49, 5))


@pytest.mark.parametrize("kind", ["arrow", "lane", "box", "ruler", "path"])
def test_a_touch_is_no_outline(kind: MarkKind) -> None:
    """What has a length or a size needs a hand that moved."""
    assert outline(kind, [(50, 50), (53, 52)], HIGH) is None
    assert outline(kind, [(50, 50), (120, 90)], HIGH) is not None


def test_a_path_that_comes_back_to_its_start_is_one() -> None:
    """Its length counts, not how far its end is from its beginning."""
    assert outline("path", [(50, 50), (120, 50), (50, 50)], HIGH) is not None


def test_a_lane_is_as_wide_everywhere() -> None:
    """Four corners, the long sides along the way of the hand."""
    corners = outline("lane", [(100, 100), (300, 100)], HIGH)
    assert corners is not None
    assert {x for x, _ in corners} == {100, 300}
    ys = sorted({y for _, y in corners})
    assert ys[1] - ys[0] == pytest.approx(2 * 0.03 * HIGH)


@pytest.mark.parametrize("kind", ["bracket", "text"])
def test_what_has_one_point_is_only_moved(kind: MarkKind) -> None:
    """It has no point of its own to be reshaped by."""
    assert handles(mark(kind, (5, 5)), HIGH) == ()


@given(st.integers(0, 3), st.tuples(st.floats(0, 1000), st.floats(0, 700)))
def test_a_boxs_corner_goes_where_it_is_put_and_the_opposite_one_stays(
    corner: int, to: Point
) -> None:
    """The corner stays the same one however often it is moved, also across the others."""
    box = mark("box", (300, 200), (500, 400))
    opposite = handles(box, HIGH)[(corner + 2) % 4]
    once = reshaped(box, corner, (10.0, 650.0))
    twice = reshaped(once, corner, to)
    assert handles(twice, HIGH)[corner] == to
    assert handles(twice, HIGH)[(corner + 2) % 4] == opposite
    assert len(twice.points) == 2


@given(st.floats(12, 400), st.floats(-50, 50))
def test_a_ring_is_as_wide_as_its_edge_is_put(far: float, aside: float) -> None:
    """To either side of its middle, which stays; what lies in it is touched as it."""
    ring = mark("ring", (500, 300))
    (usual,) = handles(ring, HIGH)
    assert usual[0] > 500
    for way in (-1, 1):
        wide = reshaped(ring, 0, (500 + way * far, 300 + aside))
        assert wide.points[0] == (500, 300)
        assert handles(wide, HIGH)[0] == pytest.approx((500 + far, 300))
        assert distance_px(wide, (500 + 0.9 * far, 300), HIGH) == 0
        assert distance_px(wide, (500 + far + 40, 300), HIGH) == pytest.approx(40)
        assert handles(moved(wide, (10, 5)), HIGH)[0] == pytest.approx((510 + far, 305))


def test_a_ring_made_too_small_can_still_be_taken_hold_of() -> None:
    """Its edge does not come nearer to its middle than a hand can tell."""
    dot = reshaped(mark("ring", (500, 300)), 0, (500, 300))
    assert handles(dot, HIGH)[0][0] - 500 > 8


def test_one_point_of_an_arrow_moves_alone() -> None:
    """The other end stays."""
    arrow = mark("arrow", (10, 10), (90, 40))
    assert reshaped(arrow, 1, (70, 70)).points == ((10, 10), (70, 70))
    assert moved(arrow, (5, -5)).points == ((15, 5), (95, 35))


TOUCHES = [
    # Which mark, where it is touched, and whether that is on it: by hand from the sizes at 720.
    (mark("ring", (100, 100)), (130, 100), True),
    (mark("ring", (100, 100)), (100, 100), True),
    (mark("ring", (100, 100)), (100, 150), False),
    (mark("arrow", (100, 100), (300, 100)), (200, 104), True),
    (mark("arrow", (100, 100), (300, 100)), (340, 100), False),
    (mark("box", (100, 100), (300, 300)), (100, 200), True),
    (mark("box", (100, 100), (300, 300)), (200, 200), False),
    (mark("lane", (100, 100), (300, 100), (300, 300), (100, 300)), (200, 200), True),
    (mark("lane", (100, 100), (300, 100), (300, 300), (100, 300)), (350, 200), False),
    (mark("text", (400, 300), text="cutback lane here"), (460, 305), True),
    (mark("text", (400, 300), text="cutback lane here"), (600, 305), False),
]


@pytest.mark.parametrize(("touched", "at", "is_on"), TOUCHES)
def test_a_touch_is_on_what_is_seen(touched: Mark, at: Point, is_on: bool) -> None:
    """A ring's rim and middle, a line, a frame, a lane's inside, words: not the empty film."""
    assert (distance_px(touched, at, HIGH) <= 0.035 * HIGH) == is_on


def test_a_line_over_a_lane_comes_first() -> None:
    """A touch on an arrow that crosses a lane takes the arrow."""
    lane = mark("lane", (100, 100), (300, 100), (300, 300), (100, 300))
    arrow = mark("arrow", (150, 200), (250, 210))
    at = (200.0, 206.0)
    assert distance_px(arrow, at, HIGH) < distance_px(lane, at, HIGH)


def test_touches_reach_as_far_on_film_of_any_size() -> None:
    """A ring on film twice as high is twice as large to the hand."""
    at = (166.0, 100.0)
    ring = mark("ring", (100, 100))
    assert distance_px(ring, at, HIGH) == pytest.approx(33)
    assert distance_px(ring, at, 2 * HIGH) == pytest.approx(0)
    assert hypot(66, 0) == 66
