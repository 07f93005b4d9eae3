"""Numbered films made once a run."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from gradecut.film.indexing.index_store import index_films
from tests.reels.numbered_film import VARIABLE_TIMES_S, make_film

FILMS: dict[str, tuple[int, Fraction, tuple[Fraction, ...] | None]] = {
    "thirty": (180, Fraction(30), None),
    "sixty": (330, Fraction(60), None),
    "fifty-nine": (330, Fraction(60000, 1001), None),
    "variable": (120, Fraction(15), VARIABLE_TIMES_S),
}


@pytest.fixture(scope="session")
def films(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Make every numbered film once, and read them all in one child process."""
    folder = tmp_path_factory.mktemp("films")
    made = {
        name: make_film(folder / f"{name}.mp4", count, rate, times_s)
        for name, (count, rate, times_s) in FILMS.items()
    }
    assert index_films(list(made.values())) == {}
    return made
