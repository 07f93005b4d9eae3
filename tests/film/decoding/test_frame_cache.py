from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gradecut.film import Film, open_film
from gradecut.film.decoding.frame_cache import FrameCache, Store, usual_budget, weighted_distance

BUDGET = 1000
PUTS = st.lists(
    st.tuples(
        st.sampled_from(["end.mp4", "side.mp4", "next.mp4"]),
        st.integers(0, 60),
        st.integers(1, 400),
    ),
    max_size=60,
)


@given(puts=PUTS, playhead=st.integers(0, 60), set_aside=st.integers(0, 2 * BUDGET))
def test_the_budget_is_never_exceeded(
    puts: list[tuple[str, int, int]], playhead: int, set_aside: int
) -> None:
    """Whatever is put in, what is kept of all films together stays under the one budget."""
    store: Store[int] = Store(BUDGET, lambda _film, number: (0, abs(number - playhead)))
    store.set_aside_bytes = set_aside
    sizes: dict[tuple[str, int], int] = {}
    for film, number, size in puts:
        if not store.holds(film, number):
            sizes[film, number] = size
        store.put(film, number, number, size)
        assert store.bytes <= store.room_bytes <= BUDGET
    kept = {key: size for key, size in sizes.items() if store.holds(*key)}
    assert store.bytes == sum(kept.values())


@given(puts=PUTS, playhead=st.integers(0, 60))
def test_what_is_far_goes_before_what_is_near(
    puts: list[tuple[str, int, int]], playhead: int
) -> None:
    """Nothing is let go of while something farther from the playhead is kept."""
    gone: list[int] = []
    store: Store[int] = Store(
        BUDGET, lambda _film, number: (0, weighted_distance(number, playhead)), gone.append
    )
    for film, number, size in puts:
        gone.clear()
        store.put(film, number, number, size)
        kept = [n for name in ("end.mp4", "side.mp4", "next.mp4") for n, _ in store.all_of(name)]
        if gone and kept:
            nearest_gone = min(weighted_distance(n, playhead) for n in gone)
            assert nearest_gone >= max(weighted_distance(n, playhead) for n in kept)


def test_a_film_forgotten_leaves_the_others() -> None:
    """Letting go of one film's pictures keeps those of the other films."""
    store: Store[str] = Store(BUDGET, lambda _film, number: (0, number))
    store.put("end.mp4", 1, "a", 100)
    store.put("side.mp4", 1, "b", 100)
    store.forget("end.mp4")
    assert not store.holds("end.mp4", 1)
    assert store.get("side.mp4", 1) == "b"
    assert store.bytes == 100


def test_whether_one_more_would_stay() -> None:
    """With room left all stay; without it only what is nearer than the farthest kept."""
    store: Store[int] = Store(BUDGET, lambda _film, number: (0, number))
    assert store.would_keep("end.mp4", 10**6)
    for number in range(10):
        store.put("end.mp4", number, number, 97)
    assert not store.would_keep("end.mp4", 50)
    assert store.would_keep("end.mp4", 4)


def test_an_exchange_only_replaces_what_is_still_there() -> None:
    """A picture moved to other memory never comes back after it was let go of."""
    store: Store[list[int]] = Store(BUDGET, lambda _film, number: (0, number))
    before, after = [1], [2]
    store.put("end.mp4", 3, before, 100)
    store.exchange("end.mp4", 3, before, after)
    assert store.get("end.mp4", 3) is after
    store.exchange("end.mp4", 3, before, [9])
    assert store.get("end.mp4", 3) is after


def test_the_usual_budget_is_at_most_512_mb() -> None:
    """Without being told, at most 512 MB of pictures are kept."""
    assert 0 < usual_budget() <= 512 * 1024 * 1024


@pytest.fixture
def film(shelf: dict[str, Path]) -> Iterator[Film]:
    """Give a film of eighty frames."""
    with open_film(shelf["long_group"]) as opened:
        yield opened


def test_pictures_behind_the_playhead_outlive_those_ahead(film: Film) -> None:
    """Of one film a picture ahead goes before one as far behind."""
    picture = film.native(0)
    one = sum(plane.buffer_size for plane in picture.planes)
    cache = FrameCache(4 * one + one // 2)
    for number in (17, 18, 19, 20):
        cache.put(number, picture, 20)
    cache.put(22, picture, 20)
    assert 22 not in cache
    assert 17 in cache or 18 in cache
    assert cache.get(20) is picture
    cache.clear()
    assert cache.bytes == 0
    assert 20 not in cache
