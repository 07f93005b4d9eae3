"""Numbered films made once a run, and an index folder that belongs to the run."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import pytest

from gradecut.film.index_store import FOLDER_VARIABLE, index_films
from tests.reels.numbered_film import VARIABLE_TIMES_S, make_film

FILMS: dict[str, tuple[int, Fraction, tuple[Fraction, ...] | None]] = {
    "thirty": (180, Fraction(30), None),
    "sixty": (330, Fraction(60), None),
    "fifty-nine": (330, Fraction(60000, 1001), None),
    "variable": (120, Fraction(15), VARIABLE_TIMES_S),
}


@pytest.fixture(autouse=True, scope="session")
def _own_index_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Keep the run's indexes out of the person's own folder."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(FOLDER_VARIABLE, str(tmp_path_factory.mktemp("index")))
        yield


@pytest.fixture(scope="session")
def films(tmp_path_factory: pytest.TempPathFactory, _own_index_folder: None) -> dict[str, Path]:
    """Make every numbered film once, and read them all in one child process."""
    folder = tmp_path_factory.mktemp("films")
    made = {
        name: make_film(folder / f"{name}.mp4", count, rate, times_s)
        for name, (count, rate, times_s) in FILMS.items()
    }
    assert index_films(list(made.values())) == {}
    return made
