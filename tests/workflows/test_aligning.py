"""Two rows of clips are laid along each other as they were made, and never surely wrong."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from gradecut.workflows.aligning import Shot, align, align_named, times_hold

Pairs = tuple[tuple[int | None, int | None], ...]

WAYS = ("whole", "first missing", "middle missing", "last missing", "two missing", "one extra")


def made(
    way: str,
    count: int,
    *,
    seed: int,
    jitter_s: float = 0.5,
    longer_s: float = 0.0,
    times: bool = False,
) -> tuple[list[Shot], list[Shot], Pairs]:
    """Make plays, a second camera's clips of them, and which belong together."""
    rng = np.random.default_rng(seed)
    lengths = np.clip(rng.normal(8, 2.5, count), 3.5, 20)
    at = np.cumsum(lengths + rng.uniform(25, 60, count))
    middle = int(rng.integers(1, count - 1))
    missing: Sequence[int] = {
        "first missing": [0],
        "middle missing": [middle],
        "last missing": [count - 1],
        "two missing": sorted(rng.choice(count, 2, replace=False).tolist()),
    }.get(way, [])
    plays: list[Shot] = []
    films: list[Shot] = []
    truth: list[tuple[int | None, int | None]] = []
    for play in range(count):
        plays.append(Shot(length_s=lengths[play], at_s=at[play] if times else None))
        if play in missing:
            truth.append((play, None))
            continue
        truth.append((play, len(films)))
        length_s = max(lengths[play] + longer_s + rng.normal(0, jitter_s), 1)
        begun_s = at[play] + 4_321 + rng.normal(0, 1.5)  # its clock is over an hour ahead
        films.append(Shot(length_s=length_s, at_s=begun_s if times else None))
        if way == "one extra" and play == middle:
            truth.append((None, len(films)))
            films.append(Shot(length_s=6.0, at_s=begun_s + length_s + 9 if times else None))
    return plays, films, tuple(truth)


@pytest.mark.parametrize("longer_s", [0.0, 3.0])
@pytest.mark.parametrize("way", WAYS)
def test_lengths_alone_find_most_and_are_never_surely_wrong(way: str, longer_s: float) -> None:
    """With half a second of jitter most pairings are right; none that is certain is wrong."""
    right = wrong_but_certain = 0
    for seed in range(12):
        plays, films, truth = made(way, 14, seed=seed, longer_s=longer_s)
        aligned = align(plays, films)
        right += set(aligned.pairs) == set(truth)
        wrong_but_certain += aligned.certain and set(aligned.pairs) != set(truth)
    assert wrong_but_certain == 0
    assert right >= 9


@pytest.mark.parametrize("way", WAYS)
def test_times_of_filming_settle_it(way: str) -> None:
    """Where cameras tell when they filmed, every pairing is right and most are certain."""
    certain = 0
    for seed in range(8):
        plays, films, truth = made(way, 12, seed=seed, times=True)
        aligned = align(plays, films)
        assert set(aligned.pairs) == set(truth)
        assert aligned.clock_s == pytest.approx(4_321, abs=3)
        certain += aligned.certain
    assert certain >= 4


@pytest.mark.parametrize("count", [3, 5])
@pytest.mark.parametrize("way", ["first missing", "middle missing", "last missing", "one extra"])
def test_a_few_plays_are_never_surely_wrong(way: str, count: int) -> None:
    """Lengths of three or five plays may mislead, but then nothing is called certain."""
    for seed in range(10):
        plays, films, truth = made(way, count, seed=seed)
        aligned = align(plays, films)
        assert set(aligned.pairs) == set(truth) or not aligned.certain


def test_as_many_films_as_plays_go_by_order() -> None:
    """Lengths that agree within jitter, or are all alike, leave order's pairing certain."""
    for seed in range(12):
        plays, films, truth = made("whole", 10, seed=seed, longer_s=1.0)
        aligned = align(plays, films)
        assert aligned.pairs == truth
        assert aligned.certain
        assert aligned.longer_s == pytest.approx(1.0, abs=0.7)
    alike = [Shot(length_s=5.0)] * 6
    assert align(alike, alike).certain


