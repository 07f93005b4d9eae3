"""Corrections keep plays in order, apart and inside the film, and can be laid back."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as some

from gradecut.desk.cutting_steps import (
    Cut,
    Cuts,
    drop,
    insert,
    join_next,
    kept,
    move_edge,
    place_at,
    split,
    with_found,
)
from gradecut.timebase import Frame

COUNT = 400


@some.composite
def plays(draw: some.DrawFn) -> Cuts:
    """Draw plays in order, apart, some of them dropped."""
    edges = sorted(draw(some.sets(some.integers(0, COUNT - 1), min_size=2, max_size=16)))
    pairs = zip(edges[::2], edges[1::2], strict=False)
    return tuple(
        Cut(first=Frame(first), last=Frame(last), dropped=draw(some.booleans()))
        for first, last in pairs
    )


def check(cuts: Cuts) -> None:
    """Hold what every list of plays must be."""
    edges = [edge for cut in cuts for edge in (cut.first, cut.last)]
    assert all(0 <= edge < COUNT for edge in edges)
    assert all(cut.first <= cut.last for cut in cuts)
    assert all(one.last < other.first for one, other in pairwise(cuts))


@given(plays(), some.data())
def test_any_run_of_corrections_keeps_plays_in_order_and_apart(
    cuts: Cuts, data: some.DataObject
) -> None:
    """Join, split, drop, move, put in: in any order, at any place and frame."""
    for _ in range(data.draw(some.integers(1, 8))):
        place = data.draw(some.integers(0, len(cuts) - 1))
        frame = data.draw(some.integers(-50, COUNT + 50))
        cuts = data.draw(
            some.sampled_from(
                [
                    join_next(cuts, place),
                    split(cuts, place, frame),
                    drop(cuts, place),
                    move_edge(cuts, place, first=frame, count=COUNT),
                    move_edge(cuts, place, last=frame, count=COUNT),
                    insert(cuts, frame - 20, frame + 30, at=frame, count=COUNT),
                ]
            )
        )
        check(cuts)


@given(plays(), some.data())
def test_joining_what_was_split_gives_the_play_back(cuts: Cuts, data: some.DataObject) -> None:
    """Every frame of it."""
    place = data.draw(some.integers(0, len(cuts) - 1))
    cuts = tuple(replace(cut, dropped=False) for cut in cuts)
    cut = cuts[place]
    frame = data.draw(some.integers(cut.first, cut.last))
    halves = split(cuts, place, frame)
    if frame == cut.first:
        assert halves is cuts
        return
    assert len(halves) == len(cuts) + 1
    again = join_next(halves, place)
    assert [(one.first, one.last) for one in again] == [(one.first, one.last) for one in cuts]


@given(plays(), some.data())
def test_a_dropped_play_comes_back_as_it_was(cuts: Cuts, data: some.DataObject) -> None:
    """Dropping takes it from what is added, and the same key brings it back."""
    place = data.draw(some.integers(0, len(cuts) - 1))
    turned = drop(cuts, place)
    assert abs(len(kept(turned)) - len(kept(cuts))) == 1
    assert drop(turned, place) == cuts


@given(plays(), some.integers(0, COUNT - 1))
def test_a_play_put_in_lies_around_its_frame(cuts: Cuts, at: int) -> None:
    """As far as there is room; where a play is already, nothing is put in."""
    made = insert(cuts, at - 20, at + 30, at=at, count=COUNT)
    there = place_at(cuts, at)
    if there is not None:
        assert made is cuts
        return
    place = place_at(made, at)
    assert place is not None
    assert made[:place] + made[place + 1 :] == cuts


def test_what_lies_between_is_joined_too() -> None:
    """A dropped play between two that are joined is part of the new one."""
    cuts = (
        Cut(first=Frame(0), last=Frame(9)),
        Cut(first=Frame(20), last=Frame(29), dropped=True),
        Cut(first=Frame(40), last=Frame(49)),
    )
    assert [(one.first, one.last) for one in join_next(cuts, 0)] == [(0, 49)]
    assert join_next(cuts, 2) is cuts
    assert join_next(cuts, 1) is cuts


def test_an_edge_stops_at_its_neighbour() -> None:
    """However far it is pulled."""
    cuts = (Cut(first=Frame(0), last=Frame(9)), Cut(first=Frame(20), last=Frame(29)))
    (_, second) = move_edge(cuts, 1, first=-500, count=COUNT)
    assert (second.first, second.last) == (10, 29)
    (_, second) = move_edge(cuts, 1, last=9_000, count=COUNT)
    assert (second.first, second.last) == (20, COUNT - 1)


@given(plays(), plays())
def test_plays_found_stand_behind_those_set_by_hand(cuts: Cuts, found: Cuts) -> None:
    """Every play set stays as it is; what was found comes in where none lies in the way."""
    both = with_found(cuts, found)
    check(both)
    assert set(cuts) <= set(both)
    for one in found:
        free = all(one.last < cut.first or one.first > cut.last for cut in cuts)
        assert (one in both) >= free
