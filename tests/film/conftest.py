"""Films made once a run."""

from __future__ import annotations

from pathlib import Path

import pytest

from gradecut.film.indexing.index_store import index_films
from tests.film.odd_films import ODD_FILMS
from tests.film.torture import FILMS, make_film


@pytest.fixture(scope="session")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Make every torture film once, and read them all in one child process."""
    folder = tmp_path_factory.mktemp("films")
    films = {
        name: make_film(folder / f"{name}.{ending}", making)
        for name, (ending, making) in FILMS.items()
    }
    assert index_films(list(films.values())) == {}
    return films


@pytest.fixture(scope="session")
def odd_shelf(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    """Make every odd film once, and read them all in one child process."""
    folder = tmp_path_factory.mktemp("odd")
    films = {}
    for name, odd in ODD_FILMS.items():
        films[name] = folder / f"{name}.{odd.ending}"
        odd.make(films[name])
    assert index_films(list(films.values())) == {}
    return films
