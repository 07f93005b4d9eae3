"""What the names of films say of their plays, and when they say nothing."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.workflows.pairing_names import plays_named

TWELVE = {play: f"{play:02d}" for play in range(1, 13)}
"""Twelve plays, the end films named 01 to 12."""


@pytest.mark.parametrize(
    "names",
    [
        ["01", "05", "06", "11"],
        ["1", "5", "6", "11"],
        ["play 1", "play 5", "play 6", "play 11"],
        ["side_01", "side_05", "side_06", "side_11"],
        ["20261006-01-side", "20261006-05-side", "20261006-06-side", "20261006-11-side"],
        ["P2 01 power", "P2 05 zone", "P2 06 counter", "P2 11 power"],
    ],
)
def test_the_last_number_that_differs_is_the_play(names: list[str]) -> None:
    """With leading zeros or none, words before or after, and a date the same for all."""
    assert plays_named(names, TWELVE) == {0: 1, 1: 5, 2: 6, 3: 11}


def test_one_film_alone_can_be_named() -> None:
    """By its one number; two numbers leave open which is meant."""
    assert plays_named(["05"], TWELVE) == {0: 5}
    assert plays_named(["2-05"], TWELVE) == {}


def test_the_same_name_but_for_the_camera_is_the_same_play() -> None:
    """The end films are numbered 21 to 23 and so are the side films: plays 1 to 3."""
    there = {1: "play21_end", 2: "play22_end", 3: "play23_end"}
    assert plays_named(["play22_side", "play23_side"], there, angle="side") == {0: 2, 1: 3}
    assert plays_named(["22 roof", "23 roof"], there, angle="roof") == {0: 2, 1: 3}
    called = {1: "opener (end)", 2: "goal line (end)", 3: "closer (end)"}
    assert plays_named(["goal line - tower", "closer - tower"], called) == {0: 2, 1: 3}


def test_numbers_are_plays_where_the_films_there_are_a_cameras_count() -> None:
    """The end camera counted on its own; the side films bear the play."""
    there = {play: f"C{play + 340:04d}" for play in range(1, 9)}
    assert plays_named(["03", "04", "07"], there) == {0: 3, 1: 4, 2: 7}


@pytest.mark.parametrize(
    "names",
    [
        ["C0012", "C0013", "C0014"],
        ["MVI_0003", "MVI_0004"],
        ["00003", "00007"],
        ["20261006_1530", "20261006_1533"],
        ["01", "02", "03", "04"],
        ["03_a", "03_b"],
        ["03", "03b"],
        ["03", "drill"],
        ["05", "13"],
        ["drill", "warm up"],
        ["06", "05"],
    ],
)
def test_names_that_do_not_tell_are_no_evidence(names: list[str]) -> None:
    """A camera's count, times, mere counting from 1, a number twice, none, or no play here."""
    assert plays_named(names, TWELVE) == {}


@given(
    st.lists(st.text("abC_- 0123456789", max_size=8), min_size=1, max_size=5),
    st.dictionaries(st.integers(1, 30), st.text("abC_- 0123456789", max_size=8), max_size=6),
)
def test_whatever_the_names_plays_rise_and_are_there(
    names: list[str], there: dict[int, str]
) -> None:
    """Every film of an angle tells of a play of its own that is there, in order; or none does."""
    told = plays_named(names, there)
    assert not told or list(told) == list(range(len(names)))
    assert all(before < after for before, after in pairwise(told.values()))
    assert set(told.values()) <= set(there)
