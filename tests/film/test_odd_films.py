"""Films of the kinds that catch readers out: every frame, in any order, at its own time."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from gradecut.film import open_film
from tests.film.odd_films import ODD_FILMS
from tests.film.torture import number_on

NAMES = sorted(ODD_FILMS)
SMALL_CACHE = 200_000
"""Bytes: about six frames, so that every jump decodes again."""


@pytest.mark.parametrize("name", NAMES)
def test_every_frame_is_the_one_asked_for(odd_shelf: dict[str, Path], name: str) -> None:
    """Forward, backward, jumping and to and fro, each frame wears the number it must."""
    odd = ODD_FILMS[name]
    numbers = list(odd.numbers)
    count = len(numbers)
    orders = {
        "forward": list(range(count)),
        "backward": list(range(count))[::-1],
        "jumping": random.Random(11).sample(range(count), count),
        "to and fro": [
            place for pair in zip(range(count), range(count)[::-1], strict=True) for place in pair
        ],
    }
    with open_film(odd_shelf[name], cache_bytes=SMALL_CACHE) as film:
        assert film.frame_count == count
        for order in orders.values():
            seen = [number_on(film.frame(place)) for place in order]
            assert seen == [numbers[place] for place in order]


@pytest.mark.parametrize("name", NAMES)
def test_every_frame_has_its_own_time(odd_shelf: dict[str, Path], name: str) -> None:
    """Times are the exact fractions the film was made with."""
    with open_film(odd_shelf[name]) as film:
        assert list(film.times_s) == ODD_FILMS[name].times


@pytest.mark.parametrize("name", NAMES)
def test_a_frame_has_the_size_it_is_shown_at(odd_shelf: dict[str, Path], name: str) -> None:
    """Width and height are as displayed, after the pixels' shape and turning, on every frame."""
    odd = ODD_FILMS[name]
    with open_film(odd_shelf[name]) as film:
        assert (film.width, film.height) == odd.size
        for place in {0, film.frame_count - 1}:
            assert film.frame(place).shape == (odd.size[1], odd.size[0], 3)


@pytest.mark.parametrize("name", NAMES)
def test_only_what_is_so_is_told(odd_shelf: dict[str, Path], name: str) -> None:
    """What a coach must know of a film is told, and no fault is made up."""
    odd = ODD_FILMS[name]
    with open_film(odd_shelf[name]) as film:
        for words in odd.told:
            assert any(words in note for note in film.notes)
        cut_off = any("cut off" in words for words in odd.told)
        assert film.index.cut_off == cut_off
        assert bool(film.index.faults) == cut_off