def test_lengths_that_have_nothing_in_common_are_not_certain() -> None:
    """As many films as plays, but of another practice: order alone is then asked about."""
    rng = np.random.default_rng(2)
    for _ in range(10):
        one, other = ([Shot(length_s=s) for s in rng.uniform(4, 14, 12)] for _ in range(2))
        assert not align(one, other).certain


def test_alike_lengths_leave_the_last_play_without_a_film() -> None:
    """Where nothing tells which is missing, order's own pairing is proposed, uncertain."""
    aligned = align([Shot(length_s=5.0)] * 4, [Shot(length_s=5.0)] * 3)
    assert aligned.pairs == ((0, 0), (1, 1), (2, 2), (3, None))
    assert not aligned.certain
    assert aligned.margin == pytest.approx(0.0)


def test_what_was_heard_settles_it() -> None:
    """Plays of one length, but each heard in its own film: the missing one is found for sure."""
    truth = {0: 0, 1: 1, 3: 2, 4: 3}
    heard = {(play, film): truth.get(play) == film for play in range(5) for film in range(4)}
    aligned = align([Shot(length_s=5.0)] * 5, [Shot(length_s=5.0)] * 4, heard)
    assert aligned.pairs == ((0, 0), (1, 1), (2, None), (3, 2), (4, 3))
    assert aligned.certain


def test_times_of_copying_are_not_those_of_filming() -> None:
    """Clips begun nearer together than they are long were not filmed then."""
    filmed = [Shot(length_s=8.0, at_s=40.0 * play) for play in range(4)]
    copied = [Shot(length_s=8.0, at_s=0.5 * play) for play in range(4)]
    assert times_hold(filmed)
    assert times_hold(filmed[::-1])
    assert not times_hold(copied)
    assert not times_hold([*filmed, Shot(length_s=8.0)])


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("off", ["as order has it", "one too many", "one too few"])
def test_misleading_names_never_make_it_surely_wrong(way: str, off: str) -> None:
    """Films numbered anew from 1, or off by one: what is certain is right all the same."""
    for seed in range(8):
        for times in (False, True):
            plays, films, truth = made(way, 10, seed=seed, times=times)
            true = {film: play for play, film in truth if film is not None and play is not None}
            shift = {"one too many": 1, "one too few": -1}.get(off, 0)
            named = {film: true.get(film, film) + shift for film in range(len(films))}
            if off == "as order has it":
                named = {film: film for film in range(len(films))}
            named = {film: play for film, play in named.items() if 0 <= play < len(plays)}
            aligned, _ = align_named(plays, films, {}, named)
            assert set(aligned.pairs) == set(truth) or not aligned.certain


def test_true_names_find_films_that_nothing_else_tells() -> None:
    """Four of twelve plays, all of one length: the names propose, and are not called certain."""
    named = {0: 0, 1: 4, 2: 5, 3: 10}
    aligned, unnamed = align_named([Shot(length_s=5.0)] * 12, [Shot(length_s=5.0)] * 4, {}, named)
    assert {(play, film) for play, film in aligned.pairs if film is not None} == {
        (play, film) for film, play in named.items()
    }
    assert aligned.margin > 1
    assert unnamed.margin == pytest.approx(0.0)
    assert not aligned.certain


@pytest.mark.parametrize("seed", range(6))
def test_true_names_help_where_lengths_are_unsure(seed: int) -> None:
    """Lengths that jitter by seconds mislead alone; with true names the pairing is right."""
    plays, films, truth = made("two missing", 14, seed=seed, jitter_s=1.5)
    named = {film: play for play, film in truth if film is not None and play is not None}
    aligned, _ = align_named(plays, films, {}, named)
    assert set(aligned.pairs) == set(truth)
