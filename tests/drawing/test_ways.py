"""The way of a man is a smooth line through the points that were set."""

from __future__ import annotations

from itertools import pairwise
from math import atan2, hypot, pi

from hypothesis import given
from hypothesis import strategies as st

from gradecut.drawing._ways import smooth_way

POINTS = st.lists(st.tuples(st.integers(0, 1280), st.integers(0, 720)), min_size=3, max_size=9)


@given(POINTS)
def test_it_passes_through_every_point_in_order(points: list[tuple[float, float]]) -> None:
    """What was set by hand is on the line."""
    way = list(smooth_way(points))
    assert (way[0], way[-1]) == (points[0], points[-1])
    at = 0
    for point in points:
        at = way.index(point, at)


@given(POINTS)
def test_it_stays_near_the_points(points: list[tuple[float, float]]) -> None:
    """Between two points it bulges by no more than their distance."""
    way = smooth_way(points)
    longest = max(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(points))
    for x, y in way:
        assert min(hypot(x - a, y - b) for a, b in points) <= longest + 1e-6


def test_points_on_top_of_each_other_do_no_harm() -> None:
    """However near a hand sets two points, the line is drawn, from the first to the last."""
    way = smooth_way([(0.0, 0.0), (0.0, 10.0), (1e-45, 10.0), (0.0, 10.01)])
    assert (way[0], way[-1]) == ((0, 0), (0, 10.01))


def test_a_corner_becomes_a_bend() -> None:
    """No two neighbouring steps of the line turn by more than a small angle."""
    way = smooth_way([(0, 0), (100, 0), (100, 100)])
    turns = []
    for (ax, ay), (bx, by), (cx, cy) in zip(way, way[1:], way[2:], strict=False):
        turn = abs(atan2(cy - by, cx - bx) - atan2(by - ay, bx - ax))
        turns.append(min(turn, 2 * pi - turn))
    assert max(turns) < 0.35


def test_two_points_are_a_straight_line() -> None:
    """There is nothing to bend."""
    assert smooth_way([(0, 0), (9, 9)]) == ((0, 0), (9, 9))
    assert smooth_way([(0, 0), (0, 0), (9, 9)]) == ((0, 0), (0, 0), (9, 9))
